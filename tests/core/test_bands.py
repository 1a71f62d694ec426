"""A band goes by the printed total, lower bound inclusive; near a cut both bands are named."""

from fractions import Fraction

import pytest

from evaluations.core.printing import band, between_bands
from evaluations.core.ratings import Rating
from evaluations.core.rubric import Band, RubricSpec
from evaluations.core.scoring import score
from tests.core.examples import area, form, rate

NO_STEP = Fraction(0)


@pytest.mark.parametrize(
    ("total", "key"),
    [
        ("0", "foundation"),
        ("39.94", "foundation"),
        ("39.95", "developing"),  # printed 40.0
        ("40", "developing"),
        ("64.9499", "developing"),
        ("64.95", "dependable"),
        ("84.9", "dependable"),
        ("85", "exemplary"),
        ("100", "exemplary"),
    ],
)
def test_the_band_is_that_of_the_printed_total(total: str, key: str) -> None:
    assert band(form(), Fraction(total)) == key


@pytest.mark.parametrize(
    ("total", "step", "bands"),
    [
        ("67.5", "2.5", ("developing", "dependable")),
        ("62.5", "2.5", ("developing", "dependable")),
        ("67.6", "2.5", None),
        ("62.4", "2.5", None),
        ("50", "2.5", None),
        ("0", "2.5", None),
        ("100", "2.5", None),
    ],
)
def test_within_one_level_step_of_a_cut_the_total_is_between_two_bands(
    total: str, step: str, bands: tuple[str, str] | None
) -> None:
    assert between_bands(form(), Fraction(total), Fraction(step)) == bands


@pytest.mark.parametrize("total", ["64.5", "64.9", "65.4"])
def test_a_whole_number_never_seems_to_stand_on_the_other_side_of_a_cut(total: str) -> None:
    assert between_bands(form(), Fraction(total), NO_STEP) == ("developing", "dependable")


def test_of_two_cuts_within_reach_the_nearer_one_is_named() -> None:
    assert between_bands(form(), Fraction(60), Fraction(25)) == ("developing", "dependable")
    assert between_bands(form(), Fraction(50), Fraction(25)) == ("foundation", "developing")


def test_of_two_cuts_as_near_the_lower_one_is_named() -> None:
    bands = (Band("z", Fraction(0)), Band("y", Fraction(40)), Band("a", Fraction(60)))
    rubric = RubricSpec((area("signals", 1, {"clock": 1}),), bands=bands)
    assert between_bands(rubric, Fraction(50), Fraction(10)) == ("z", "y")


def test_a_score_card_has_its_band_and_what_it_is_between() -> None:
    rubric = form()
    card = score(rubric, rate(rubric, 4))
    assert (card.total, card.band, card.between) == (Fraction(75), "dependable", None)
    card = score(rubric, rate(rubric, 4, still=3, leaves=3, facing=3, clock=1))
    assert card.total == Fraction(190, 3)  # 63.33...
    assert (card.band, card.between) == ("developing", ("developing", "dependable"))


def test_a_single_band_has_no_cut() -> None:
    rubric = RubricSpec((area("signals", 1, {"clock": 1}),))
    card = score(rubric, [Rating("clock", level=3)])
    assert (card.band, card.between) == ("all", None)
