"""What the live log's taps say, as facts of a dead ball, and how the ends carry over.

Three taps log a whistle: the zone of the floor where the caller stood, what follows, and whether
the crew switched; in a crew of three the last one is where the caller ended. What wasn't tapped
wasn't seen.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any

from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.court import End, Position, end_of, standing_still
from evaluations.core.mechanics.facts import (
    NOT_SEEN,
    UNWATCHED,
    DeadBall,
    Eyes,
    Kept,
    Log,
    Moment,
    Route,
    Stood,
    positions,
)
from evaluations.core.mechanics.zones import CALLED, Ends, Follows, Zone, exchanged, stand

PAIR = POSITIONS[2]


class Mark(StrEnum):
    """A quick mark: yes, no, or when the players were out of everybody's sight."""

    YES = "yes"
    NO = "no"
    IN_REPORT = "in_report"
    AFTER_REPORT = "after_report"


_LOST = {Mark.IN_REPORT: Moment.REPORT, Mark.AFTER_REPORT: Moment.AFTER_REPORT}
_SEEN_OF_REPORT = {
    "signal_at_spot": "signal_at_spot",
    "player_told": "player_told",
    "benches_watched": "benches_watched",
    "full_stop": "full_stop",
    "spoken": "spoken",
    "type_shown": "type_shown",
    "result_shown": "result_shown",
    "live_after_report": "ended_before_live",
}
_SEEN_OF_PARTNER = {
    "vision_wide": "wide",
    "ball_not_chased": "chased_ball",
    "moved_opposite": "moved_opposite",
}
EYES = "eyes_kept"
ROUTE = "route_around"


def marks_for(rule: str, crew: int) -> tuple[Mark, ...]:
    """The answers of a quick mark on this rule, none where one tap can't say it.

    In a crew of three "no" would not say which of the two others it was.
    """
    if rule == EYES:
        return (Mark.YES, *_LOST)
    of_partner = rule in _SEEN_OF_PARTNER and crew == 2
    return (Mark.YES, Mark.NO) if of_partner or rule in (ROUTE, *_SEEN_OF_REPORT) else ()


@dataclass(frozen=True, slots=True)
class Tap:
    """The taps of one whistle. None is "not seen" everywhere but in `turned`.

    `caller` is who called, as the ends said or as it was tapped. `turned` None: the direction of
    play is what `CALLED` says for what follows. `stood` and `ended` (crews of three) are the
    caller's; `switched` is for crews of two. `marks` has the quick marks by rule.
    """

    zone: Zone | None
    follows: Follows | None
    caller: CrewPosition | None
    back_court: bool = False
    turned: bool | None = None
    stood: Position | None = None
    switched: bool | None = None
    ended: Stood = NOT_SEEN
    marks: Mapping[str, Mark] = field(default_factory=dict)
    period: int | None = None
    clock: str = ""


def ball_of(tap: Tap, crew: int) -> DeadBall:
    """The facts that the taps say, under the number 1: whoever stores them numbers them.

    >>> from evaluations.core.games import POSITIONS
    >>> ball = ball_of(Tap(Zone.T1, Follows.FREE_THROWS, POSITIONS[2][0], switched=True), 2)
    >>> ball.basket.value, ball.before[POSITIONS[2][0]].position.value, ball.resumes.value
    ('left', 'lead', 'free_throws')
    """
    where = None if tap.zone is None else stand(tap.zone, tap.back_court)
    called = None if tap.follows is None else CALLED[tap.follows]
    ball = DeadBall(
        number=1,
        whistle=None if called is None else called.whistle,
        caller=tap.caller,
        resumes=None if called is None else called.resumes,
        court=None if where is None else where.court,
        flip=_flip(tap),
        before=_before(tap, crew),
        after={tap.caller: tap.ended} if tap.caller and tap.ended != NOT_SEEN else {},
        switched=tap.switched if crew == 2 else None,
        period=tap.period,
        clock=tap.clock,
        basket=None if where is None else where.basket,
    )
    for rule, mark in tap.marks.items():
        ball = marked(ball, rule, mark, crew)
    return ball


