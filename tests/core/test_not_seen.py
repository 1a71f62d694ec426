"""Not seen is no value. It is never zero, and never the same as an open field."""

from fractions import Fraction

import pytest

from evaluations.core.ratings import Rating, level_reached, unanswered, value
from evaluations.core.scoring import score
from tests.core.examples import area_score, criterion_score, form, rate


def test_the_lowest_level_is_zero_and_the_highest_one() -> None:
    values = [value(form(), Rating("clock", level=level)) for level in range(1, 6)]
    assert values == [Fraction(0), Fraction(1, 4), Fraction(1, 2), Fraction(3, 4), Fraction(1)]


def test_a_share_met_is_the_value_itself() -> None:
    assert value(form(), Rating("clock", share=Fraction(2, 3))) == Fraction(2, 3)


def test_not_seen_has_no_value_and_no_level() -> None:
    rating = Rating("clock")
    assert not rating.seen
    assert value(form(), rating) is None
    assert level_reached(form(), rating) is None


def test_what_was_not_seen_leaves_its_area_to_the_rest() -> None:
    rubric = form()
    card = score(rubric, rate(rubric, 4, clock=2, type=None))
    assert area_score(card, "signals").value == (Fraction(1, 4) + Fraction(3, 4)) / 2
    not_seen = criterion_score(card, "type")
    assert (not_seen.value, not_seen.level, not_seen.points, not_seen.room) == (None,) * 4


def test_not_seen_never_costs_what_the_lowest_level_costs() -> None:
    rubric = form()
    assert score(rubric, rate(rubric, 4, clock=None)).total == 75
    lowest = score(rubric, rate(rubric, 4, clock=1)).total
    assert lowest is not None and lowest < 75


def test_an_open_field_scores_like_not_seen_but_is_listed_as_open() -> None:
    rubric = form()
    not_seen = rate(rubric, 4, clock=None)
    still_open = tuple(r for r in not_seen if r.criterion != "clock")
    assert score(rubric, still_open) == score(rubric, not_seen)
    assert unanswered(rubric, still_open) == ("clock",)
    assert unanswered(rubric, not_seen) == ()


@pytest.mark.parametrize(
    ("met", "level"),
    [("0", 1), ("0.29", 1), ("0.30", 2), ("0.54", 2), ("0.55", 3), ("0.79", 3), ("0.80", 4)],
)
def test_a_share_reaches_the_level_of_its_cut_point(met: str, level: int) -> None:
    assert level_reached(form(), Rating("clock", share=Fraction(met))) == level


def test_the_highest_level_is_for_no_miss() -> None:
    assert level_reached(form(), Rating("clock", share=Fraction(999, 1000))) == 4
    assert level_reached(form(), Rating("clock", share=Fraction(1))) == 5
