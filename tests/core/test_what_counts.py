"""An area counts when enough of it was seen; a total needs enough areas, and the needed ones."""

from fractions import Fraction

import pytest

from evaluations.core.ratings import Rating
from evaluations.core.rubric import RubricSpec
from evaluations.core.scoring import Withheld, score
from tests.core.examples import area, area_score, form, rate


def test_an_area_counts_from_its_minimum_share_on() -> None:
    two = RubricSpec(
        (area("signals", 1, {"clock": 1, "type": 1}), area("routes", 1, {"table": 1})),
        minimum_seen=Fraction(0),
    )
    card = score(two, [Rating("clock", level=5), Rating("table", level=1)])
    assert area_score(card, "signals").seen == Fraction(1, 2)
    assert area_score(card, "signals").counts


def test_an_area_below_its_minimum_share_keeps_its_value_but_does_not_count() -> None:
    rubric = form()
    card = score(rubric, rate(rubric, 4, clock=1, type=None, direction=None))
    signals = area_score(card, "signals")
    assert not signals.counts
    assert signals.share is None
    assert signals.value == 0
    assert card.total == 75


def test_the_share_of_an_area_goes_by_weight_not_by_number() -> None:
    rubric = RubricSpec(
        (area("signals", 1, {"clock": 3, "type": 1, "direction": 1}),), minimum_seen=Fraction(0)
    )
    assert score(rubric, [Rating("clock", level=3)]).total == 50
    two_lighter_ones = [Rating("type", level=3), Rating("direction", level=3)]
    assert score(rubric, two_lighter_ones).withheld is Withheld.NOT_ENOUGH_SEEN


def test_the_areas_that_count_share_the_total_in_proportion_to_their_weights() -> None:
    rubric = form()
    card = score(rubric, rate(rubric, 5, still=1, clock=None, type=None, direction=None))
    shares = {a.key: a.share for a in card.areas}
    assert shares == {
        "reporting": Fraction(25, 80),
        "switching": Fraction(25, 80),
        "boxing_in": Fraction(30, 80),
        "signals": None,
    }
    assert card.total == 100 * (1 - Fraction(25, 80) / 3)


@pytest.mark.parametrize("missing", ["switching", "boxing_in"])
def test_without_a_needed_area_there_is_no_total(missing: str) -> None:
    rubric = form(minimum_seen=Fraction(0))
    unseen = {c.key: None for a in rubric.areas if a.key == missing for c in a.criteria[:2]}
    card = score(rubric, rate(rubric, 5, **unseen))
    assert card.needed_missing == (missing,)
    assert (card.total, card.withheld) == (None, Withheld.NOT_ENOUGH_SEEN)


def test_without_another_area_there_is_a_total() -> None:
    rubric = form()
    card = score(rubric, rate(rubric, 5, still=None, route=None))
    assert card.needed_missing == ()
    assert card.total == 100


def test_the_share_seen_counts_what_was_seen_in_areas_that_count() -> None:
    rubric = form()
    card = score(rubric, rate(rubric, 3, leaves=None, clock=None, type=None))
    # One of three unseen in switching (25), and signals (20) does not count at all.
    assert card.share_seen == Fraction(25, 100) + Fraction(25, 100) * Fraction(2, 3) + Fraction(
        30, 100
    )


def test_a_form_seen_whole_is_seen_wholly() -> None:
    rubric = form()
    assert score(rubric, rate(rubric, 1)).share_seen == 1


@pytest.mark.parametrize(
    ("minimum", "withheld"),
    [("0.7", None), ("0.75", None), ("0.7501", Withheld.NOT_ENOUGH_SEEN)],
)
def test_there_is_a_total_from_the_rubrics_share_seen_on(
    minimum: str, withheld: Withheld | None
) -> None:
    rubric = form(minimum_seen=Fraction(minimum))
    card = score(rubric, rate(rubric, 3, still=None, route=None, voice=None))
    assert card.share_seen == Fraction(3, 4)
    assert card.withheld is withheld
    assert (card.total is None) is (withheld is not None)


def test_nothing_seen_is_no_total_even_where_nothing_is_asked_for() -> None:
    rubric = RubricSpec((area("signals", 1, {"clock": 1}),), minimum_seen=Fraction(0))
    card = score(rubric, [Rating("clock")])
    assert (card.total, card.withheld) == (None, Withheld.NOT_ENOUGH_SEEN)
    assert card.share_seen == 0
