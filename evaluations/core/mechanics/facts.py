"""What an observer logged: the facts of each dead ball, never verdicts.

None is "not seen" everywhere, and no rule takes it for a miss.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.court import (
    POSITIONS_OF,
    Court,
    End,
    Position,
    Resumes,
    Side,
    Whistle,
    possible,
    standing_still,
)


class LogError(ValueError):
    """Facts that contradict each other. `field` names one, as in `switched`."""

    def __init__(self, field: str, message: str) -> None:
        super().__init__(f"{field}: {message}")
        self.field = field
        self.message = message


class Kept(StrEnum):
    """How a log was kept."""

    EVERY_FOUL = "every_foul"
    EVERY_NTH = "every_nth"
    ONE_DUTY = "one_duty"
    STRIKING = "striking"

    @property
    def gives_shares(self) -> bool:
        """Only what struck the observer gives examples, and no shares."""
        return self is not Kept.STRIKING

    @property
    def is_sample(self) -> bool:
        return self in (Kept.EVERY_NTH, Kept.ONE_DUTY)


class Source(StrEnum):
    """What the observer logged from."""

    LIVE = "live"
    FILM = "film"
    MEMORY = "memory"


class Route(StrEnum):
    """The caller's way to the reporting area."""

    AROUND = "around"
    THROUGH = "through"


class NumberShown(StrEnum):
    """How the caller's hands gave the player's number."""

    AT_ONCE = "at_once"
    TENS_THEN_UNITS = "tens_then_units"
    NOT_SHOWN = "not_shown"


class Moment(StrEnum):
    """When the players were out of everybody's sight."""

    REPORT = "report"
    AFTER_REPORT = "after_report"


@dataclass(frozen=True, slots=True)
class Stood:
    """Where a member was seen; either part may be missing."""

    position: Position | None = None
    side: Side | None = None


@dataclass(frozen=True, slots=True)
class Report:
    """What was seen of the caller's report. `player` is a jersey number, "00" and "0" apart."""

    signal_at_spot: bool | None = None
    player_told: bool | None = None
    route: Route | None = None
    benches_watched: bool | None = None
    full_stop: bool | None = None
    spoken: bool | None = None
    player: str | None = None
    number_shown: NumberShown | None = None
    type_shown: bool | None = None
    result_shown: bool | None = None
    ended_before_live: bool | None = None


@dataclass(frozen=True, slots=True)
class Watching:
    """What was seen of a member on a partner's whistle."""

    wide: bool | None = None
    chased_ball: bool | None = None
    moved_opposite: bool | None = None


@dataclass(frozen=True, slots=True)
class Eyes:
    """Whether somebody faced the players all the time.

    `lost` says when nobody did. `whose` is the observer's word on whose duty it was then.
    """

    kept: bool | None = None
    lost: Moment | None = None
    whose: CrewPosition | None = None


NOT_SEEN = Stood()
NO_REPORT = Report()
NO_EYES = Eyes()
UNWATCHED = Watching()


@dataclass(frozen=True, slots=True)
class DeadBall:
    """One whistle and what the crew did until the ball was live.

    `basket` is the one under attack before the whistle. `flip`: the direction of play turns.
    `before` and `after` have positions relative to the basket under attack at that moment.
    `switched` (crews of two) says in one word what `after` says by positions. `switch_whose` is
    the observer's word on whose duty a missed switch was.
    """

    number: int
    whistle: Whistle | None = None
    caller: CrewPosition | None = None
    resumes: Resumes | None = None
    court: Court | None = None
    flip: bool | None = None
    before: Mapping[CrewPosition, Stood] = field(default_factory=dict)
    after: Mapping[CrewPosition, Stood] = field(default_factory=dict)
    switched: bool | None = None
    switch_whose: CrewPosition | None = None
    heated_bench: bool | None = None
    report: Report = NO_REPORT
    watching: Mapping[CrewPosition, Watching] = field(default_factory=dict)
    eyes: Eyes = NO_EYES
    period: int | None = None
    clock: str = ""
    basket: End | None = None
    note: str = ""

    def __post_init__(self) -> None:
        flips = (True, False) if self.flip is None else (self.flip,)
        ways = Resumes if self.resumes is None else (self.resumes,)
        whistles = Whistle if self.whistle is None else (self.whistle,)
        if not any(possible(w, r, f) for w in whistles for r in ways for f in flips):
            raise LogError("whistle", "does not go with this direction and this way to resume")
        for name, stood in (("before", self.before), ("after", self.after)):
            taken = [s.position for s in stood.values() if s.position is not None]
            if len(taken) != len(set(taken)):
                raise LogError(name, "has two members in one position")


@dataclass(frozen=True, slots=True)
class Log:
    """The dead balls of one observation. `agreed` has options' keys; None: nobody asked."""

    crew: int
    dead_balls: tuple[DeadBall, ...]
    kept: Kept = Kept.EVERY_FOUL
    source: Source = Source.LIVE
    agreed: frozenset[str] | None = frozenset()

    def __post_init__(self) -> None:
        if self.crew not in POSITIONS:
            raise LogError("crew", "must be 2 or 3")
        numbers: set[int] = set()
        for place, ball in enumerate(self.dead_balls):
            at = f"dead_balls[{place}]"
            if ball.number in numbers:
                raise LogError(f"{at}.number", "is there twice")
            numbers.add(ball.number)
            self._check_members(ball, at)
            _check_switched(ball, self.crew, at)

    @property
    def members(self) -> tuple[CrewPosition, ...]:
        return POSITIONS[self.crew]

    def _check_members(self, ball: DeadBall, at: str) -> None:
        named = {
            "caller": (ball.caller,),
            "before": tuple(ball.before),
            "after": tuple(ball.after),
            "watching": tuple(ball.watching),
            "eyes.whose": (ball.eyes.whose,),
            "switch_whose": (ball.switch_whose,),
        }
        for name, members in named.items():
            if any(member is not None and member not in self.members for member in members):
                allowed = ", ".join(self.members)
                raise LogError(f"{at}.{name}", f"must name members of this crew: {allowed}")
        for name, stood in (("before", ball.before), ("after", ball.after)):
            taken = [s.position for s in stood.values()]
            if self.crew == 2 and Position.CENTRE in taken:
                raise LogError(f"{at}.{name}", "a crew of two has no centre")


def _check_switched(ball: DeadBall, crew: int, at: str) -> None:
    if ball.switched is None:
        return
    if crew != 2:
        raise LogError(f"{at}.switched", "is for crews of two; give positions in after")
    if ball.flip is None:
        return
    before, after = positions(ball.before, POSITIONS[2]), positions(ball.after, POSITIONS[2])
    for member in before.keys() & after.keys():
        if (after[member] is not standing_still(before[member], ball.flip)) != ball.switched:
            raise LogError(f"{at}.switched", "says something else than before and after")


def positions(
    stood: Mapping[CrewPosition, Stood], members: tuple[CrewPosition, ...]
) -> dict[CrewPosition, Position]:
    """The positions that were seen; the last one goes to the last member.

    >>> a, b = POSITIONS[2]
    >>> positions({a: Stood(Position.LEAD)}, (a, b))[b].value
    'trail'
    """
    found = {m: s.position for m, s in stood.items() if s.position is not None}
    left = [p for p in POSITIONS_OF[len(members)] if p not in found.values()]
    if len(left) == 1:
        found[next(m for m in members if m not in found)] = left[0]
    return found
