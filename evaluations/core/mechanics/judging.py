"""Verdicts, and what a rule gets to see."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from typing import NamedTuple

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.code import NumberScheme
from evaluations.core.mechanics.facts import DeadBall
from evaluations.core.mechanics.table import Case, Standing


class Verdict(StrEnum):
    MET = "met"
    NOT_MET = "not_met"
    NOT_JUDGED = "not_judged"


class Judgement(NamedTuple):
    """A verdict; `option` is the key of the option that made it met."""

    verdict: Verdict
    option: str | None = None


MET = Judgement(Verdict.MET)
NOT_MET = Judgement(Verdict.NOT_MET)
NOT_JUDGED = Judgement(Verdict.NOT_JUDGED)


class Board(NamedTuple):
    """One dead ball beside what the code says.

    `after` has the positions seen when the ball was live. `others` is empty while the caller is
    not known; `is_foul` and `agreed` are None while not known.
    """

    ball: DeadBall
    cases: tuple[Case, ...]
    members: tuple[CrewPosition, ...]
    others: tuple[CrewPosition, ...]
    after: Standing
    is_foul: bool | None
    agreed: frozenset[str] | None
    number_scheme: NumberScheme


def answer(seen: bool | None) -> Judgement:
    """A fact as a verdict.

    >>> answer(None).verdict.value
    'not_judged'
    """
    if seen is None:
        return NOT_JUDGED
    return MET if seen else NOT_MET


def agree(judgements: Iterable[Judgement | None]) -> Judgement:
    """What all cases agree on; a None among them had no such duty."""
    found = list(judgements)
    first = found[0] if found else None
    if first is None:
        return NOT_JUDGED
    if all(j == first for j in found):
        return first
    met = all(j is not None and j.verdict is Verdict.MET for j in found)
    return MET if met else NOT_JUDGED


def together(verdicts: Iterable[Verdict]) -> Verdict:
    """What several say as one: a miss is a miss, and without one something met is met.

    >>> together([Verdict.MET, Verdict.NOT_JUDGED]).value
    'met'
    """
    found = set(verdicts)
    return next((v for v in (Verdict.NOT_MET, Verdict.MET) if v in found), Verdict.NOT_JUDGED)
