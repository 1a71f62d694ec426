"""States, and who may do what when; the frozen evaluation that a letter is made of.

An evaluation is worked on (draft, submitted, returned) and released. A release is read and
answered, and in the end superseded or withdrawn; it never changes.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from enum import StrEnum
from fractions import Fraction

from evaluations.core.floor_evidence import OwnLedger, OwnSketch
from evaluations.core.games import CrewPosition, GameFacts, ObservationFacts
from evaluations.core.mechanics.counts import Count, Levels
from evaluations.core.mechanics.facts import Kept, Source
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.mechanics.movement import Movement
from evaluations.core.next_steps import NextStep, Strength
from evaluations.core.ratings import Rating
from evaluations.core.rubric import RubricSpec, RubricWording
from evaluations.core.scoring import ScoreCard


class State(StrEnum):
    """The first four are an evaluation's, RELEASED and the rest a release's."""

    DRAFT = "draft"
    SUBMITTED = "submitted"
    RETURNED = "returned"
    RELEASED = "released"
    ACKNOWLEDGED = "acknowledged"
    RESPONDED = "responded"
    SUPERSEDED = "superseded"
    WITHDRAWN = "withdrawn"


class Who(StrEnum):
    """What somebody is to one evaluation."""

    AUTHOR = "author"
    SUBJECT = "subject"
    ADMIN = "admin"


class Action(StrEnum):
    SAVE = "save"
    SUBMIT = "submit"
    RETURN = "return"
    RELEASE = "release"
    ACKNOWLEDGE = "acknowledge"
    RESPOND = "respond"
    ASK_REVIEW = "ask_review"
    AMEND = "amend"
    SUPERSEDE = "supersede"
    WITHDRAW = "withdraw"


@dataclass(frozen=True, slots=True)
class Rule:
    """`who` may do it in one of the `before` states; it leads to `after` (None: unchanged)."""

    who: frozenset[Who]
    before: frozenset[State]
    after: State | None


_CURRENT = frozenset({State.RELEASED, State.ACKNOWLEDGED, State.RESPONDED})

RULES: dict[Action, Rule] = {
    Action.SAVE: Rule(frozenset({Who.AUTHOR}), frozenset({State.DRAFT, State.RETURNED}), None),
    Action.SUBMIT: Rule(
        frozenset({Who.AUTHOR}), frozenset({State.DRAFT, State.RETURNED}), State.SUBMITTED
    ),
    Action.RETURN: Rule(frozenset({Who.ADMIN}), frozenset({State.SUBMITTED}), State.RETURNED),
    Action.RELEASE: Rule(frozenset({Who.ADMIN}), frozenset({State.SUBMITTED}), State.RELEASED),
    Action.ACKNOWLEDGE: Rule(
        frozenset({Who.SUBJECT}), frozenset({State.RELEASED}), State.ACKNOWLEDGED
    ),
    Action.RESPOND: Rule(
        frozenset({Who.SUBJECT}),
        frozenset({State.RELEASED, State.ACKNOWLEDGED}),
        State.RESPONDED,
    ),
    Action.ASK_REVIEW: Rule(frozenset({Who.SUBJECT}), _CURRENT, None),
    Action.AMEND: Rule(
        frozenset({Who.AUTHOR, Who.ADMIN}), frozenset({State.RELEASED}), State.RETURNED
    ),
    Action.SUPERSEDE: Rule(frozenset({Who.ADMIN}), _CURRENT, State.SUPERSEDED),
    Action.WITHDRAW: Rule(frozenset({Who.ADMIN}), _CURRENT, State.WITHDRAWN),
}
"""Who may do what when. AMEND takes a released evaluation back to work; its letter stays current
until the next release supersedes it."""


CORRECT_WITHIN = timedelta(hours=48)
"""From the official's answer: until then the author may amend without being asked by an admin."""

REVIEW_WITHIN = timedelta(days=7)
"""From the letter's opening: until then the official may ask for a review."""


class NotAllowed(ValueError):
    """The action is not this person's, or not possible in this state."""

    def __init__(self, action: Action, state: State) -> None:
        super().__init__(f"{action} is not possible while {state}")
        self.action = action
        self.state = state


def allowed(action: Action, state: State, who: frozenset[Who]) -> bool:
    rule = RULES[action]
    return state in rule.before and bool(rule.who & who)


def after(action: Action, state: State, who: frozenset[Who]) -> State:
    """The state that the action leads to.

    Raises:
        NotAllowed: the table has no such line.
    """
    if not allowed(action, state, who):
        raise NotAllowed(action, state)
    return RULES[action].after or state


@dataclass(frozen=True, slots=True)
class SeasonValue:
    """An official's season as of a letter, 0 to 100; shown from the third scored one on.

    `margin` is half the 95 % interval, None below two observations. `areas` are means of area
    values by key. `corrected` says whether observers' severity was taken out. Means are exact, so
    that they print half up like every other figure.
    """

    observations: int
    mean: Fraction | None
    margin: float | None
    areas: dict[str, Fraction]
    corrected: bool = False


