"""When a form can be submitted; else it says where it can't, and why."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from evaluations.core.next_steps import (
    QUOTES_BUDGET,
    STEP_BUDGET,
    STRENGTH_BUDGET,
    SUMMARY_BUDGET,
    Draft,
    FormProblem,
    NextStep,
    Problem,
    Strength,
    problems,
    steps_allowed,
)
from evaluations.core.ratings import COMMENT_LIMIT, Rating
from evaluations.core.rubric import RubricSpec
from evaluations.core.scoring import score
from tests.core.examples import ceiling, form, rate

FORM = form()
STEP = NextStep("clock", "Seen twice.", "Standard.", "Why.", "Try this.", "Check.")
STRENGTH = Strength("facing", "Seen at each dead ball.")
DONE = Draft(
    ratings=rate(FORM, 4, clock=3),
    strengths=(STRENGTH,),
    next_steps=(STEP,),
    summary="Two sentences. Both short.",
)


def test_the_budgets_with_which_a_letter_fits_two_pages() -> None:
    assert (SUMMARY_BUDGET, STRENGTH_BUDGET, STEP_BUDGET, QUOTES_BUDGET) == (300, 160, 450, 900)
    assert COMMENT_LIMIT == 4000


def found(draft: Draft, rubric: RubricSpec = FORM, steps_at_most: int = 3) -> list[FormProblem]:
    card = score(rubric, draft.ratings)
    return list(problems(rubric, card, draft, counts={}, steps_at_most=steps_at_most))


def rated(rating: Rating) -> tuple[Rating, ...]:
    """The finished form's ratings with one of them replaced."""
    return tuple(rating if r.criterion == rating.criterion else r for r in DONE.ratings)


def test_a_form_with_everything_can_be_submitted() -> None:
    assert found(DONE) == []


def test_a_form_with_nothing_says_everything_that_is_open() -> None:
    empty = Draft((), (), (), "")
    open_fields = [FormProblem(Problem.NOT_ANSWERED, c.key) for c in FORM.criteria]
    assert found(empty) == [*open_fields, FormProblem(Problem.SUMMARY_MISSING)]


def test_an_open_field_is_named() -> None:
    draft = replace(DONE, ratings=DONE.ratings[1:])
    assert found(draft) == [FormProblem(Problem.NOT_ANSWERED, "still")]


def test_not_seen_is_an_answer() -> None:
    assert found(replace(DONE, ratings=rated(Rating("route")))) == []


@pytest.mark.parametrize("level", [1, 5])
def test_the_lowest_and_the_highest_level_need_evidence(level: int) -> None:
    bare = Rating("facing", level=level, comment="A comment is no evidence.")
    draft = replace(DONE, ratings=rated(bare), next_steps=(replace(STEP, criterion="facing"),))
    assert found(draft) == [FormProblem(Problem.NEEDS_EVIDENCE, "facing")]
    assert found(replace(draft, ratings=rated(replace(bare, evidence=" ")))) != []
    assert found(replace(draft, ratings=rated(replace(bare, evidence="At the throw-in.")))) == []
    assert found(replace(draft, ratings=rated(replace(bare, dead_ball=9)))) == []


@pytest.mark.parametrize("level", [2, 3, 4])
def test_the_levels_between_need_none(level: int) -> None:
    assert found(replace(DONE, ratings=rated(Rating("facing", level=level)))) == []


@pytest.mark.parametrize(
    ("comment", "evidence", "too_long"),
    [
        (COMMENT_LIMIT, COMMENT_LIMIT, False),
        (COMMENT_LIMIT + 1, 0, True),
        (0, COMMENT_LIMIT + 1, True),
    ],
)
def test_comment_and_evidence_have_a_limit(comment: int, evidence: int, too_long: bool) -> None:
    rating = Rating("facing", level=4, comment="x" * comment, evidence="x" * evidence)
    expected = [FormProblem(Problem.COMMENT_TOO_LONG, "facing")] if too_long else []
    assert found(replace(DONE, ratings=rated(rating))) == expected


def test_a_summary_is_there_and_keeps_to_its_budget() -> None:
    assert found(replace(DONE, summary=" \n")) == [FormProblem(Problem.SUMMARY_MISSING)]
    assert found(replace(DONE, summary="x" * SUMMARY_BUDGET)) == []
    too_long = replace(DONE, summary="x" * (SUMMARY_BUDGET + 1))
    assert found(too_long) == [FormProblem(Problem.SUMMARY_TOO_LONG)]


def with_step(**changes: Any) -> Draft:
    return replace(DONE, next_steps=(replace(STEP, **changes),))


def test_with_something_below_target_there_is_a_next_step() -> None:
    assert found(replace(DONE, next_steps=())) == [FormProblem(Problem.STEP_MISSING)]


def test_with_nothing_below_target_there_need_be_none() -> None:
    assert found(replace(DONE, ratings=rate(FORM, 4), next_steps=())) == []


def test_with_nothing_seen_there_can_be_none() -> None:
    draft = Draft(rate(FORM, None), (), (), "Nothing could be seen.")
    assert found(draft) == []


def test_any_criterion_seen_may_be_the_next_step_instead() -> None:
    assert found(with_step(criterion="route")) == []


def test_a_next_step_is_about_what_was_seen() -> None:
    draft = replace(with_step(criterion="route"), ratings=rated(Rating("route")))
    assert found(draft) == [FormProblem(Problem.STEP_NOT_SEEN, "route")]


