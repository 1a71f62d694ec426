"""The eyes ledger: in which seconds of a dead ball the players were faced.

Times are whole milliseconds, spans half open: a span has its first millisecond and not its last.
From film only: nobody can count this from the stand.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import NamedTuple

from evaluations.core.games import POSITIONS, CrewPosition


class LedgerError(ValueError):
    """Marks that can't be right. `field` names the value, as in `live`."""

    def __init__(self, field: str, message: str) -> None:
        super().__init__(f"{field}: {message}")
        self.field = field
        self.message = message


class Facing(StrEnum):
    """What was marked about one official; time without a mark is "can't tell"."""

    FACING = "facing"
    NOT_FACING = "not_facing"
    CANT_TELL = "cant_tell"


class Cover(StrEnum):
    """Of the crew: at least one faces the players, every one doesn't, or nobody can tell."""

    COVERED = "covered"
    UNCOVERED = "uncovered"
    UNKNOWN = "unknown"


class Whose(StrEnum):
    """Whose the players are: while one reports they are the others', then the crew's."""

    OTHERS = "others"
    CREW = "crew"


class Mark(NamedTuple):
    """What was marked about an official from `start` on; `end` None never ended."""

    member: CrewPosition
    facing: Facing
    start: int
    end: int | None = None


@dataclass(frozen=True, slots=True)
class DeadTime:
    """From whistle to ball live, with everybody's marks in the order in which they were made.

    `live` None: the ball never became live on this film. `report_ended` None: not seen, or no
    report. `caller` None: not known.

    Raises:
        LedgerError: times out of order, or a mark about nobody of this crew.
    """

    crew: int
    whistle: int
    live: int | None
    report_ended: int | None
    caller: CrewPosition | None
    marks: tuple[Mark, ...]

    def __post_init__(self) -> None:
        if self.crew not in POSITIONS:
            raise LedgerError("crew", "must be 2 or 3")
        if self.live is not None and self.live < self.whistle:
            raise LedgerError("live", "can't be before the whistle")
        if self.report_ended is not None and self.report_ended < self.whistle:
            raise LedgerError("report_ended", "can't be before the whistle")
        for n, mark in enumerate(self.marks):
            if mark.member not in POSITIONS[self.crew]:
                allowed = ", ".join(POSITIONS[self.crew])
                raise LedgerError(f"marks[{n}].member", f"must be one of {allowed}")


class Stretch(NamedTuple):
    """A part of a band, from `start` up to but without `end`."""

    start: int
    end: int
    state: str

    @property
    def length(self) -> int:
        return self.end - self.start


class Gap(NamedTuple):
    """An uncovered stretch and whose the players were then. `owner`: the one whose duty it was;
    None where that was the crew's or one of several."""

    start: int
    end: int
    whose: Whose
    owner: CrewPosition | None

    @property
    def length(self) -> int:
        return self.end - self.start


class Sums(NamedTuple):
    """Milliseconds; the three add up to the length."""

    covered: int
    uncovered: int
    unknown: int


@dataclass(frozen=True, slots=True)
class Ledger:
    """`officials` has each member's band, `cover` the crew's, both from whistle to `end`.

    `sums` and `longest` are None for an open ledger, whose ball never became live; `end` is then
    the last thing marked.
    """

    start: int
    end: int
    officials: dict[CrewPosition, tuple[Stretch, ...]]
    cover: tuple[Stretch, ...]
    gaps: tuple[Gap, ...]
    sums: Sums | None
    longest: Gap | None


