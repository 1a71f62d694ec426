"""What a code does, in terms of the plain questions. It is read from the rows, after any edit."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from evaluations.core.mechanics.code import (
    MechanicsCode,
    Needs,
    Row,
    Situation,
    row_for,
    situations,
)
from evaluations.core.mechanics.court import Court, Position, Resumes, Side, Whistle, standing_still
from evaluations.core.mechanics.questions import (
    AGREED,
    CALLER_ENDS_LEAD,
    HEATED,
    Answer,
    Asked,
)


class _Case(NamedTuple):
    situation: Situation
    row: Row

    @property
    def switches(self) -> bool:
        """Whether anybody has to go where he or she wouldn't be by standing still."""
        flip = self.situation.flip
        return any(
            place.position is not standing_still(was, flip) for was, place in self.row.after.items()
        )

    @property
    def caller_side(self) -> Side | None:
        return self.row.after[self.situation.caller].side

    @property
    def trail_side(self) -> Side | None:
        return next(p.side for p in self.row.after.values() if p.position is Position.TRAIL)

    def may_end_lead(self, needs: frozenset[Needs]) -> Answer | None:
        """Whether an option allows it under exactly these needs; None: under other ones."""
        caller = self.situation.caller
        allowed = [o.needs for o in self.row.options if o.after[caller] == CALLER_ENDS_LEAD]
        if not allowed:
            return Answer.NO
        return Answer.YES if needs in allowed else None


def answers_in(code: MechanicsCode, crew: int) -> Mapping[Asked, Answer | None]:
    """The answers that the code's own rows give. None: it does now one thing, now the other, or
    has no row for it.
    """
    cases = [
        _Case(situation, code.rows[index])
        for situation in situations(crew)
        if (index := row_for(code, situation)) is not None
    ]
    number = Answer(code.number_scheme.value)
    found = _of_two(cases) if crew == 2 else _of_three(cases)
    return {**found, Asked.NUMBER: number}


def _of_two(cases: Iterable[_Case]) -> dict[Asked, Answer | None]:
    short = [c for c in cases if c.situation.court is Court.FRONT and not c.situation.flip]
    called = {w: [c for c in short if c.situation.whistle is w] for w in Whistle}
    far = [c for c in cases if c.situation.court is Court.BACK or c.situation.flip]
    shooting = called[Whistle.SHOOTING]
    technical = called[Whistle.TECHNICAL] + called[Whistle.DISQUALIFYING]
    from_free_throws = [c for c in technical if c.situation.resumes is Resumes.FREE_THROWS]
    return {
        Asked.SWITCH: _all_the_same(
            Answer.YES if c.switches else Answer.NO for c in called[Whistle.COMMON]
        ),
        Asked.LONG_SWITCH: _any(c.switches for c in far),
        Asked.FREE_THROWS: _all_the_same(_where(c.trail_side) for c in shooting),
        Asked.HEATED_BENCH: _all_the_same(c.may_end_lead(HEATED) for c in shooting),
        Asked.TECHNICAL: _all_the_same(c.may_end_lead(AGREED) for c in from_free_throws),
    }


def _of_three(cases: Iterable[_Case]) -> dict[Asked, Answer | None]:
    shooting = [c for c in cases if c.situation.whistle is Whistle.SHOOTING]
    common = [c for c in cases if c.situation.whistle is Whistle.COMMON]
    nobody = common and not any(c.switches for c in common)
    return {
        Asked.FREE_THROWS: _all_the_same(_where(c.trail_side) for c in shooting),
        Asked.WITHOUT_FREE_THROWS: (
            Answer.NOBODY if nobody else _all_the_same(_where(c.caller_side) for c in common)
        ),
    }


def _any(found: Iterable[bool]) -> Answer | None:
    cases = list(found)
    if not cases:
        return None
    return Answer.YES if any(cases) else Answer.NO


def _where(side: Side | None) -> Answer:
    return Answer.EITHER if side is None else Answer(side.value)


def _all_the_same(found: Iterable[Answer | None]) -> Answer | None:
    different = set(found)
    return different.pop() if len(different) == 1 else None
