"""What holds for every rubric and all ratings."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from evaluations.core.documents import to_document
from evaluations.core.next_steps import (
    Draft,
    NextStep,
    Strength,
    problems,
    propose_next_steps,
    propose_strengths,
    steps_allowed,
)
from evaluations.core.printing import printed, whole
from evaluations.core.ratings import Rating
from evaluations.core.rubric import AreaSpec, CriterionSpec, RubricSpec
from evaluations.core.scoring import ScoreCard, Withheld, print_score, score
from tests.core.strategies import forms, rubrics, weights

Form = tuple[RubricSpec, tuple[Rating, ...]]

ROOT = Path(__file__).parents[2]


@given(forms())
def test_every_figure_is_in_its_bounds(form: Form) -> None:
    rubric, ratings = form
    card = score(rubric, ratings)
    assert 0 <= card.share_seen <= 1
    for area in card.areas:
        assert area.value is None or 0 <= area.value <= 1
        assert area.capped is None or 0 <= area.capped <= (area.value or 0)
    if card.total is not None and card.uncapped is not None:
        assert 0 <= card.total <= card.uncapped <= 100
        assert all(b.rise >= 0 for b in card.bites)


@given(forms(), st.data())
def test_raising_one_level_never_lowers_the_total(form: Form, data: st.DataObject) -> None:
    rubric, ratings = form
    total = score(rubric, ratings).total
    index = data.draw(st.integers(0, len(ratings) - 1))
    rating = ratings[index]
    assume(total is not None and rating.seen)
    if rating.level is not None:
        assume(rating.level < rubric.levels)
        raised = replace(rating, level=rating.level + 1)
    else:
        more = data.draw(st.fractions(rating.share, 1, max_denominator=50))
        raised = replace(rating, share=more)
    total_then = score(rubric, (*ratings[:index], raised, *ratings[index + 1 :])).total
    assert total is not None and total_then is not None
    assert total_then >= total


@given(forms(), weights, st.data())
def test_multiplying_weights_changes_nothing(
    form: Form, factor: Fraction, data: st.DataObject
) -> None:
    rubric, ratings = form

    def multiplied(area: AreaSpec) -> AreaSpec:
        own = data.draw(weights)  # criteria weigh within their area only
        criteria = tuple(replace(c, weight=c.weight * own) for c in area.criteria)
        return replace(area, weight=area.weight * factor, criteria=criteria)

    other = replace(rubric, areas=tuple(multiplied(a) for a in rubric.areas))
    assert score(other, ratings) == score(rubric, ratings)


@given(forms(), st.data())
def test_the_order_of_areas_criteria_and_ratings_changes_no_figure(
    form: Form, data: st.DataObject
) -> None:
    rubric, ratings = form

    def shuffled(area: AreaSpec) -> AreaSpec:
        return replace(area, criteria=tuple(data.draw(st.permutations(area.criteria))))

    areas = [shuffled(a) for a in data.draw(st.permutations(rubric.areas))]
    other = score(replace(rubric, areas=tuple(areas)), tuple(data.draw(st.permutations(ratings))))
    assert in_order(other) == in_order(score(rubric, ratings))


def in_order(card: ScoreCard) -> ScoreCard:
    """The card with everything sorted by key."""
    return replace(
        card,
        criteria=tuple(sorted(card.criteria, key=lambda c: c.key)),
        areas=tuple(sorted(card.areas, key=lambda a: a.key)),
        needed_missing=tuple(sorted(card.needed_missing)),
    )


@given(forms(), weights)
def test_an_area_with_one_criterion_has_that_criterions_value(form: Form, weight: Fraction) -> None:
    rubric, ratings = form
    lone = AreaSpec("lone", weight, (CriterionSpec("only", weight),))
    card = score(
        replace(rubric, areas=(*rubric.areas, lone)),
        (*ratings, Rating("only", share=Fraction(1, 3))),
    )
    assert card.areas[-1].value == card.criteria[-1].value == Fraction(1, 3)


TINY = Fraction(1, 10**12)


@given(forms(), st.data())
def test_dropping_a_criterion_is_giving_it_no_weight(form: Form, data: st.DataObject) -> None:
    """Dropped from the rubric, or not seen while its weight goes to nothing: the same total.

    The criterion is observed and bears no ceiling, another one of its area is observed too, and
    what was seen is away from the shares at which areas and totals begin to count.
    """
    rubric, ratings = form
    observed = {r.criterion for r in ratings if r.seen}
    bearing = {c.criterion for c in rubric.ceilings}
    droppable = [
        c.key
        for a in rubric.areas
        for c in a.criteria
        if c.key in observed - bearing and len(observed & {k.key for k in a.criteria}) > 1
    ]
    assume(droppable)
    key = data.draw(st.sampled_from(droppable))
    rest = tuple(r for r in ratings if r.criterion != key)

    nearly = score(with_weight(rubric, key, TINY), ratings)
    dropped = score(without(rubric, key), rest)
    assume(away_from_thresholds(rubric, dropped))
    assert (nearly.total is None) == (dropped.total is None)
    if nearly.total is not None and dropped.total is not None:
        # Its weight against at least 1/40 of another one in the area, on a scale of 100.
        assert abs(nearly.total - dropped.total) <= 100 * TINY * 40

    not_seen = score(with_weight(rubric, key, TINY), (*rest, Rating(key)))
    assert not_seen.total == dropped.total


def with_weight(rubric: RubricSpec, key: str, weight: Fraction) -> RubricSpec:
    def changed(area: AreaSpec) -> AreaSpec:
        return replace(
            area,
            criteria=tuple(replace(c, weight=weight) if c.key == key else c for c in area.criteria),
        )

    return replace(rubric, areas=tuple(changed(a) for a in rubric.areas))


def without(rubric: RubricSpec, key: str) -> RubricSpec:
    def changed(area: AreaSpec) -> AreaSpec:
        return replace(area, criteria=tuple(c for c in area.criteria if c.key != key))

    return replace(rubric, areas=tuple(changed(a) for a in rubric.areas))


def away_from_thresholds(rubric: RubricSpec, card: ScoreCard) -> bool:
    margin = Fraction(1, 10**6)
    return abs(card.share_seen - rubric.minimum_seen) > margin and all(
        abs(score_of_area.seen - area.minimum_share) > margin
        for area, score_of_area in zip(rubric.areas, card.areas, strict=True)
    )


@given(forms())
def test_points_and_room_share_out_the_hundred_exactly(form: Form) -> None:
    card = score(*form)
    assume(card.total is not None)
    assert sum(c.points for c in card.criteria if c.points is not None) == card.uncapped
    assert sum(c.points + (c.room or 0) for c in card.criteria if c.points is not None) == 100


@given(forms())
def test_printed_points_add_up_and_are_each_next_to_the_exact_figure(form: Form) -> None:
    card = score(*form)
    figures = print_score(card)
    assume(figures is not None)
    assert figures is not None and card.uncapped is not None and card.total is not None
    assert sum(figures.points.values()) == figures.uncapped == printed(card.uncapped)
    assert figures.uncapped - figures.ceiling == figures.total == printed(card.total)
    for criterion in card.criteria:
        if criterion.points is not None:
            printed_points = figures.points[criterion.key]
            assert abs(printed_points - criterion.points) < Fraction(1, 10)
            assert printed_points.denominator in (1, 2, 5, 10)


@given(forms())
def test_what_is_printed_is_never_on_the_other_side_of_a_cut(form: Form) -> None:
    rubric, ratings = form
    card = score(rubric, ratings)
    assume(card.total is not None)
    assert card.total is not None
    figure = printed(card.total)
    lowers = {b.key: b.lower for b in rubric.bands}
    above = [low for low in lowers.values() if low > figure]
    assert card.band is not None
    assert lowers[card.band] == max(low for low in lowers.values() if low <= figure)
    crossed = above and whole(figure) >= min(above)
    assert not crossed or card.between is not None


@given(rubrics(), st.data())
def test_what_was_not_seen_is_as_good_as_not_there(rubric: RubricSpec, data: st.DataObject) -> None:
    level = data.draw(st.integers(1, rubric.levels))
    unseen = data.draw(st.sets(st.sampled_from([c.key for c in rubric.criteria])))
    ratings = [Rating(c.key, None if c.key in unseen else level) for c in rubric.criteria]
    card = score(replace(rubric, ceilings=()), ratings)
    if card.total is not None:
        assert card.total == Fraction(100 * (level - 1), rubric.levels - 1)


@given(forms(), st.booleans(), st.data())
def test_a_form_with_the_proposed_next_steps_and_strengths_can_be_submitted(
    form: Form, new_official: bool, data: st.DataObject
) -> None:
    rubric, ratings = form
    flagged = data.draw(st.sampled_from([None, *(r.criterion for r in ratings)]))
    at_most = steps_allowed(new_official=new_official)
    withhold = data.draw(st.sampled_from([None, Withheld.COACHING]))
    card = score(rubric, ratings, withhold=withhold)
    steps = propose_next_steps(rubric, card, flagged=flagged, at_most=at_most)
    draft = Draft(
        ratings=tuple(replace(r, evidence="Seen at the first whistle.") for r in ratings),
        strengths=tuple(Strength(key, "Seen.") for key in propose_strengths(rubric, card)),
        next_steps=tuple(
            NextStep(key, "Seen.", "Standard.", "Why.", "Try.", "Check.") for key in steps
        ),
        summary="In short.",
    )
    assert problems(rubric, card, draft, counts={}, steps_at_most=at_most) == ()


ANOTHER_PROCESS = """
import json, sys
from evaluations.core.documents import from_document, to_document
from evaluations.core.next_steps import propose_next_steps, propose_strengths
from evaluations.core.ratings import Rating
from evaluations.core.rubric import RubricSpec
from evaluations.core.scoring import print_score, score

answers = []
for rubric_document, rating_documents in json.load(sys.stdin):
    rubric = from_document(RubricSpec, rubric_document)
    card = score(rubric, [from_document(Rating, r) for r in rating_documents])
    proposals = propose_next_steps(rubric, card), propose_strengths(rubric, card)
    answers.append([to_document(card), to_document(print_score(card)), proposals])
print(json.dumps(answers))
"""


def scored_with_hash_seed(seed: str, documents: str) -> str:
    process = subprocess.run(
        [sys.executable, "-c", ANOTHER_PROCESS],
        input=documents,
        env={**os.environ, "PYTHONHASHSEED": seed},
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    return process.stdout


@settings(max_examples=3)
@given(st.lists(forms(), min_size=20, max_size=40))
def test_the_same_input_is_scored_alike_in_every_process(several: list[Form]) -> None:
    documents = json.dumps(
        [[to_document(rubric), [to_document(r) for r in ratings]] for rubric, ratings in several]
    )
    assert scored_with_hash_seed("1", documents) == scored_with_hash_seed("20270112", documents)
