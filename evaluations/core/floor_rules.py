"""What sketches and ledgers from film are judged by: one verdict a dead ball and rule.

Each rule compares one measure with the rubric's threshold. It is geometry and seconds, never
accuracy of calls, and from film only: whatever was drawn live or from memory is not judged at all.

While one reports, the players are the others': with two officials the one who didn't call has the
duty. In a larger crew, and once the ball is live, it is the crew's, and a finding is nobody's, met
as well as missed. A measure that is None gives "not judged".
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from evaluations.core.floor.eyes import Cover, DeadTime, Stretch, ledger, on_duty
from evaluations.core.floor.measures import measure
from evaluations.core.floor.route import TOUCH
from evaluations.core.floor.sight import ON_THE_EDGE
from evaluations.core.floor.sketch import Instant, Sketch
from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.engine import Finding
from evaluations.core.mechanics.facts import DeadBall, Log, Source
from evaluations.core.mechanics.judging import answer
from evaluations.core.rubric import FloorRule, Threshold


@dataclass(frozen=True, slots=True)
class Seen:
    """The sketches of one dead ball, by moment, and what was marked on its film."""

    sketches: Mapping[Instant, Sketch] = field(default_factory=dict)
    time: DeadTime | None = None


class _Judged(NamedTuple):
    member: CrewPosition | None
    met: bool | None


class _Ball(NamedTuple):
    """A dead ball with what film showed of it. `report` and `live` are its sketches, `others` who
    have the players while the caller reports: nobody when there is no report or no known caller.
    """

    caller: CrewPosition | None
    others: tuple[CrewPosition, ...]
    report: Sketch | None
    live: Sketch | None
    time: DeadTime | None


def floor_findings(
    log: Log, seen: Mapping[int, Seen], thresholds: Iterable[Threshold]
) -> tuple[Finding, ...]:
    """The findings of a log's dead balls of which something was `seen`, by their numbers."""
    asked = tuple(thresholds)
    return tuple(
        Finding(ball.number, one.rule.value, member, answer(met).verdict)
        for ball in log.dead_balls
        if ball.number in seen
        for one in asked
        for member, met in _JUDGE[one.rule](_ball(log.crew, ball, seen[ball.number]), float(one.at))
    )


def _ball(crew: int, ball: DeadBall, seen: Seen) -> _Ball:
    """Who reports is the caller that the log has, whoever a sketch says."""
    report, live = (_from_film(seen.sketches.get(instant)) for instant in Instant)
    no_report = ball.caller is None or (ball.whistle is not None and not ball.whistle.is_foul)
    caller = None if no_report else ball.caller
    return _Ball(
        caller=caller,
        others=() if caller is None else tuple(m for m in POSITIONS[crew] if m is not caller),
        report=None if report is None else replace(report, reporter=caller),
        live=None if live is None else replace(live, reporter=None),
        time=None if seen.time is None else replace(seen.time, caller=caller),
    )


def _from_film(sketch: Sketch | None) -> Sketch | None:
    return sketch if sketch is not None and sketch.source is Source.FILM else None


def _view_kept(ball: _Ball, at: float) -> Iterator[_Judged]:
    """Each of those who don't report holds at least this share of the players in view."""
    if ball.report is None:
        return
    found = measure(ball.report)
    rows = dict(zip(found.watchers, found.seen, strict=True))
    for member in ball.others:
        row = rows.get(member)
        yield _Judged(member, sum(row) / len(row) >= at if row else None)


def _boxed_in(ball: _Ball, at: float) -> Iterator[_Judged]:
    """At least this share of the players stands between the officials."""
    for sketch, member in _once(ball):
        boxed = measure(sketch).boxed
        yield _Judged(member, None if boxed is None else boxed >= at)


def _apart(ball: _Ball, at: float) -> Iterator[_Judged]:
    """The officials stand at least these degrees apart around the players; of three the two who
    are nearest to each other."""
    for sketch, member in _once(ball):
        angles = measure(sketch).apart
        yield _Judged(member, None if angles is None else min(angles) >= at - ON_THE_EDGE)


def _once(ball: _Ball) -> Iterator[tuple[Sketch, CrewPosition | None]]:
    """One sketch of the officials around the players: of the report, else of the live ball."""
    if ball.report is not None:
        yield ball.report, ball.others[0] if len(ball.others) == 1 else None
    elif ball.live is not None:
        yield ball.live, None


def _route_clear(ball: _Ball, at: float) -> Iterator[_Judged]:
    """The caller's way leads through the players, with room around them, for at most these
    metres."""
    if ball.report is not None and ball.caller is not None:
        route = measure(ball.report).route
        yield _Judged(ball.caller, None if route is None else route.inside <= at + TOUCH)


def _faced(ball: _Ball, at: float) -> Iterator[_Judged]:
    """No uncovered stretch before the report's end is longer than this, in milliseconds.

    Time that nobody can tell may hide a longer one; then neither is sure.
    """
    if ball.time is None or not ball.others:
        return
    member = ball.others[0] if len(ball.others) == 1 else None
    duty = on_duty(ball.time)
    if duty is None:
        yield _Judged(member, None)
        return
    cover = ledger(duty).cover
    sure, possible = (_longest(cover, states) for states in (_SURE, _POSSIBLE))
    yield _Judged(member, False if sure > at else True if possible <= at else None)


_SURE = {Cover.UNCOVERED}
_POSSIBLE = {Cover.UNCOVERED, Cover.UNKNOWN}


def _longest(cover: Iterable[Stretch], states: Collection[str]) -> int:
    """The longest time without a break in one of these states."""
    runs = itertools.groupby(cover, key=lambda stretch: stretch.state in states)
    return max((sum(s.length for s in run) for within, run in runs if within), default=0)


_JUDGE: Mapping[FloorRule, Callable[[_Ball, float], Iterator[_Judged]]] = {
    FloorRule.VIEW_KEPT: _view_kept,
    FloorRule.BOXED_IN: _boxed_in,
    FloorRule.APART: _apart,
    FloorRule.ROUTE_CLEAR: _route_clear,
    FloorRule.FACED: _faced,
}
