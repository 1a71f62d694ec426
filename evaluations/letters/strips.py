"""What a page is filled with: strips across it, one below the other.

A strip holds columns of text and pictures side by side, in reading order: a paragraph is a strip
with one column, a table row one with several. Strips know their height before they are drawn.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

from evaluations.core.drawing import Drawing
from evaluations.letters.ink import Ink
from evaluations.letters.structure import Element
from evaluations.letters.wrap import Line, width_of

_BASELINE = 0.74
"""Where the baseline lies in a line, as a share of the leading."""

_MIDDLE = 0.25
"""How far above the baseline the middle of small letters lies, likewise."""


_TOGETHER = 2
"""Lines of a paragraph that stay together at a page's foot or head."""


@dataclass(frozen=True, slots=True)
class Column:
    """Lines of text. They begin at `x`, or end there when `right` is set.

    `down` is how far below the strip's first line the column's own first line stands.
    """

    element: Element
    x: float
    lines: Sequence[Line]
    leading: float
    right: bool = False
    down: float = 0.0

    @property
    def rise(self) -> float:
        """How much room the first line takes above its baseline."""
        return _BASELINE * self.leading

    def reach(self, baseline: float) -> float:
        """Where the column ends when its first line stands on this baseline."""
        return baseline - self.rise + self.down + len(self.lines) * self.leading

    def draw(self, ink: Ink, top: float, baseline: float) -> None:
        """Draw into a strip whose first lines stand on a common baseline."""
        ink.begin(self.element)
        baseline += self.down
        for line in self.lines:
            ink.text(self.x - width_of(line) if self.right else self.x, baseline, line)
            baseline += self.leading
        ink.end()


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing beside the first line of text, or hung from the strip's top.

    Without an element it is decoration.
    """

    element: Element | None
    drawing: Drawing
    x: float
    leading: float = 0.0
    scale: float = 1.0

    @property
    def rise(self) -> float:
        return _BASELINE * self.leading

    def reach(self, baseline: float) -> float:
        return baseline if self.leading else self.drawing.height * self.scale

    def draw(self, ink: Ink, top: float, baseline: float) -> None:
        width, height = self.drawing.width * self.scale, self.drawing.height * self.scale
        y = baseline - _MIDDLE * self.leading - height / 2 if self.leading else top
        if self.element is None:
            ink.artifact()
        else:
            self.element.attributes = ink.bounds(self.x, y, width, height)
            ink.begin(self.element)
        ink.drawing(self.drawing, self.x, y, self.scale)
        ink.end()


class Rule(NamedTuple):
    """A hairline from `x` on; `y` counts from the strip's top, or from its end when `below`."""

    x: float
    length: float
    colour: str
    width: float
    y: float = 0.0
    below: bool = False


class Margin(NamedTuple):
    """An upright bar along the whole strip."""

    x: float
    width: float
    colour: str


@dataclass(frozen=True)
class Strip:
    """One strip, with the first lines of its columns on one baseline.

    `gap` is the space above it, unless it comes first on its page; `above` and `below` are space
    within. `part` names the part of the letter that it belongs to. `keep` holds it together with
    the next strip.
    """

    part: str
    cells: tuple[Column | Picture, ...]
    gap: float = 0.0
    above: float = 0.0
    below: float = 0.0
    keep: bool = False
    rules: tuple[Rule, ...] = ()
    margin: Margin | None = None

    @cached_property
    def height(self) -> float:
        baseline = self._baseline
        return self.above + max(cell.reach(baseline) for cell in self.cells) + self.below

    @cached_property
    def _baseline(self) -> float:
        return max(cell.rise for cell in self.cells)

    def draw(self, ink: Ink, top: float) -> None:
        start = top + self.above
        baseline = start + self._baseline
        for cell in self.cells:
            cell.draw(ink, start, baseline)
        height = self.height if self.rules or self.margin else 0.0
        for rule in self.rules:
            y = top + (height + rule.y if rule.below else rule.y)
            ink.rule(rule.x, y, rule.length, rule.colour, rule.width)
        if self.margin is not None:
            ink.bar(self.margin.x, top, self.margin.width, height, self.margin.colour)

    @property
    def least(self) -> float:
        """The height of the smallest head that it can be split at, or else its whole height."""
        column = self.cells[0] if len(self.cells) == 1 else None
        if not isinstance(column, Column) or len(column.lines) < 2 * _TOGETHER:
            return self.height
        return self.above + _TOGETHER * column.leading

    def split(self, room: float) -> tuple[Strip, Strip] | None:
        """What fits into `room` points, and the rest; None if it has to stay in one piece."""
        column = self.cells[0]
        if self.least > room or self.least == self.height or not isinstance(column, Column):
            return None
        fits = int((room - self.above) // column.leading)
        fits = min(fits, len(column.lines) - _TOGETHER)
        head = replace(column, lines=column.lines[:fits])
        tail = replace(column, lines=column.lines[fits:])
        return (
            replace(self, cells=(head,), below=0.0),
            replace(self, cells=(tail,), above=0.0, gap=0.0),
        )


class Placed(NamedTuple):
    """A strip, and where on its page it begins."""

    strip: Strip
    top: float


class _Pages:
    """Pages while they are filled from the top, each `height` points high."""

    def __init__(self, height: float) -> None:
        self.done: list[list[Placed]] = [[]]
        self._height = height
        self._reached = 0.0

    def room(self, strip: Strip) -> float:
        """What is left of the current page below the gap above this strip."""
        return self._height - self._top(strip)

    def put(self, strip: Strip) -> None:
        top = self._top(strip)
        self.done[-1].append(Placed(strip, top))
        self._reached = top + strip.height

    def turn(self) -> bool:
        """Begin a new page, unless nothing stands on this one; whether it was begun."""
        if not self.done[-1]:
            return False
        self.done.append([])
        return True

    def _top(self, strip: Strip) -> float:
        return self._reached + strip.gap if self.done[-1] else 0.0


def place(strips: Iterable[Strip], height: float, new_page_at: str = "") -> list[list[Placed]]:
    """Pages of at most `height` points each, filled from the top.

    With `new_page_at`, the first strip of that part opens a page. A strip that is higher than a
    page and can't be split stands alone on one, and goes over its end.
    """
    pages = _Pages(height)
    waiting = list(strips)[::-1]
    while waiting:
        strip = waiting.pop()
        if strip.part == new_page_at:
            new_page_at = ""
            pages.turn()
        if _tied(strip, waiting) <= pages.room(strip):
            pages.put(strip)
        elif pieces := strip.split(pages.room(strip)):
            pages.put(pieces[0])
            pages.turn()
            waiting.append(pieces[1])
        elif pages.turn():
            waiting.append(strip)
        else:
            pages.put(strip)
    return pages.done


def _tied(strip: Strip, following: Sequence[Strip]) -> float:
    """The height of a strip and of what has to follow it on the same page."""
    height = strip.height
    place = len(following) - 1
    while strip.keep and place >= 0:
        strip = following[place]
        height += strip.gap + (strip.height if strip.keep else strip.least)
        place -= 1
    return height
