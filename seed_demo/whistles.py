"""What a crew does at each whistle of a game, and what its observer sees of it: facts alone.

A habit makes the share of duties met fit the level that the observer gives, so that a log says the
same as its form. The mechanics code says where everybody should go; a crew that keeps its habits
goes there.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from random import Random
from typing import Final

from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.court import (
    POSITIONS_OF,
    Court,
    End,
    Place,
    Position,
    Resumes,
    Side,
    Whistle,
    position_at,
)
from evaluations.core.mechanics.engine import Engine, expected_place
from evaluations.core.mechanics.facts import (
    DeadBall,
    Eyes,
    Moment,
    NumberShown,
    Report,
    Route,
    Stood,
    Watching,
)
from evaluations.core.mechanics.judging import Board

# How often a duty is met that is rated with a level.
SHARES: Final = {1: 0.2, 2: 0.43, 3: 0.68, 4: 0.9, 5: 1.0}
SEEN: Final = 0.85
"""How often one fact is seen."""

BACK_COURT: Final = 0.1
NUMBERS: Final = ("00", "3", "4", "5", "10", "11", "12", "14", "15", "20", "23", "24", "30", "32")

# Whistle, how play resumes, whether the direction turns; the first are the usual ones.
CALLS: Final = (
    *[(Whistle.COMMON, Resumes.END_LINE, False)] * 6,
    *[(Whistle.SHOOTING, Resumes.FREE_THROWS, False)] * 7,
    *[(Whistle.COMMON, Resumes.SIDE_LINE, False)] * 4,
    *[(Whistle.PLAYER_CONTROL, Resumes.END_LINE, True)] * 2,
    (Whistle.PLAYER_CONTROL, Resumes.SIDE_LINE, True),
)
FREE_THROWS: Final = CALLS[6]
CHARGE: Final = CALLS[-1]

STILL, ROUTE, PARTS = "still-before-first-sign", "route-round-players", "three-parts-apart"
PLACE, SWITCH, BALL_WAITS = (
    "code-place-when-live",
    "non-caller-starts-switch",
    "ball-waits-for-crew",
)
FACES, OPPOSITE, PLAYERS_FIRST = (
    "faces-players-during-report",
    "opposite-place",
    "players-before-ball",
)
PRELIMINARY: Final = "preliminary-at-spot"

Levels = Mapping[str, int | None]


@dataclass(frozen=True)
class Scene:
    """What happens at one dead ball whatever else is usual.

    `long_switch_missed`: a player control foul, and nobody switches. `through`: the report's way
    leads through the players. `option`: on a heated bench the caller stays lead, opposite.
    """

    long_switch_missed: bool = False
    through: bool = False
    option: bool = False


USUAL: Final = Scene()


@dataclass
class Habit:
    """How reliably one duty is met: misses come evenly, from a chance start."""

    share: float
    owed: float

    def kept(self) -> bool:
        self.owed += 1 - self.share
        if self.owed < 1:
            return True
        self.owed -= 1
        return False


@dataclass
class Crew:
    """The officials of one game while they whistle it."""

    engine: Engine
    levels: Mapping[CrewPosition, Levels]
    chance: Random
    agreed: frozenset[str] = frozenset()
    habits: dict[tuple[CrewPosition, str], Habit] = field(default_factory=dict)
    ends: dict[CrewPosition, End] = field(default_factory=dict)

    @property
    def members(self) -> tuple[CrewPosition, ...]:
        return POSITIONS[self.engine.table.crew]

    def __post_init__(self) -> None:
        if len(self.members) == 2:
            self.ends = dict(zip(self.members, End, strict=True))

    def whistles(
        self, moments: Sequence[tuple[int, str]], scenes: Mapping[int, Scene]
    ) -> Iterator[DeadBall]:
        """A dead ball for each moment (quarter from 0, clock), numbered from 1."""
        for number, (quarter, clock) in enumerate(moments, start=1):
            scene = scenes.get(number, USUAL)
            ball = replace(self._called(scene), number=number, period=quarter + 1, clock=clock)
            yield self._watched(self._reported(self._gone(ball, scene), scene))

    def _called(self, scene: Scene) -> DeadBall:
        whistle, resumes, flip = self.chance.choice(CALLS)
        if scene.long_switch_missed:
            whistle, resumes, flip = CHARGE
        if scene.option:
            whistle, resumes, flip = FREE_THROWS
        basket = self.chance.choice(list(End))
        standing = self._standing(basket)
        caller = self.chance.choice(self.members)
        if scene.option or scene.long_switch_missed:
            caller = next(m for m, place in standing.items() if place.position is not Position.LEAD)
        if scene.option:
            caller = next(m for m, place in standing.items() if place.position is Position.LEAD)
        in_back = whistle is Whistle.COMMON and self.chance.random() < BACK_COURT
        return DeadBall(
            number=1,
            whistle=whistle,
            caller=caller,
            resumes=resumes,
            court=Court.BACK if in_back else Court.FRONT,
            flip=flip,
            before={m: Stood(place.position, place.side) for m, place in standing.items()},
            basket=basket,
            heated_bench=scene.option,
        )

    def _standing(self, basket: End) -> dict[CrewPosition, Place]:
        """Where they are when play stops: a crew of two by its ends, one of three anyhow."""
        sides = list(Side)
        self.chance.shuffle(sides)
        if self.ends:
            return {
                m: Place(position_at(end, basket), side)
                for (m, end), side in zip(self.ends.items(), sides, strict=True)
            }
        order = list(self.members)
        self.chance.shuffle(order)
        free = self.chance.choice(sides)
        return {
            m: Place(position, side)
            for m, position, side in zip(order, POSITIONS_OF[3], (free, *sides), strict=True)
        }

    def _gone(self, ball: DeadBall, scene: Scene) -> DeadBall:
        """Where they went until the ball was live."""
        board = self.engine.board(ball, self.agreed)
        (case,) = board.cases
        if scene.option:
            places = dict(case.options[0].places)
        elif scene.long_switch_missed or not self._switched(board):
            places = {m: Place(position) for m, position in case.still.items()}
        else:
            places = {m: self._place(board, m) for m in self.members}
        after = {m: Stood(p.position, p.side or self._any_side()) for m, p in places.items()}
        if self.ends:
            turned = ball.basket.other if ball.flip and ball.basket else ball.basket
            at_lead = turned or End.LEFT
            self.ends = {
                m: at_lead if p.position is Position.LEAD else at_lead.other
                for m, p in places.items()
            }
        told = scene is not USUAL
        return replace(ball, after=after) if told or self._sees() else ball

    def _switched(self, board: Board) -> bool:
        forcer = board.cases[0].forcer
        return forcer is None or self._keeps(forcer, SWITCH)

    def _place(self, board: Board, member: CrewPosition) -> Place:
        due = expected_place(board, member)
        assert due is not None  # everything that the code asks about is known
        if due.side is None or self._keeps(member, PLACE):
            return due
        wrong = Side.OPPOSITE if due.side is Side.TABLE else Side.TABLE
        return Place(due.position, wrong)

    def _reported(self, ball: DeadBall, scene: Scene) -> DeadBall:
        caller = ball.caller
        assert caller is not None
        around = not scene.through and self._seen(caller, ROUTE)
        parts = self._seen(caller, PARTS)
        left_out = self.chance.choice(("number", "type", "result")) if parts is False else ""
        number = NumberShown.NOT_SHOWN if left_out == "number" else NumberShown.AT_ONCE
        report = Report(
            signal_at_spot=self._seen(caller, PRELIMINARY),
            route=None if around is None else Route.AROUND if around else Route.THROUGH,
            full_stop=self._seen(caller, STILL),
            player=self.chance.choice(NUMBERS),
            number_shown=None if parts is None else number,
            type_shown=None if parts is None else left_out != "type",
            result_shown=None if parts is None else left_out != "result",
            ended_before_live=self._seen(self._partner(ball), BALL_WAITS),
        )
        return replace(ball, report=report)

    def _watched(self, ball: DeadBall) -> DeadBall:
        partners = [m for m in self.members if m is not ball.caller]
        faced = self._seen(self._partner(ball), FACES)
        watching = {}
        for member in partners:
            left_ball = self._seen(member, PLAYERS_FIRST)
            watching[member] = Watching(
                chased_ball=None if left_ball is None else not left_ball,
                moved_opposite=self._seen(member, OPPOSITE),
            )
        eyes = Eyes(kept=faced, lost=Moment.REPORT if faced is False else None)
        return replace(ball, watching=watching, eyes=eyes)

    def _partner(self, ball: DeadBall) -> CrewPosition:
        return next(m for m in self.members if m is not ball.caller)

    def _keeps(self, member: CrewPosition, criterion: str) -> bool:
        level = self.levels.get(member, {}).get(criterion)
        if (member, criterion) not in self.habits:
            share = SHARES[4 if level is None else level]
            self.habits[member, criterion] = Habit(share, self.chance.random())
        return self.habits[member, criterion].kept()

    def _seen(self, member: CrewPosition, criterion: str) -> bool | None:
        """Whether a duty was met, or None: not seen, as nothing is of what has no level."""
        rated = self.levels.get(member, {}).get(criterion) is not None
        return self._keeps(member, criterion) if rated and self._sees() else None

    def _sees(self) -> bool:
        return self.chance.random() < SEEN

    def _any_side(self) -> Side:
        return self.chance.choice(list(Side))
