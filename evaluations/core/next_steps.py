"""What an official works on next, and what went well: proposals, and when a form is done.

The site proposes, the observer decides: any proposal may be exchanged. What is refused is a next
step or a strength without evidence.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from evaluations.core.mechanics.counts import Count
from evaluations.core.ratings import (
    COMMENT_LIMIT,
    Rating,
    needs_evidence,
    needs_reason,
    unanswered,
)
from evaluations.core.rubric import RubricSpec
from evaluations.core.scoring import CriterionScore, ScoreCard, Withheld

STEPS_AT_MOST = 3
STEPS_OF_A_NEW_OFFICIAL = 2
STRENGTHS_AT_MOST = 3
FROM_ONE_AREA = 2

SUMMARY_BUDGET = 300
REASON_BUDGET = 160
STRENGTH_BUDGET = 160
STEP_BUDGET = 450
QUOTES_BUDGET = 900
QUOTES_BESIDE_COURT = 1300
QUOTES_BESIDE_BAND = 700
"""Characters. With them twenty criteria fit on two pages, in English and in Spanish. Beside a drawn
court, and less with a ledger's band, quotations and their labels share a budget."""


@dataclass(frozen=True, slots=True)
class Strength:
    """Something that went well. `seen` says what was seen; `raised`: it was said after the game."""

    criterion: str
    seen: str
    dead_ball: int | None = None
    raised: bool = True


@dataclass(frozen=True, slots=True)
class NextStep:
    """One thing to work on, in five short parts: what was seen, then the rubric's texts."""

    criterion: str
    seen: str
    standard: str
    why: str
    try_this: str
    check: str
    dead_ball: int | None = None
    raised: bool = True

    @property
    def length(self) -> int:
        """Characters in all, as they count against the budget."""
        parts = (self.seen, self.standard, self.why, self.try_this, self.check)
        return sum(len(p) for p in parts)


@dataclass(frozen=True, slots=True)
class Draft:
    """Everything an evaluation form holds about one official."""

    ratings: tuple[Rating, ...]
    strengths: tuple[Strength, ...]
    next_steps: tuple[NextStep, ...]
    summary: str


def gain(card: ScoreCard, criterion: CriterionScore) -> Fraction:
    """What orders next steps, largest first: room to gain, or weight x (1 - q) without a total."""
    if criterion.value is None:
        return Fraction(0)
    if card.withheld is not None:
        return criterion.form_share * (1 - criterion.value)
    return criterion.room or Fraction(0)


def propose_next_steps(
    rubric: RubricSpec,
    card: ScoreCard,
    *,
    flagged: str | None = None,
    at_most: int = STEPS_AT_MOST,
) -> tuple[str, ...]:
    """Criteria to work on: those whose ceiling bit, the observer's flag, then by room to gain.

    At most two come from one area. Empty when nothing seen is below the target level.
    """
    seen = {c.key: c for c in card.criteria if c.value is not None}
    flags = [flagged] if flagged in seen and flagged is not None else []
    below = [c for c in seen.values() if (c.level or 0) < rubric.target_level and gain(card, c) > 0]
    below.sort(key=lambda c: -gain(card, c))  # a stable sort: ties stay in rubric order
    return _pick(rubric, [*_held_back(card), *flags, *(c.key for c in below)], at_most)


def _held_back(card: ScoreCard) -> tuple[str, ...]:
    """The criteria whose ceiling bit, the one that lifts the total most first."""
    bites = sorted(card.bites, key=lambda b: -b.rise)
    return tuple(dict.fromkeys(b.ceiling.criterion for b in bites))


def stretch_goal(card: ScoreCard) -> str | None:
    """With nothing below target: the criterion with the most room left, if any has some."""
    open_ones = [c for c in card.criteria if gain(card, c) > 0]
    return max(open_ones, key=lambda c: gain(card, c)).key if open_ones else None


