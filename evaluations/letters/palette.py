"""The letter's colours: ink, two greys of it, and one hardwood accent, on white.

What is read has a contrast of at least 4.5:1; hairlines are decoration. A colour is the operand of
a PDF colour operator: red, green and blue from 0 to 1.
"""

from __future__ import annotations

from evaluations.core.drawing import Style

INK = "0.114 0.102 0.086"
MUTED = "0.361 0.333 0.294"
ACCENT = "0.659 0.282 0.059"
SCALE = "0.600 0.561 0.502"
HAIRLINE = "0.812 0.776 0.722"
PALE = "0.945 0.925 0.890"

FIGURE_COLOURS: dict[Style, str] = {
    Style.SCALE: SCALE,
    Style.VALUE: ACCENT,
    Style.SEASON: INK,
    Style.MARGIN: PALE,
    Style.TREND: MUTED,
    Style.LABEL: MUTED,
    Style.CODE: INK,
    Style.COURT: SCALE,
    Style.TABLE: PALE,
    Style.BEFORE: INK,
    Style.DUE: INK,
    Style.ENDED: ACCENT,
    Style.WAY: INK,
    Style.WAY_DUE: INK,
    Style.SOMEWHERE: MUTED,
    Style.VIEW: MUTED,
    Style.LIGHT: INK,
    Style.DARK: INK,
}

FIGURE_WIDTHS: dict[Style, float] = {
    Style.SCALE: 0.5,
    Style.SEASON: 1.1,
    Style.TREND: 1.0,
    Style.COURT: 0.5,
    Style.BEFORE: 1.0,
    Style.DUE: 1.0,
    Style.WAY: 1.0,
    Style.WAY_DUE: 0.8,
    Style.SOMEWHERE: 0.8,
    Style.VIEW: 0.6,
    Style.LIGHT: 1.0,
}
"""Widths of strokes in points."""

FIGURE_DASHES: dict[Style, str] = {Style.WAY_DUE: "3 2", Style.SOMEWHERE: "1 2", Style.VIEW: "2 2"}
"""Lengths of dashes and gaps in points, where a line is broken."""
