"""A drawing's sheet: lines end at its edge, and words stand beside their marks where there is room.

Lengths are in points, as in `drawing`.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from evaluations.core.drawing import Anchor, Box, Dot, Label, Ring, Shape, Stroke, Style

Spot = tuple[float, float]

# Of a word: a letter's breadth on average, and how far it reaches over and under its baseline.
_LETTER, _OVER, _UNDER = 4.4, 6.0, 2.0

_OFF = 7.5
"""From the middle of a mark to the words beside it."""

_OVER_THE_EDGE, _ON_A_MARK, _ON_A_LINE, _ON_A_COURT_LINE = 1000, 100, 3, 1
"""What stands in the way of a word; the least of it decides where the word goes."""


class Area(NamedTuple):
    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Area) -> bool:
        across = self.left < other.right and other.left < self.right
        return across and self.top < other.bottom and other.top < self.bottom

    def holds(self, other: Area) -> bool:
        across = self.left <= other.left and other.right <= self.right
        return across and self.top <= other.top and other.bottom <= self.bottom

    def part(self, start: Spot, end: Spot) -> tuple[Spot, Spot] | None:
        """The part of a line that lies within; None where it only touches or passes by."""
        (x, y), (dx, dy) = start, (end[0] - start[0], end[1] - start[1])
        low, high = 0.0, 1.0
        for off, way in (
            (self.left - x, dx),
            (x - self.right, -dx),
            (self.top - y, dy),
            (y - self.bottom, -dy),
        ):
            if way > 0:
                low = max(low, off / way)
            elif way < 0:
                high = min(high, off / way)
            elif off > 0:
                return None
        if low >= high:
            return None
        return (x + low * dx, y + low * dy), (x + high * dx, y + high * dy)


class Sheet:
    """Where words may stand on a drawing of which `shapes` are there already."""

    def __init__(self, area: Area, shapes: Iterable[Shape]) -> None:
        self.area = area
        self._marks: list[Area] = []
        self._lines: list[tuple[Spot, Spot, int]] = []
        for shape in shapes:
            self._put(shape)

    def _put(self, shape: Shape) -> None:
        match shape:
            case Stroke(points, style):
                cost = _ON_A_COURT_LINE if style is Style.COURT else _ON_A_LINE
                self._lines += ((*line, cost) for line in itertools.pairwise(points))
            case Ring(x, y, radius, Style.COURT):
                # Words may stand in a circle of the court; four chords do for its line.
                quarters = ((x + radius, y), (x, y + radius), (x - radius, y), (x, y - radius))
                chords = itertools.pairwise((*quarters, quarters[0]))
                self._lines += ((*chord, _ON_A_COURT_LINE) for chord in chords)
            case Box(x, y, width, height):
                self._marks.append(Area(x, y, x + width, y + height))
            case Dot(x, y, radius) | Ring(x, y, radius):
                self._marks.append(Area(x - radius, y - radius, x + radius, y + radius))

    def word(self, spot: Spot, text: str) -> Label:
        """A word beside the mark on a spot, where the least stands in its way."""
        label, area = min(_beside(spot, text), key=lambda place: self._in_the_way(place[1]))
        self._marks.append(area)
        return label

    def words(self, spots: Iterable[Spot], text: str) -> Iterator[Label]:
        """The same word beside the mark on the first of the spots, and beside the others where it
        meets no other mark and no other word."""
        for place, spot in enumerate(spots):
            if not place or any(self._is_free(area) for _label, area in _beside(spot, text)):
                yield self.word(spot, text)

    def _is_free(self, area: Area) -> bool:
        return self._in_the_way(area) < _ON_A_MARK

    def _in_the_way(self, area: Area) -> int:
        edge = 0 if self.area.holds(area) else _OVER_THE_EDGE
        marks = sum(area.meets(mark) for mark in self._marks)
        lines = sum(cost for start, end, cost in self._lines if area.part(start, end))
        return edge + marks * _ON_A_MARK + lines


def _beside(spot: Spot, text: str) -> Iterator[tuple[Label, Area]]:
    """Above the spot, below it, to its right and to its left."""
    (x, y), width = spot, len(text) * _LETTER
    level = y + (_OVER - _UNDER) / 2
    for at, baseline, left, anchor in (
        (x, y - _OFF, x - width / 2, Anchor.MIDDLE),
        (x, y + _OFF + _OVER - _UNDER, x - width / 2, Anchor.MIDDLE),
        (x + _OFF, level, x + _OFF, Anchor.START),
        (x - _OFF, level, x - _OFF - width, Anchor.END),
    ):
        area = Area(left, baseline - _OVER, left + width, baseline + _UNDER)
        yield Label(at, baseline, text, anchor), area
