"""What a code says for the facts of a dead ball, also where some of them were not seen.

For facts that leave the situation open there is a `Case` for every row that may apply; a rule
gives a verdict only where all cases lead to the same one. Answers are kept, because a season has
many dead balls and few different situations.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import permutations
from typing import NamedTuple

from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.code import (
    Administers,
    MechanicsCode,
    Needs,
    Outcome,
    Row,
    Situation,
    row_for,
    situations,
)
from evaluations.core.mechanics.court import POSITIONS_OF, Place, Position, Side, standing_still
from evaluations.core.mechanics.facts import NOT_SEEN, DeadBall

Places = Mapping[CrewPosition, Place]
Standing = Mapping[CrewPosition, Position]


class Allowed(NamedTuple):
    """An option of a row with its places by member."""

    key: str
    needs: frozenset[Needs]
    places: Places


class Case(NamedTuple):
    """One row that may apply.

    `still` is where each member ends who stays at his or her end. `forcer` is the member in
    whose way the caller stands when the row sends the caller to another position, and whose duty
    it is to force the switch; None when the row asks for none. `administers` is None when it
    depends on the line.
    """

    row: int
    caller: CrewPosition
    flip: bool
    expected: Places
    still: Standing
    forcer: CrewPosition | None
    options: tuple[Allowed, ...]
    administers: CrewPosition | None


class CodeTable:
    """A code made ready to be asked about one crew size."""

    def __init__(self, code: MechanicsCode, crew: int) -> None:
        self.code = code
        self.crew = crew
        self.members = POSITIONS[crew]
        self._rows = {s: row_for(code, s) for s in situations(crew)}
        self._answers: dict[tuple[object, ...], tuple[Case, ...]] = {}

    def cases(self, ball: DeadBall) -> tuple[Case, ...]:
        """The cases that the facts of the dead ball leave; none where the code has a gap."""
        before = ball.before
        stood = [before.get(member, NOT_SEEN) for member in self.members]
        places = tuple([(s.position, s.side) for s in stood])
        key = (ball.whistle, ball.resumes, ball.court, ball.flip, ball.caller, places)
        found = self._answers.get(key)
        if found is None:
            found = self._answers[key] = tuple(self._work_out(ball))
        return found

    def _work_out(self, ball: DeadBall) -> Iterator[Case]:
        seen: set[tuple[int, CrewPosition, bool, tuple[Position, ...]]] = set()
        for situation, caller, standing in self._possible(ball):
            row = self._rows[situation]
            if row is None:
                continue
            key = (row, caller, situation.flip, tuple(standing.values()))
            if key not in seen:
                seen.add(key)
                yield case_of(self.code.rows[row], row, situation.flip, caller, standing)

    def _possible(self, ball: DeadBall) -> Iterator[tuple[Situation, CrewPosition, Standing]]:
        callers = self.members if ball.caller is None else (ball.caller,)
        for order in permutations(POSITIONS_OF[self.crew]):
            standing = dict(zip(self.members, order, strict=True))
            if not _agrees(ball, standing):
                continue
            for caller in callers:
                side = ball.before.get(caller, NOT_SEEN).side
                for situation in self._rows:
                    if situation.caller is standing[caller] and _fits(situation, ball, side):
                        yield situation, caller, standing


def _agrees(ball: DeadBall, standing: Standing) -> bool:
    return all(s.position in (None, standing[m]) for m, s in ball.before.items())


def _fits(situation: Situation, ball: DeadBall, side: Side | None) -> bool:
    return (
        ball.whistle in (None, situation.whistle)
        and ball.resumes in (None, situation.resumes)
        and ball.court in (None, situation.court)
        and ball.flip in (None, situation.flip)
        and side in (None, situation.side)
    )


def case_of(row: Row, index: int, flip: bool, caller: CrewPosition, standing: Standing) -> Case:
    """What a row asks when `caller` called and `standing` is where everybody was before."""
    expected = _places(row.after, standing)
    still = {member: standing_still(position, flip) for member, position in standing.items()}
    due = expected[caller].position
    forcer = None if due is still[caller] else next(m for m, p in still.items() if p is due)
    return Case(
        row=index,
        caller=caller,
        flip=flip,
        expected=expected,
        still=still,
        forcer=forcer,
        options=tuple(Allowed(o.key, o.needs, _places(o.after, standing)) for o in row.options),
        administers=_member_at(row.administers, expected),
    )


def _places(after: Outcome, standing: Standing) -> Places:
    return {member: after[position] for member, position in standing.items()}


def _member_at(administers: Administers, expected: Places) -> CrewPosition | None:
    if administers is Administers.LINE_OWNER:
        return None
    return next(m for m, place in expected.items() if place.position == administers.value)
