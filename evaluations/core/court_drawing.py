"""A court as a drawing: its lines, and where officials stand and go on it.

Lines: those of `floor.frames`; positions have their spots on the FIBA court. Where a position
stands: common practice, no source. The floor is seen from the table, which is drawn at the lower
side line.

What a mark means is told by its shape, never by colour alone: a ring is where somebody stood
before, a dot where he or she ended, a square where the mechanics code sends. The three lie inside
each other where they meet. An unbroken arrow was gone, a broken one was due. Somebody whose side
was not seen stood somewhere on the dotted line across the floor.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from enum import StrEnum
from functools import lru_cache
from math import asin, cos, hypot, pi, sin, sqrt
from typing import NamedTuple

from evaluations.core.drawing import Anchor, Box, Dot, Drawing, Label, Ring, Shape, Stroke, Style
from evaluations.core.floor.frames import FRAMES, CourtFrame, Frame
from evaluations.core.mechanics.court import End, Place, Position, Side
from evaluations.core.mechanics.movement import Movement

Point = tuple[float, float]

FIBA = FRAMES[Frame.FIBA]
LENGTH, WIDTH = FIBA.length, FIBA.width
"""Metres, within the lines."""

COURT_HEIGHT = 120.0
"""Points, margins and table included."""

_RIM = 0.225
_ARC_STEPS = 18

_TABLE_LENGTH, _TABLE_DEPTH, _TABLE_OFF = 6.4, 1.5, 0.45

# Where positions stand, in metres; common practice, no source.
_LEAD_BEHIND, _LEAD_ASIDE = 1.2, 3.4
_TRAIL_FROM_END_LINE = 8.5
_CENTRE_FROM_END_LINE = 5.8
_FROM_SIDE_LINE = 1.0

# Marks, in points.
_RING, _DOT, _SQUARE = 3.6, 2.2, 4.9
_HEAD, _HEAD_ANGLE = 4.6, 0.45
_LABEL_UP = 6.5


class Room(NamedTuple):
    """Metres around the lines: behind the end lines, where the lead stands, beyond the far side
    line, and at the table's."""

    behind: float
    beyond: float
    at_table: float


USUAL = Room(behind=2.0, beyond=0.8, at_table=2.2)


class Mark(StrEnum):
    """What stands on a spot."""

    BEFORE = "before"
    DUE = "due"
    ENDED = "ended"


class Marked(NamedTuple):
    """A mark in a place; `basket` is the one under attack at that moment, `label` a letter."""

    mark: Mark
    place: Place
    basket: End
    label: str = ""

    @property
    def spot(self) -> Point:
        return spot(self.place.position, self.place.side, self.basket)


def spot(position: Position, side: Side | None, basket: End) -> Point:
    """Where an official works, in metres: x from the left end line, y from the side line opposite
    the table. Without a side it is the middle.

    >>> spot(Position.TRAIL, Side.TABLE, End.RIGHT)
    (19.5, 14.0)
    """
    deep = {
        Position.LEAD: -_LEAD_BEHIND,
        Position.TRAIL: _TRAIL_FROM_END_LINE,
        Position.CENTRE: _CENTRE_FROM_END_LINE,
    }[position]
    x = deep if basket is End.LEFT else LENGTH - deep
    aside = _LEAD_ASIDE if position is Position.LEAD else WIDTH / 2 - _FROM_SIDE_LINE
    turn = {None: 0, Side.TABLE: 1, Side.OPPOSITE: -1}[side]
    return x, WIDTH / 2 + turn * aside


def court(
    marks: Sequence[Marked],
    alt: str,
    *,
    moves: Iterable[tuple[Marked, Marked]] = (),
    table: str = "",
    height: float = COURT_HEIGHT,
) -> Drawing:
    """Marks on a court `height` points high, an arrow for each move. `table` is written on the
    table."""
    paper = Paper(height)
    shapes: list[Shape] = [*court_lines(height)]
    if table:
        x, y = paper.point((LENGTH / 2, WIDTH + _TABLE_OFF + _TABLE_DEPTH / 2))
        shapes.append(Label(x, y + 2.4, table, Anchor.MIDDLE))
    for start, end in moves:
        style = Style.WAY_DUE if end.mark is Mark.DUE else Style.WAY
        shapes += _arrow(paper.point(start.spot), paper.point(end.spot), style)
    for marked in marks:
        x, y = paper.point(marked.spot)
        shapes.append(_mark(marked.mark, x, y))
        if marked.label:
            shapes.append(Label(x, y - _LABEL_UP, marked.label, Anchor.MIDDLE))
    return Drawing(paper.width, height, tuple(shapes), alt)


