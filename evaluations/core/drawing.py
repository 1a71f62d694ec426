"""A drawing as plain shapes: what a figure shows, before anybody draws it.

`figures` computes drawings; the pages emit them as SVG and the letter emits them into its PDF, so
both show the same lines. Lengths are in points, the origin is the upper left corner, y points
down. A style is a name: the page's style sheet and the letter's palette say what it looks like.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Style(StrEnum):
    """What a shape stands for."""

    SCALE = "scale"
    VALUE = "value"
    SEASON = "season"
    MARGIN = "margin"
    TREND = "trend"
    LABEL = "label"
    CODE = "code"
    COURT = "court"
    TABLE = "table"
    BEFORE = "before"
    DUE = "due"
    ENDED = "ended"
    WAY = "way"
    WAY_DUE = "way-due"
    SOMEWHERE = "somewhere"
    VIEW = "view"
    LIGHT = "light"
    DARK = "dark"


class Anchor(StrEnum):
    """Which end of a label its position fixes."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True)
class Stroke:
    """An open line through two or more points (x, y)."""

    points: tuple[tuple[float, float], ...]
    style: Style


@dataclass(frozen=True, slots=True)
class Box:
    """A filled rectangle; (x, y) is its upper left corner."""

    x: float
    y: float
    width: float
    height: float
    style: Style


@dataclass(frozen=True, slots=True)
class Dot:
    """A filled disc."""

    x: float
    y: float
    radius: float
    style: Style


@dataclass(frozen=True, slots=True)
class Ring:
    """A circle's line, hollow inside."""

    x: float
    y: float
    radius: float
    style: Style


@dataclass(frozen=True, slots=True)
class Label:
    """A word on the drawing; (x, y) is on its baseline."""

    x: float
    y: float
    text: str
    anchor: Anchor


Shape = Stroke | Box | Dot | Ring | Label


@dataclass(frozen=True, slots=True)
class Drawing:
    """Shapes in painting order, and the sentence that says the same.

    An empty `alt` marks a drawing that only repeats the text beside it.
    """

    width: float
    height: float
    shapes: tuple[Shape, ...]
    alt: str