def ledger(time: DeadTime) -> Ledger:
    """Bands, gaps and sums of one dead ball.

    A later mark about an official takes the place of an earlier one where they overlap. What lies
    outside whistle and ball live is cut off; a mark that never ended runs to the end. A gap that
    spans the end of the report is two, because the duty changes hands there.
    """
    start, end = time.whistle, _end(time)
    bands = {
        member: _band([m for m in time.marks if m.member is member], start, end)
        for member in POSITIONS[time.crew]
    }
    cover = _cover(list(bands.values()), start, end)
    gaps = tuple(_gaps(time, cover))
    closed = time.live is not None
    return Ledger(
        start=start,
        end=end,
        officials=bands,
        cover=cover,
        gaps=gaps,
        sums=Sums(*(_sum(cover, state) for state in Cover)) if closed else None,
        # Of two gaps of one length the earlier one.
        longest=max(gaps, key=lambda gap: gap.length, default=None) if closed else None,
    )


def on_duty(time: DeadTime) -> DeadTime | None:
    """The time until the report ended, in which the players are those of the ones who don't report.

    None when the film doesn't show that end, or the ball never became live on it.
    """
    if time.report_ended is None or time.live is None:
        return None
    return replace(time, live=min(time.report_ended, time.live))


def _end(time: DeadTime) -> int:
    if time.live is not None:
        return time.live
    marked = [edge for m in time.marks for edge in (m.start, m.end) if edge is not None]
    return max([time.whistle, time.report_ended or time.whistle, *marked])


def _band(marks: Sequence[Mark], start: int, end: int) -> tuple[Stretch, ...]:
    """One official's states: between two edges the last mark that covers it counts."""
    clipped = [
        (max(m.start, start), end if m.end is None else min(m.end, end), m.facing) for m in marks
    ]
    edges = _edges(((s, e) for s, e, _facing in clipped if s < e), start, end)

    def state(at: int) -> str:
        found = (facing for s, e, facing in reversed(clipped) if s <= at < e)
        return next(found, Facing.CANT_TELL)

    return _merged((s, e, state(s)) for s, e in itertools.pairwise(edges))


def _cover(bands: Sequence[tuple[Stretch, ...]], start: int, end: int) -> tuple[Stretch, ...]:
    edges = _edges(((s.start, s.end) for band in bands for s in band), start, end)

    def state(at: int) -> str:
        now = [next(s.state for s in band if s.start <= at < s.end) for band in bands]
        if Facing.FACING in now:
            return Cover.COVERED
        every = all(one == Facing.NOT_FACING for one in now)
        return Cover.UNCOVERED if every else Cover.UNKNOWN

    return _merged((s, e, state(s)) for s, e in itertools.pairwise(edges))


def _edges(spans: Iterable[tuple[int, int]], start: int, end: int) -> list[int]:
    return sorted({start, end, *(edge for span in spans for edge in span)})


def _merged(parts: Iterable[tuple[int, int, str]]) -> tuple[Stretch, ...]:
    found: list[Stretch] = []
    for start, end, state in parts:
        if found and found[-1].state == state:
            found[-1] = found[-1]._replace(end=end)
        else:
            found.append(Stretch(start, end, state))
    return tuple(found)


def _sum(band: tuple[Stretch, ...], state: str) -> int:
    return sum(stretch.length for stretch in band if stretch.state == state)


def _gaps(time: DeadTime, cover: tuple[Stretch, ...]) -> Iterable[Gap]:
    turn = time.report_ended
    for stretch in cover:
        if stretch.state != Cover.UNCOVERED:
            continue
        if turn is None or turn >= stretch.end:
            yield _gap(time, stretch.start, stretch.end, reporting=turn is not None)
        elif turn <= stretch.start:
            yield Gap(stretch.start, stretch.end, Whose.CREW, None)
        else:
            yield _gap(time, stretch.start, turn, reporting=True)
            yield Gap(turn, stretch.end, Whose.CREW, None)


def _gap(time: DeadTime, start: int, end: int, *, reporting: bool) -> Gap:
    """A gap before the report's end; without one nobody knows whether the duty was shared."""
    if not reporting:
        return Gap(start, end, Whose.CREW, None)
    others = [m for m in POSITIONS[time.crew] if m is not time.caller]
    owner = others[0] if time.caller is not None and len(others) == 1 else None
    return Gap(start, end, Whose.OTHERS, owner)