def movement_court(movement: Movement, alt: str, *, table: str = "") -> Drawing:
    """One official's own movement: before, due, ended.

    A free side is due where it was used. A side that was not seen is a line across the floor.
    """
    before_at = movement.basket or End.LEFT
    after_at = before_at.other if movement.flip else before_at
    side = movement.expected.side or movement.actual.side or movement.before.side
    before = Marked(Mark.BEFORE, movement.before, before_at)
    due = Marked(Mark.DUE, Place(movement.expected.position, side), after_at)
    ended = Marked(Mark.ENDED, movement.actual, after_at)
    moves = [] if before.spot == ended.spot else [(before, ended)]
    if due.spot not in (before.spot, ended.spot):
        moves.append((before, due))
    unseen = {m.spot: m for m in (before, ended) if m.place.side is None}.values()
    drawn = court([due, before, ended], alt, moves=moves, table=table)
    return replace(drawn, shapes=(*map(_somewhere, unseen), *drawn.shapes))


def _somewhere(marked: Marked) -> Shape:
    """The line on which a position is worked, from side to side."""
    paper = Paper(COURT_HEIGHT)
    position, basket = marked.place.position, marked.basket
    ends = tuple(paper.point(spot(position, side, basket)) for side in Side)
    return Stroke(ends, Style.SOMEWHERE)


class Paper:
    """Metres on a floor to points on a drawing of it, `height` points high."""

    def __init__(self, height: float, floor: CourtFrame = FIBA, room: Room = USUAL) -> None:
        self.floor = floor
        self.room = room
        self.scale = height / (room.beyond + floor.width + room.at_table)
        self.width = (floor.length + 2 * room.behind) * self.scale

    def point(self, metres: Point) -> Point:
        x, y = metres
        return (self.room.behind + x) * self.scale, (self.room.beyond + y) * self.scale

    def stroke(self, *metres: Point) -> Stroke:
        return Stroke(tuple(map(self.point, metres)), Style.COURT)


@lru_cache(maxsize=16)
def court_lines(height: float, floor: CourtFrame = FIBA, room: Room = USUAL) -> tuple[Shape, ...]:
    """The base court: side and end lines, division line, circle, keys, arcs, baskets, table."""
    paper = Paper(height, floor, room)
    long, wide = floor.length, floor.width
    x, y = paper.point((long / 2 - _TABLE_LENGTH / 2, wide + _TABLE_OFF))
    shapes: list[Shape] = [
        Box(x, y, _TABLE_LENGTH * paper.scale, _TABLE_DEPTH * paper.scale, Style.TABLE),
        paper.stroke((0, 0), (long, 0), (long, wide), (0, wide), (0, 0)),
        paper.stroke((long / 2, 0), (long / 2, wide)),
        Ring(*paper.point((long / 2, wide / 2)), floor.circle_radius * paper.scale, Style.COURT),
    ]
    for end in End:
        shapes += _end_lines(paper, end)
    return tuple(shapes)


def _end_lines(paper: Paper, end: End) -> Iterable[Shape]:
    floor = paper.floor

    def at(deep: float, across: float) -> Point:
        return (deep if end is End.LEFT else floor.length - deep), across

    middle, half, long = floor.width / 2, floor.lane_width / 2, floor.lane_length
    key = ((0, middle - half), (long, middle - half), (long, middle + half))
    yield paper.stroke(*(at(*p) for p in key), at(0, middle + half))
    corner = middle - floor.corner_inset
    reach = asin(corner / floor.arc_radius)
    turns = [reach - 2 * reach * step / _ARC_STEPS for step in range(_ARC_STEPS + 1)]
    arc = [
        at(
            floor.basket_inset + floor.arc_radius * cos(turn),
            middle - floor.arc_radius * sin(turn),
        )
        for turn in turns
    ]
    yield paper.stroke(at(0, middle - corner), *arc, at(0, middle + corner))
    yield Ring(*paper.point(at(floor.basket_inset, middle)), _RIM * paper.scale, Style.COURT)


def _mark(mark: Mark, x: float, y: float) -> Shape:
    if mark is Mark.ENDED:
        return Dot(x, y, _DOT, Style.ENDED)
    if mark is Mark.BEFORE:
        return Ring(x, y, _RING, Style.BEFORE)
    corners = ((-1, -1), (1, -1), (1, 1), (-1, 1), (-1, -1))
    return Stroke(tuple((x + i * _SQUARE, y + j * _SQUARE) for i, j in corners), Style.DUE)


def _arrow(start: Point, end: Point, style: Style) -> Iterable[Shape]:
    """A shaft between the marks' edges, and a head of two strokes."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    far = hypot(dx, dy)
    clear = _SQUARE * sqrt(2)
    if far <= 2 * clear:
        return
    ux, uy = dx / far, dy / far
    tail = (start[0] + ux * clear, start[1] + uy * clear)
    tip = (end[0] - ux * clear, end[1] - uy * clear)
    yield Stroke((tail, tip), style)
    wings = [_turned(-ux, -uy, turn) for turn in (_HEAD_ANGLE, 2 * pi - _HEAD_ANGLE)]
    left, right = ((tip[0] + wx * _HEAD, tip[1] + wy * _HEAD) for wx, wy in wings)
    yield Stroke((left, tip, right), Style.WAY)


def _turned(x: float, y: float, turn: float) -> Point:
    return x * cos(turn) - y * sin(turn), x * sin(turn) + y * cos(turn)
