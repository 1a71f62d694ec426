"""The square code on a letter that leads to its verification page (ISO/IEC 18004)."""

from __future__ import annotations

from itertools import groupby

import segno

from evaluations.core.drawing import Box, Drawing, Shape, Style

_MASK = 4
"""Any of the eight masks can be read; choosing one saves the search for the best."""


def square_code(address: str, alt: str) -> Drawing:
    """The code of an address, one unit a module, without a quiet zone: white paper is around it."""
    code = segno.make_qr(address, error="m", mask=_MASK, boost_error=False)
    shapes: list[Shape] = []
    for y, row in enumerate(code.matrix):
        x = 0
        for dark, modules in groupby(row):
            run = len(list(modules))
            if dark:
                shapes.append(Box(float(x), float(y), float(run), 1.0, Style.CODE))
            x += run
    side = float(len(code.matrix))
    return Drawing(side, side, tuple(shapes), alt)
