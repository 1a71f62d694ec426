"""Next steps: at most three, at most two of an area, the most to gain first."""

from fractions import Fraction

import pytest

from evaluations.core.next_steps import (
    NextStep,
    order_next_steps,
    propose_next_steps,
    steps_allowed,
    stretch_goal,
)
from evaluations.core.ratings import Rating
from evaluations.core.rubric import RubricSpec
from evaluations.core.scoring import ScoreCard, Withheld, score
from tests.core.examples import area, ceiling, form, rate


def card_of(rubric: RubricSpec, level: int | None, **others: int | None) -> ScoreCard:
    return score(rubric, rate(rubric, level, **others))


def step(criterion: str) -> NextStep:
    return NextStep(criterion, "seen", "standard", "why", "try", "check")


def test_the_most_to_gain_comes_first() -> None:
    rubric = form()
    card = card_of(rubric, 4, clock=2, route=2, facing=2)
    assert propose_next_steps(rubric, card) == ("facing", "route", "clock")


def test_as_much_to_gain_goes_in_rubric_order() -> None:
    rubric = form()
    card = card_of(rubric, 5, arrives=3, voice=3)
    assert propose_next_steps(rubric, card) == ("voice", "arrives")


def test_what_reached_the_target_is_no_next_step() -> None:
    rubric = form(target_level=3)
    assert propose_next_steps(rubric, card_of(rubric, 3, clock=2)) == ("clock",)


def test_at_most_two_come_from_one_area_and_three_in_all() -> None:
    rubric = form()
    card = card_of(rubric, 3, inside=1, facing=1, distance=1)
    assert propose_next_steps(rubric, card) == ("inside", "facing", "still")


def test_a_new_official_gets_two() -> None:
    rubric = form()
    at_most = steps_allowed(new_official=True)
    assert propose_next_steps(rubric, card_of(rubric, 2), at_most=at_most) == ("inside", "facing")
    assert steps_allowed(new_official=False) == 3


def test_the_observers_flag_takes_the_first_place() -> None:
    rubric = form()
    card = card_of(rubric, 3, facing=1, inside=1)
    assert propose_next_steps(rubric, card, flagged="clock") == ("clock", "inside", "facing")


def test_the_flag_may_stand_on_what_reached_the_target() -> None:
    rubric = form()
    card = card_of(rubric, 4, facing=3)
    assert propose_next_steps(rubric, card, flagged="clock") == ("clock", "facing")


@pytest.mark.parametrize("flagged", ["clock", "nothing_of_this_rubric", None])
def test_a_flag_on_what_was_not_seen_is_passed_over(flagged: str | None) -> None:
    rubric = form()
    card = card_of(rubric, 4, clock=None, facing=3)
    assert propose_next_steps(rubric, card, flagged=flagged) == ("facing",)


def test_a_criterion_whose_ceiling_bit_comes_before_the_flag_and_everything_else() -> None:
    rubric = form(ceilings=(ceiling("clock", 30),))
    card = card_of(rubric, 3, clock=1, facing=1)
    assert propose_next_steps(rubric, card, flagged="route") == ("clock", "route", "facing")


def test_of_criteria_whose_ceilings_bit_the_one_with_the_largest_rise_comes_first() -> None:
    rubric = form(ceilings=(ceiling("clock", 60), ceiling("facing", 40)))
    card = card_of(rubric, 5, clock=1, facing=1)
    assert propose_next_steps(rubric, card) == ("facing", "clock")


def test_without_a_total_weight_times_what_is_missing_gives_the_order() -> None:
    rubric = form()
    ratings = rate(rubric, 4, clock=1, route=2, facing=3)
    card = score(rubric, ratings, withhold=Withheld.COACHING)
    # 20 x 1, 25 x 3/4, 30 x 1/2, each a third of its area.
    assert propose_next_steps(rubric, card) == ("clock", "route", "facing")


def test_without_a_total_an_area_hardly_seen_has_next_steps_too() -> None:
    rubric = form()
    card = card_of(rubric, None, clock=1)
    assert card.withheld is Withheld.NOT_ENOUGH_SEEN
    assert propose_next_steps(rubric, card) == ("clock",)


def test_with_a_total_an_area_that_does_not_count_has_none() -> None:
    rubric = form()
    card = card_of(rubric, 4, clock=1, type=None, direction=None)
    assert propose_next_steps(rubric, card) == ()


def test_a_share_below_the_targets_cut_point_is_a_candidate() -> None:
    rubric = RubricSpec((area("signals", 1, {"clock": 1, "type": 1}),))
    ratings = [Rating("clock", share=Fraction("0.79")), Rating("type", share=Fraction("0.80"))]
    assert propose_next_steps(rubric, score(rubric, ratings)) == ("clock",)


def test_with_nothing_below_target_nothing_is_proposed_but_a_stretch_goal() -> None:
    rubric = form()
    card = card_of(rubric, 5, clock=4, inside=4)
    assert propose_next_steps(rubric, card) == ()
    assert stretch_goal(card) == "inside"


def test_a_form_of_highest_levels_leaves_nothing_to_stretch_for() -> None:
    rubric = form()
    assert stretch_goal(card_of(rubric, 5)) is None


def test_the_observers_order_stays_but_for_a_ceiling() -> None:
    rubric = form(ceilings=(ceiling("clock", 30),))
    card = card_of(rubric, 3, clock=1)
    chosen = [step("route"), step("facing"), step("clock")]
    ordered = order_next_steps(card, chosen)
    assert [s.criterion for s in ordered] == ["clock", "route", "facing"]