@dataclass(frozen=True, slots=True)
class CountedCriterion:
    """What the log said about one criterion, and the levels that this suggested (None: not enough
    was seen)."""

    count: Count
    suggested: Levels | None


@dataclass(frozen=True, slots=True)
class LogEvidence:
    """What the dead-ball log says about one official: own counts by criterion, own movement, own
    sketch and own ledger.

    `dead_balls` counts the whistles in the log, `code` names the mechanics code and its edition.
    """

    kept: Kept
    source: Source
    dead_balls: int
    code: str
    counted: dict[str, CountedCriterion]
    movement: Movement | None
    sketch: OwnSketch | None = None
    ledger: OwnLedger | None = None

    @property
    def shows_sketch(self) -> bool:
        """Whether the sketch takes the court's place, because it tells more than the movement does.

        It does so without a movement, and where it shows something to change and the movement
        shows none. Of two that both do the movement stays: its place is the code's word.
        """
        if self.sketch is None or self.movement is None:
            return self.sketch is not None
        return self.sketch.missed > 0 and self.movement.verdict is not Verdict.NOT_MET

    @property
    def draws(self) -> bool:
        """Whether a court stands beside the quotations."""
        return self.movement is not None or self.sketch is not None


@dataclass(frozen=True)
class ReleaseSnapshot:
    """One evaluation, frozen: all that its letter says, and nothing of anybody else's.

    `serial` counts the releases of one evaluation from 1. `code` verifies the letter. `wording`
    is in the official's language. `comments` are in the ratings. `log` is
    None where none was kept.
    """

    association: str
    official: str
    observer: str
    position: CrewPosition
    game: GameFacts
    observation: ObservationFacts
    rubric_name: str
    mechanics_code: str
    rubric: RubricSpec
    wording: RubricWording
    ratings: tuple[Rating, ...]
    card: ScoreCard
    summary: str
    strengths: tuple[Strength, ...]
    next_steps: tuple[NextStep, ...]
    season: SeasonValue
    new_official: bool
    under_18: bool
    issued_on: date
    respond_until: date
    paragraph: str
    serial: int
    code: str
    address: str
    paper: str
    log: LogEvidence | None = None


@dataclass(frozen=True, slots=True)
class QuietHours:
    """When no mail goes out: from `begin` to `end` by the official's clock, and before a game."""

    begin: time = time(21)
    end: time = time(8)
    before_game: timedelta = timedelta(hours=6)
    cool_off: timedelta = timedelta(hours=12)


def opens_at(
    released_at: datetime,
    *,
    game_at: datetime,
    next_game_at: datetime | None,
    quiet: QuietHours,
) -> datetime:
    """When a released letter may be read and announced: the first moment that no rule forbids.

    The cool-off runs from the game. Quiet hours are by the clock of `released_at`, which must be
    the official's, and may span midnight. A next game keeps the letter closed from `before_game`
    until its own cool-off is over. All times are aware; hours are real ones, also on a day on
    which the clocks change.

    >>> from datetime import timezone
    >>> game = datetime(2026, 11, 10, 19, tzinfo=timezone.utc)
    >>> released = game + timedelta(hours=4)
    >>> opens_at(released, game_at=game, next_game_at=None, quiet=QuietHours()).isoformat()
    '2026-11-11T08:00:00+00:00'
    """
    zone = released_at.tzinfo
    cooled = game_at.astimezone(UTC) + quiet.cool_off
    moment = _after_quiet_hours(max(released_at.astimezone(UTC), cooled), zone, quiet)
    if next_game_at is not None:
        begins = next_game_at.astimezone(UTC)
        cooled = begins + quiet.cool_off
        if begins - quiet.before_game <= moment < cooled:
            moment = _after_quiet_hours(cooled, zone, quiet)
    return moment.astimezone(zone)


def _after_quiet_hours(moment: datetime, zone: tzinfo | None, quiet: QuietHours) -> datetime:
    """The moment, or the end of the quiet hours that it falls in, in UTC: only there does adding
    and comparing give real hours."""
    local = moment.astimezone(zone)
    clock = local.time()
    spans_midnight = quiet.begin > quiet.end
    in_evening = clock >= quiet.begin and (spans_midnight or clock < quiet.end)
    in_morning = clock < quiet.end and (spans_midnight or clock >= quiet.begin)
    if not (in_evening or in_morning):
        return moment
    day = local.date() if clock < quiet.end else local.date() + timedelta(days=1)
    # In the hour that comes twice, the end meant is the one after the moment.
    end = datetime.combine(day, quiet.end.replace(fold=local.fold), tzinfo=zone)
    return end.astimezone(UTC)
