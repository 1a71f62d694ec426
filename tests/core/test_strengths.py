"""What went well: what reached the target, the highest contribution first."""

from evaluations.core.next_steps import propose_strengths
from evaluations.core.rubric import RubricSpec
from evaluations.core.scoring import Withheld, score
from tests.core.examples import area, form, rate


def test_the_highest_contribution_comes_first() -> None:
    rubric = form()
    card = score(rubric, rate(rubric, 3, clock=5, route=4, facing=4))
    # 20 x 1, 25 x 3/4, 30 x 3/4, each a third of its area.
    assert propose_strengths(rubric, card) == ("facing", "clock", "route")


def test_contributions_are_the_printed_points() -> None:
    rubric = RubricSpec(
        (area("signals", 40, {"clock": 1, "type": 1}), area("routes", 60, {"table": 1, "away": 1}))
    )
    # With "type" not seen, "clock" carries all of signals: 40 points against 30.
    card = score(rubric, rate(rubric, 5, type=None))
    assert propose_strengths(rubric, card) == ("clock", "table", "away")


def test_what_is_below_target_is_no_strength() -> None:
    rubric = form()
    assert propose_strengths(rubric, score(rubric, rate(rubric, 3))) == ()


def test_what_was_not_seen_is_no_strength() -> None:
    rubric = form()
    card = score(rubric, rate(rubric, 3, clock=None, facing=5))
    assert propose_strengths(rubric, card) == ("facing",)


def test_at_most_three_and_at_most_two_of_an_area() -> None:
    rubric = form()
    card = score(rubric, rate(rubric, 5))
    assert propose_strengths(rubric, card) == ("inside", "facing", "still")


def test_what_went_well_in_an_area_that_does_not_count_comes_last() -> None:
    rubric = form()
    card = score(rubric, rate(rubric, 3, clock=5, type=None, direction=None, still=4))
    assert propose_strengths(rubric, card) == ("still", "clock")


def test_without_a_total_weights_give_the_order() -> None:
    rubric = form()
    card = score(rubric, rate(rubric, 3, clock=5, facing=5), withhold=Withheld.UNDER_18)
    assert propose_strengths(rubric, card) == ("facing", "clock")
