"""The geometry of every figure: one function each, from numbers to a drawing.

>>> area_bar(50.0, None, "Switching: 50 of 100").shapes[1].width
65.0
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from evaluations.core.drawing import Anchor, Box, Dot, Drawing, Label, Shape, Stroke, Style

BAR_WIDTH = 130.0
BAR_HEIGHT = 9.0
_BAR_THICKNESS = 4.0

_STEP = 9.0
_SCALE_HEIGHT = 7.0
_DOT_RADIUS = 2.6

_TREND_WIDTH = 120.0
_TREND_HEIGHT = 24.0

_LINE_WIDTH = 400.0
_LINE_HEIGHT = 150.0
_INSET = 24.0


def area_bar(value: float | None, season: float | None, alt: str) -> Drawing:
    """A bar from 0 to `value` on a scale to 100, and an upright line at the own season's mean.

    Without a value the scale alone is drawn.
    """
    middle = BAR_HEIGHT / 2
    shapes: list[Shape] = [_level_line(0.0, BAR_WIDTH, middle)]
    if value is not None:
        top = middle - _BAR_THICKNESS / 2
        shapes.append(Box(0.0, top, _along(value), _BAR_THICKNESS, Style.VALUE))
    if season is not None:
        shapes.append(_upright(_along(season), BAR_HEIGHT, Style.SEASON))
    return Drawing(BAR_WIDTH, BAR_HEIGHT, tuple(shapes), alt)


def _along(value: float) -> float:
    return min(max(value, 0.0), 100.0) / 100.0 * BAR_WIDTH


def _level_line(start: float, end: float, y: float) -> Stroke:
    return Stroke(((start, y), (end, y)), Style.SCALE)


def _upright(x: float, height: float, style: Style) -> Stroke:
    return Stroke(((x, 0.0), (x, height)), style)


def share_line(share: float, low: float, high: float) -> Drawing:
    """A share (0 to 1) as a dot on a scale, its interval as a line with an end at each limit.

    It has no text of its own, because share and limits stand beside it.
    """
    middle = BAR_HEIGHT / 2
    ends = [_DOT_RADIUS + limit * (BAR_WIDTH - 2 * _DOT_RADIUS) for limit in (0.0, 1.0, low, high)]
    first, last, lower, upper = ends
    shapes: list[Shape] = [_level_line(first, last, middle)]
    shapes += [_upright(end, BAR_HEIGHT, Style.SCALE) for end in (first, last)]
    shapes.append(Stroke(((lower, middle), (upper, middle)), Style.SEASON))
    shapes += [_upright(end, BAR_HEIGHT, Style.SEASON) for end in (lower, upper)]
    shapes.append(Dot(first + share * (last - first), middle, _DOT_RADIUS, Style.VALUE))
    return Drawing(BAR_WIDTH, BAR_HEIGHT, tuple(shapes), "")


@lru_cache(maxsize=64)
def level_scale(levels: int, position: int | None) -> Drawing:
    """The levels as ticks on one line, a dot on the one chosen; `position` counts from 1.

    It has no text of its own, because the level's word stands beside it.
    """
    middle = _SCALE_HEIGHT / 2
    first = _DOT_RADIUS
    last = first + _STEP * (levels - 1)
    shapes: list[Shape] = [_level_line(first, last, middle)]
    for level in range(levels):
        x = first + _STEP * level
        shapes.append(Stroke(((x, middle - 1.5), (x, middle + 1.5)), Style.SCALE))
    if position is not None:
        shapes.append(Dot(first + _STEP * (position - 1), middle, _DOT_RADIUS, Style.VALUE))
    return Drawing(last + _DOT_RADIUS, _SCALE_HEIGHT, tuple(shapes), "")


@dataclass(frozen=True, slots=True)
class SeasonDot:
    """One total (0 to 100) of a season, as written beside its dot, and its day in words."""

    value: float
    text: str
    day: str


def season_line(
    dots: Sequence[SeasonDot], mean: float | None, margin: float | None, alt: str
) -> Drawing:
    """Totals in the order of their days, the mean as a line and its margin as a band.

    Days are written below the first and the last dot only, so that they can't collide.
    """
    shapes: list[Shape] = []
    if mean is not None and margin is not None:
        top, bottom = _height(mean + margin), _height(mean - margin)
        shapes.append(Box(0.0, top, _LINE_WIDTH, bottom - top, Style.MARGIN))
    shapes += [_level_line(0.0, _LINE_WIDTH, _height(mark)) for mark in (0.0, 100.0)]
    if mean is not None:
        y = _height(mean)
        shapes.append(Stroke(((0.0, y), (_LINE_WIDTH, y)), Style.SEASON))
    spots = tuple(zip(_spread(len(dots)), (_height(dot.value) for dot in dots), strict=True))
    if len(spots) > 1:
        shapes.append(Stroke(spots, Style.TREND))
    for (x, y), dot in zip(spots, dots, strict=True):
        shapes.append(Dot(x, y, 4.0, Style.VALUE))
        shapes.append(Label(x, y - 9.0, dot.text, Anchor.MIDDLE))
    shapes += _days(dots)
    return Drawing(_LINE_WIDTH, _LINE_HEIGHT, tuple(shapes), alt)


def area_trend(values: Sequence[float | None]) -> Drawing:
    """One area's values (0 to 100) in the order of the games; a gap where it did not count.

    It has no text of its own, because the values stand beside it.
    """
    inset = 3.0
    gap = (_TREND_WIDTH - 2 * inset) / max(len(values) - 1, 1)
    spots = [
        (inset + gap * place, _TREND_HEIGHT - inset - value / 100.0 * (_TREND_HEIGHT - 2 * inset))
        for place, value in enumerate(values)
        if value is not None
    ]
    shapes: list[Shape] = [_level_line(0.0, _TREND_WIDTH, _TREND_HEIGHT - inset)]
    if len(spots) > 1:
        shapes.append(Stroke(tuple(spots), Style.TREND))
    shapes += [Dot(x, y, 2.2, Style.VALUE) for x, y in spots]
    return Drawing(_TREND_WIDTH, _TREND_HEIGHT, tuple(shapes), "")


def _height(value: float) -> float:
    """Where a value lies: 100 at the upper inset, 0 at the lower one."""
    share = min(max(value, 0.0), 100.0) / 100.0
    return _LINE_HEIGHT - _INSET - share * (_LINE_HEIGHT - 2 * _INSET)


def _spread(count: int) -> Iterable[float]:
    if count == 1:
        return (_LINE_WIDTH / 2,)
    gap = (_LINE_WIDTH - 2 * _INSET) / max(count - 1, 1)
    return tuple(_INSET + gap * place for place in range(count))


def _days(dots: Sequence[SeasonDot]) -> list[Label]:
    baseline = _LINE_HEIGHT - 6.0
    if not dots:
        return []
    if len(dots) == 1:
        return [Label(_LINE_WIDTH / 2, baseline, dots[0].day, Anchor.MIDDLE)]
    return [
        Label(0.0, baseline, dots[0].day, Anchor.START),
        Label(_LINE_WIDTH, baseline, dots[-1].day, Anchor.END),
    ]