def _flip(tap: Tap) -> bool | None:
    """After a player control foul the direction always turns, whatever was tapped."""
    usual = None if tap.follows is None else CALLED[tap.follows].flip
    return usual if usual or tap.turned is None else tap.turned


def _before(tap: Tap, crew: int) -> dict[CrewPosition, Stood]:
    if tap.caller is None:
        return {}
    if tap.zone is None:
        return {} if tap.stood is None else {tap.caller: Stood(tap.stood)}
    where = stand(tap.zone, tap.back_court)
    position = where.position if crew == 2 else tap.stood
    return {tap.caller: Stood(position, where.side)}


def marked(ball: DeadBall, rule: str, mark: Mark, crew: int) -> DeadBall:
    """The facts with a quick mark; one that can't be said of this dead ball changes nothing.

    >>> marked(DeadBall(1), "route_around", Mark.NO, 2).report.route.value
    'through'
    """
    if mark not in marks_for(rule, crew):
        return ball
    yes = mark is Mark.YES
    if rule == EYES:
        return replace(ball, eyes=Eyes(kept=yes, lost=_LOST.get(mark)))
    if rule in _SEEN_OF_PARTNER:
        return _partner_marked(ball, _SEEN_OF_PARTNER[rule], yes is (rule != "ball_not_chased"))
    route = Route.AROUND if yes else Route.THROUGH
    seen: dict[str, Any] = {"route": route} if rule == ROUTE else {_SEEN_OF_REPORT[rule]: yes}
    return replace(ball, report=replace(ball.report, **seen))


def _partner_marked(ball: DeadBall, name: str, seen: bool) -> DeadBall:
    if ball.caller is None:
        return ball
    [partner] = [member for member in PAIR if member is not ball.caller]
    was = ball.watching.get(partner, UNWATCHED)
    return replace(ball, watching={**ball.watching, partner: replace(was, **{name: seen})})


def ends_at(ball: DeadBall, carried: Ends | None) -> Ends | None:
    """Who of a crew of two was nearer to which end at the whistle: as seen there, else carried."""
    held = positions(ball.before, PAIR) if ball.before else {}
    if ball.basket is None or not held:
        return carried
    return _ends(held, ball.basket)


def ends_after(ball: DeadBall, carried: Ends | None) -> Ends | None:
    """The ends of a crew of two when the ball was live; None where nobody saw them."""
    held = positions(ball.after, PAIR) if ball.after else {}
    if held and ball.basket is not None and ball.flip is not None:
        return _ends(held, ball.basket.other if ball.flip else ball.basket)
    ends, switched = ends_at(ball, carried), _switched(ball)
    if ends is None or switched is None:
        return None
    return exchanged(ends) if switched else ends


def ends_carried(log: Log, left_end: CrewPosition | None) -> Ends | None:
    """The ends after the last dead ball of a log that began with `left_end` at the left end.

    They are known only of a crew of two, and only where every foul is logged: between the dead
    balls of any other log the crew may have switched.
    """
    if log.crew != 2 or log.kept is not Kept.EVERY_FOUL:
        return None
    ends = None if left_end is None else ends_with(left_end)
    before: DeadBall | None = None
    for ball in log.dead_balls:
        if before is not None and not carries(before.period, ball.period):
            ends = None
        ends, before = ends_after(ball, ends), ball
    return ends


def ends_with(at_left: CrewPosition) -> Ends:
    """The ends of a crew of two with this one nearer to the left end."""
    return {member: End.LEFT if member is at_left else End.RIGHT for member in PAIR}


def carries(before: int | None, now: int | None) -> bool:
    """Whether the ends hold on from a dead ball in one period to the next one.

    A new period begins with new places. One that is named for the first time is new unless it is
    the first.
    """
    return before == now or (before is None and now == 1)


def _ends(held: Mapping[CrewPosition, Position], basket: End) -> Ends:
    found = {member: end_of(position, basket) for member, position in held.items()}
    return {member: end for member, end in found.items() if end is not None}


def _switched(ball: DeadBall) -> bool | None:
    if ball.switched is not None or ball.flip is None:
        return ball.switched
    before, after = positions(ball.before, PAIR), positions(ball.after, PAIR)
    both = before.keys() & after.keys()
    return any(after[m] is not standing_still(before[m], ball.flip) for m in both) if both else None