def propose_strengths(rubric: RubricSpec, card: ScoreCard) -> tuple[str, ...]:
    """Criteria at or above the target level, highest contribution first; may be none."""
    good = [c for c in card.criteria if (c.level or 0) >= rubric.target_level]
    good.sort(key=lambda c: -_contribution(card, c))
    return _pick(rubric, [c.key for c in good], STRENGTHS_AT_MOST)


def _contribution(card: ScoreCard, criterion: CriterionScore) -> Fraction:
    if card.withheld is not None:
        return criterion.form_share * (criterion.value or Fraction(0))
    return criterion.points or Fraction(0)


def _pick(rubric: RubricSpec, wanted: Sequence[str], at_most: int) -> tuple[str, ...]:
    picked: list[str] = []
    of_area: Counter[str] = Counter()
    for key in dict.fromkeys(wanted):
        area = rubric.area_of[key].key
        if len(picked) < at_most and of_area[area] < FROM_ONE_AREA:
            picked.append(key)
            of_area[area] += 1
    return tuple(picked)


class Problem(StrEnum):
    """Why a form can't be submitted yet."""

    NOT_ANSWERED = "not_answered"
    NEEDS_EVIDENCE = "needs_evidence"
    COMMENT_TOO_LONG = "comment_too_long"
    REASON_MISSING = "reason_missing"
    REASON_TOO_LONG = "reason_too_long"
    SUMMARY_MISSING = "summary_missing"
    SUMMARY_TOO_LONG = "summary_too_long"
    STEP_MISSING = "step_missing"
    STEP_WITHOUT_EVIDENCE = "step_without_evidence"
    STEP_NOT_SEEN = "step_not_seen"
    STEP_TOO_LONG = "step_too_long"
    STEP_INCOMPLETE = "step_incomplete"
    TOO_MANY_STEPS = "too_many_steps"
    TOO_MANY_FROM_ONE_AREA = "too_many_from_one_area"
    STRENGTH_WITHOUT_EVIDENCE = "strength_without_evidence"
    STRENGTH_NOT_SEEN = "strength_not_seen"
    STRENGTH_TOO_LONG = "strength_too_long"
    TOO_MANY_STRENGTHS = "too_many_strengths"


@dataclass(frozen=True, slots=True)
class FormProblem:
    """A problem and where it is: a criterion's key, or "" for the form as a whole."""

    problem: Problem
    criterion: str = ""


def problems(
    rubric: RubricSpec,
    card: ScoreCard,
    draft: Draft,
    *,
    counts: Mapping[str, Count],
    steps_at_most: int = STEPS_AT_MOST,
) -> tuple[FormProblem, ...]:
    """All that keeps a form from being submitted, from top to bottom; empty when it is done.

    `counts` is what the log says, by criterion: a level that isn't the suggested one needs a
    reason.
    """
    return (
        *_rating_problems(rubric, draft, counts),
        *_summary_problems(draft),
        *_strength_problems(rubric, draft),
        *_step_problems(rubric, card, draft, steps_at_most),
    )


def _rating_problems(
    rubric: RubricSpec, draft: Draft, counts: Mapping[str, Count]
) -> Iterable[FormProblem]:
    open_ones = set(unanswered(rubric, draft.ratings))
    rated = {r.criterion: r for r in draft.ratings}
    for criterion in rubric.criteria:
        if criterion.key in open_ones:
            yield FormProblem(Problem.NOT_ANSWERED, criterion.key)
            continue
        rating = rated[criterion.key]
        if needs_evidence(rubric, rating) and not rating.has_evidence:
            yield FormProblem(Problem.NEEDS_EVIDENCE, criterion.key)
        if max(len(rating.comment), len(rating.evidence)) > COMMENT_LIMIT:
            yield FormProblem(Problem.COMMENT_TOO_LONG, criterion.key)
        if needs_reason(rubric, rating, counts):
            yield from _reason_problems(rating)


def _reason_problems(rating: Rating) -> Iterable[FormProblem]:
    if not rating.reason.strip():
        yield FormProblem(Problem.REASON_MISSING, rating.criterion)
    if len(rating.reason) > REASON_BUDGET:
        yield FormProblem(Problem.REASON_TOO_LONG, rating.criterion)


