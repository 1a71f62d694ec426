"""A drawing as SVG for a page.

Shapes carry classes and no style of their own, so a strict content security policy lets them
through: `figure`, and `figure-scale`, `figure-value` and so on for what a shape stands for.
"""

from __future__ import annotations

from typing import assert_never
from xml.sax.saxutils import escape, quoteattr

from evaluations.core.drawing import Box, Dot, Drawing, Label, Ring, Shape, Stroke, Style
from evaluations.letters.palette import FIGURE_COLOURS, FIGURE_DASHES, FIGURE_WIDTHS


def to_svg(drawing: Drawing) -> str:
    """The drawing as one `svg` element. Its alternative text is the element's label."""
    name = (
        f'role="img" aria-label={quoteattr(drawing.alt)}' if drawing.alt else 'aria-hidden="true"'
    )
    size = f'viewBox="0 0 {_number(drawing.width)} {_number(drawing.height)}"'
    shapes = "".join(_shape(shape) for shape in drawing.shapes)
    return f'<svg xmlns="http://www.w3.org/2000/svg" class="figure" {size} {name}>{shapes}</svg>'


def to_svg_file(drawing: Drawing) -> str:
    """The same as a file that is looked at by itself: it brings the letter's looks along."""
    head, body = to_svg(drawing).split(">", 1)
    return f"{head}><style>{_looks()}</style>{body}\n"


def _looks() -> str:
    filled = {Style.VALUE, Style.MARGIN, Style.CODE, Style.TABLE, Style.ENDED, Style.DARK}
    rules = [".figure-label{font:8px sans-serif}"]
    for style, colour in FIGURE_COLOURS.items():
        red, green, blue = (round(float(part) * 255) for part in colour.split())
        painted = f"rgb({red} {green} {blue})"
        if style in filled or style is Style.LABEL:
            rules.append(f".figure-{style}{{fill:{painted}}}")
            continue
        width, dashes = FIGURE_WIDTHS.get(style, 1.0), FIGURE_DASHES.get(style, "none")
        rules.append(
            f".figure-{style}{{stroke:{painted};stroke-width:{width};stroke-dasharray:{dashes}}}"
        )
    return "".join(rules)


def _shape(shape: Shape) -> str:
    match shape:
        case Stroke(points, style):
            path = " ".join(f"{_number(x)},{_number(y)}" for x, y in points)
            return f'<polyline class="figure-{style}" fill="none" points="{path}"/>'
        case Box(x, y, width, height, style):
            return (
                f'<rect class="figure-{style}" x="{_number(x)}" y="{_number(y)}"'
                f' width="{_number(width)}" height="{_number(height)}"/>'
            )
        case Dot(x, y, radius, style):
            place = f'cx="{_number(x)}" cy="{_number(y)}" r="{_number(radius)}"'
            return f'<circle class="figure-{style}" {place}/>'
        case Ring(x, y, radius, style):
            place = f'cx="{_number(x)}" cy="{_number(y)}" r="{_number(radius)}"'
            return f'<circle class="figure-{style}" fill="none" {place}/>'
        case Label(x, y, text, anchor):
            place = f'x="{_number(x)}" y="{_number(y)}" text-anchor="{anchor}"'
            return f'<text class="figure-{Style.LABEL}" {place}>{escape(text)}</text>'
        case _:
            assert_never(shape)


def _number(length: float) -> str:
    return f"{length:.2f}".rstrip("0").rstrip(".")