def test_a_next_step_needs_evidence_a_sentence_or_a_dead_ball() -> None:
    assert found(with_step(seen=" ")) == [FormProblem(Problem.STEP_WITHOUT_EVIDENCE, "clock")]
    assert found(with_step(seen="", dead_ball=4)) == []


@pytest.mark.parametrize("part", ["standard", "why", "try_this", "check"])
def test_a_next_step_has_all_its_parts(part: str) -> None:
    assert found(with_step(**{part: " "})) == [FormProblem(Problem.STEP_INCOMPLETE, "clock")]


def test_a_next_step_keeps_to_its_budget_in_all() -> None:
    rest = STEP.length - len(STEP.seen)
    assert found(with_step(seen="x" * (STEP_BUDGET - rest))) == []
    too_long = with_step(seen="x" * (STEP_BUDGET - rest + 1))
    assert found(too_long) == [FormProblem(Problem.STEP_TOO_LONG, "clock")]


def steps(*criteria: str) -> tuple[NextStep, ...]:
    return tuple(replace(STEP, criterion=c) for c in criteria)


def test_three_next_steps_at_most_and_two_for_a_new_official() -> None:
    three = replace(DONE, next_steps=steps("clock", "route", "facing"))
    assert found(three) == []
    new = steps_allowed(new_official=True)
    assert found(three, steps_at_most=new) == [FormProblem(Problem.TOO_MANY_STEPS)]
    four = replace(DONE, next_steps=steps("clock", "route", "facing", "leaves"))
    assert found(four) == [FormProblem(Problem.TOO_MANY_STEPS)]


def test_two_next_steps_of_one_area_at_most() -> None:
    draft = replace(DONE, next_steps=steps("clock", "type", "direction"))
    assert found(draft) == [FormProblem(Problem.TOO_MANY_FROM_ONE_AREA)]


def test_a_criterion_whose_ceiling_bit_is_among_the_next_steps() -> None:
    rubric = form(ceilings=(ceiling("facing", 50),))
    lowest = Rating("facing", level=1, dead_ball=9)
    draft = replace(DONE, ratings=rated(lowest), strengths=())
    assert found(draft, rubric) == [FormProblem(Problem.STEP_MISSING, "facing")]
    assert found(replace(draft, next_steps=steps("clock", "facing")), rubric) == []


def test_no_more_ceilings_are_asked_for_than_one_area_may_have_next_steps() -> None:
    ceilings = tuple(ceiling(c, 50 - n) for n, c in enumerate(("inside", "facing", "distance")))
    rubric = form(ceilings=ceilings)
    ratings = tuple(
        replace(r, level=1, dead_ball=9) if r.criterion in ("inside", "facing", "distance") else r
        for r in DONE.ratings
    )
    draft = replace(DONE, ratings=ratings, strengths=())
    for pair in (("inside", "facing"), ("facing", "distance"), ("inside", "distance")):
        assert found(replace(draft, next_steps=steps(*pair)), rubric) == []
    one = replace(draft, next_steps=steps("facing"))
    assert found(one, rubric) == [FormProblem(Problem.STEP_MISSING, "distance")]


def test_no_more_ceilings_are_asked_for_than_a_new_official_may_have_next_steps() -> None:
    bitten = ("inside", "leaves", "still")
    rubric = form(ceilings=tuple(ceiling(c, 40) for c in bitten))
    ratings = tuple(
        replace(r, level=1, dead_ball=9) if r.criterion in bitten else r for r in DONE.ratings
    )
    draft = replace(DONE, ratings=ratings, next_steps=steps("leaves", "still"))
    assert found(draft, rubric, steps_at_most=2) == []
    assert found(draft, rubric) == [FormProblem(Problem.STEP_MISSING, "inside")]


def with_strength(**changes: Any) -> Draft:
    return replace(DONE, strengths=(replace(STRENGTH, **changes),))


def test_there_need_be_no_strength() -> None:
    assert found(replace(DONE, strengths=())) == []


def test_a_strength_is_about_what_was_seen() -> None:
    draft = replace(with_strength(criterion="route"), ratings=rated(Rating("route")))
    assert found(draft) == [FormProblem(Problem.STRENGTH_NOT_SEEN, "route")]


def test_a_strength_needs_evidence_a_sentence_or_a_dead_ball() -> None:
    bare = with_strength(seen=" ")
    assert found(bare) == [FormProblem(Problem.STRENGTH_WITHOUT_EVIDENCE, "facing")]
    assert found(with_strength(seen="", dead_ball=4)) == []


def test_a_strength_keeps_to_its_budget() -> None:
    assert found(with_strength(seen="x" * STRENGTH_BUDGET)) == []
    too_long = with_strength(seen="x" * (STRENGTH_BUDGET + 1))
    assert found(too_long) == [FormProblem(Problem.STRENGTH_TOO_LONG, "facing")]


def test_three_strengths_at_most() -> None:
    four = tuple(replace(STRENGTH, criterion=c) for c in ("facing", "route", "type", "leaves"))
    assert found(replace(DONE, strengths=four[:3])) == []
    assert found(replace(DONE, strengths=four)) == [FormProblem(Problem.TOO_MANY_STRENGTHS)]


def test_problems_are_listed_from_top_to_bottom() -> None:
    draft = replace(DONE, ratings=DONE.ratings[1:], summary="", next_steps=())
    assert [p.problem for p in found(draft)] == [
        Problem.NOT_ANSWERED,
        Problem.SUMMARY_MISSING,
        Problem.STEP_MISSING,
    ]