def _summary_problems(draft: Draft) -> Iterable[FormProblem]:
    if not draft.summary.strip():
        yield FormProblem(Problem.SUMMARY_MISSING)
    if len(draft.summary) > SUMMARY_BUDGET:
        yield FormProblem(Problem.SUMMARY_TOO_LONG)


def _strength_problems(rubric: RubricSpec, draft: Draft) -> Iterable[FormProblem]:
    seen = {r.criterion for r in draft.ratings if r.seen}
    for strength in draft.strengths:
        if strength.criterion not in seen:
            yield FormProblem(Problem.STRENGTH_NOT_SEEN, strength.criterion)
        if not strength.seen.strip() and strength.dead_ball is None:
            yield FormProblem(Problem.STRENGTH_WITHOUT_EVIDENCE, strength.criterion)
        if len(strength.seen) > STRENGTH_BUDGET:
            yield FormProblem(Problem.STRENGTH_TOO_LONG, strength.criterion)
    if len(draft.strengths) > STRENGTHS_AT_MOST:
        yield FormProblem(Problem.TOO_MANY_STRENGTHS)


def _step_problems(
    rubric: RubricSpec, card: ScoreCard, draft: Draft, steps_at_most: int
) -> Iterable[FormProblem]:
    seen = {r.criterion for r in draft.ratings if r.seen}
    chosen = {s.criterion for s in draft.next_steps}
    for step in draft.next_steps:
        yield from _one_step(step, seen)
    if len(draft.next_steps) > steps_at_most:
        yield FormProblem(Problem.TOO_MANY_STEPS)
    areas = Counter(
        rubric.area_of[s.criterion].key for s in draft.next_steps if s.criterion in seen
    )
    if any(n > FROM_ONE_AREA for n in areas.values()):
        yield FormProblem(Problem.TOO_MANY_FROM_ONE_AREA)
    if card.bites:
        yield from _ceilings_left_out(rubric, card, chosen, steps_at_most)
    elif not chosen and propose_next_steps(rubric, card):
        yield FormProblem(Problem.STEP_MISSING)


def _ceilings_left_out(
    rubric: RubricSpec, card: ScoreCard, chosen: set[str], steps_at_most: int
) -> Iterable[FormProblem]:
    """Criteria whose ceiling bit must be chosen, as many as there may be next steps."""
    held_back = _held_back(card)
    asked = _pick(rubric, held_back, steps_at_most)
    missing = len(asked) - len(chosen.intersection(held_back))
    left_out = [key for key in asked if key not in chosen]
    return (FormProblem(Problem.STEP_MISSING, key) for key in left_out[: max(missing, 0)])


def _one_step(step: NextStep, seen: set[str]) -> Iterable[FormProblem]:
    if step.criterion not in seen:
        yield FormProblem(Problem.STEP_NOT_SEEN, step.criterion)
    if not step.seen.strip() and step.dead_ball is None:
        yield FormProblem(Problem.STEP_WITHOUT_EVIDENCE, step.criterion)
    if not all(p.strip() for p in (step.standard, step.why, step.try_this, step.check)):
        yield FormProblem(Problem.STEP_INCOMPLETE, step.criterion)
    if step.length > STEP_BUDGET:
        yield FormProblem(Problem.STEP_TOO_LONG, step.criterion)


def order_next_steps(card: ScoreCard, steps: Iterable[NextStep]) -> tuple[NextStep, ...]:
    """The observer's order, except that a criterion whose ceiling bit always comes first."""
    held_back = _held_back(card)
    return tuple(sorted(steps, key=lambda s: s.criterion not in held_back))


def steps_allowed(*, new_official: bool) -> int:
    return STEPS_OF_A_NEW_OFFICIAL if new_official else STEPS_AT_MOST


def withheld_for(*, coaching: bool, under_18: bool) -> Withheld | None:
    """Why an evaluation has no total whatever was seen, if so."""
    if under_18:
        return Withheld.UNDER_18
    return Withheld.COACHING if coaching else None
