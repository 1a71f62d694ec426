"""What is drawn on one page: the operators of its content stream (ISO 32000-1, annex A).

Lengths are in points. Positions are given from the page's upper left corner; PDF counts from the
lower left, and only this module knows. Everything drawn lies between `begin` and `end` (it means
something) or within `artifact` and `end` (it is decoration), as PDF/UA asks.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple, assert_never

from evaluations.core.drawing import Anchor, Box, Dot, Drawing, Label, Ring, Stroke, Style
from evaluations.letters.characters import printable
from evaluations.letters.fonts import SANS, Face
from evaluations.letters.palette import FIGURE_COLOURS, FIGURE_DASHES, FIGURE_WIDTHS
from evaluations.letters.structure import Element, Mark

_LABEL_SIZE = 8.0

_KAPPA = 0.5523
"""Where the control points of a quarter circle lie, as a share of its radius."""


class Piece(NamedTuple):
    """Text of one look, on one line."""

    face: Face
    size: float
    colour: str
    text: str


class Ink:
    """One page while it is written. `owners` are the elements of its marks, by number."""

    def __init__(self, page: int, width: float, height: float) -> None:
        self.page = page
        self.width = width
        self.height = height
        self.owners: list[Element] = []
        self.fonts: set[tuple[Face, int]] = set()
        self._operators: list[str] = []
        self._font = ""
        self._colour = ""

    def begin(self, element: Element) -> None:
        """What follows, up to `end`, is content of this element."""
        number = len(self.owners)
        self.owners.append(element)
        element.mark(Mark(self.page, number))
        self._operators.append(f"/{element.role} << /MCID {number} >> BDC")

    def artifact(self) -> None:
        """What follows, up to `end`, is decoration that a reader passes over."""
        self._operators.append("/Artifact BMC")

    def end(self) -> None:
        self._operators.append("EMC")

    def text(self, x: float, baseline: float, pieces: Iterable[Piece]) -> None:
        """One line of text from x on, `baseline` points below the upper edge."""
        out = self._operators
        out.append(f"BT 1 0 0 1 {x:.2f} {self.height - baseline:.2f} Tm")
        for face, size, colour, text in pieces:
            if colour != self._colour:
                self._colour = colour
                out.append(f"{colour} rg")
            for plane, codes in face.encode(text):
                font = f"/{face.key}{plane} {size:g} Tf"
                if font != self._font:
                    self._font = font
                    self.fonts.add((face, plane))
                    out.append(font)
                out.append(f"({codes}) Tj")
        out.append("ET")

    def rule(self, x: float, y: float, length: float, colour: str, width: float) -> None:
        """A level line as decoration."""
        line = self._line(((x, y), (x + length, y)))
        self._operators.append(f"/Artifact BMC\n{colour} RG {width:g} w {line} S\nEMC")

    def bar(self, x: float, y: float, width: float, height: float, colour: str) -> None:
        """A filled rectangle as decoration; (x, y) is its upper left corner."""
        box = f"{x:.2f} {self.height - y - height:.2f} {width:.2f} {height:.2f} re f"
        self._operators.append(f"/Artifact BMC\nq {colour} rg {box} Q\nEMC")

    def drawing(self, drawing: Drawing, x: float, y: float, scale: float = 1.0) -> None:
        """A drawing with its upper left corner at (x, y)."""
        for shape in drawing.shapes:
            match shape:
                case Stroke(points, style):
                    line = self._line([(x + px * scale, y + py * scale) for px, py in points])
                    self._stroke(line, style, scale)
                case Box(px, py, width, height, style):
                    bottom = self.height - y - (py + height) * scale
                    box = f"{x + px * scale:.2f} {bottom:.2f} {width * scale:.2f} "
                    self._fill(f"{box}{height * scale:.2f} re", style)
                case Dot(px, py, radius, style):
                    self._fill(self._circle(x + px * scale, y + py * scale, radius * scale), style)
                case Ring(px, py, radius, style):
                    circle = self._circle(x + px * scale, y + py * scale, radius * scale)
                    self._stroke(f"{circle} h", style, scale)
                case Label():
                    self._label(shape, x + shape.x * scale, y + shape.y * scale)
                case _:
                    assert_never(shape)

    def bounds(self, x: float, y: float, width: float, height: float) -> str:
        """The layout attributes of a figure with its upper left corner at (x, y)."""
        bottom, top = self.height - y - height, self.height - y
        box = f"[{x:.2f} {bottom:.2f} {x + width:.2f} {top:.2f}]"
        return f"/O /Layout /Placement /Block /BBox {box}"

    def content(self) -> bytes:
        """The page's content stream."""
        return "\n".join(self._operators).encode("latin-1")

    def _fill(self, path: str, style: Style) -> None:
        colour = FIGURE_COLOURS[style]
        if colour != self._colour:
            self._colour = colour
            self._operators.append(f"{colour} rg")
        self._operators.append(f"{path} f")

    def _stroke(self, path: str, style: Style, scale: float) -> None:
        pen = f"{FIGURE_COLOURS[style]} RG {FIGURE_WIDTHS[style] * scale:g} w"
        dash = FIGURE_DASHES.get(style)
        drawn = f"[{dash}] 0 d {path} S [] 0 d" if dash else f"{path} S"
        self._operators.append(f"{pen} {drawn}")

    def _label(self, label: Label, x: float, y: float) -> None:
        text = printable(label.text)
        width = SANS.width(text) * _LABEL_SIZE / 1000
        shift = {Anchor.START: 0.0, Anchor.MIDDLE: width / 2, Anchor.END: width}[label.anchor]
        piece = Piece(SANS, _LABEL_SIZE, FIGURE_COLOURS[Style.LABEL], text)
        self.text(x - shift, y, [piece])

    def _line(self, points: Iterable[tuple[float, float]]) -> str:
        places = [f"{x:.2f} {self.height - y:.2f}" for x, y in points]
        return f"{places[0]} m " + " ".join(f"{place} l" for place in places[1:])

    def _circle(self, x: float, y: float, radius: float) -> str:
        """Four curves, one a quarter."""
        y = self.height - y
        bend = radius * _KAPPA
        right, left, up, down = x + radius, x - radius, y + radius, y - radius
        return (
            f"{right:.2f} {y:.2f} m"
            f" {right:.2f} {y + bend:.2f} {x + bend:.2f} {up:.2f} {x:.2f} {up:.2f} c"
            f" {x - bend:.2f} {up:.2f} {left:.2f} {y + bend:.2f} {left:.2f} {y:.2f} c"
            f" {left:.2f} {y - bend:.2f} {x - bend:.2f} {down:.2f} {x:.2f} {down:.2f} c"
            f" {x + bend:.2f} {down:.2f} {right:.2f} {y - bend:.2f} {right:.2f} {y:.2f} c"
        )
