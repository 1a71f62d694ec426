"""A ceiling: with one criterion at its lowest level, an area or the total goes no higher."""

import time
from fractions import Fraction

import pytest

from evaluations.core.ratings import Rating
from evaluations.core.rubric import RubricSpec
from evaluations.core.scoring import Bite, Withheld, print_score, score
from tests.core.examples import area, area_score, ceiling, criterion_score, form, rate


def test_a_ceiling_does_nothing_above_the_lowest_level() -> None:
    rubric = form(ceilings=(ceiling("facing", 50),))
    card = score(rubric, rate(rubric, 5, facing=2))
    assert card.total == card.uncapped == Fraction("92.5")
    assert card.bites == ()


def test_a_ceiling_does_nothing_to_a_criterion_that_was_not_seen() -> None:
    rubric = form(ceilings=(ceiling("facing", 50),))
    card = score(rubric, rate(rubric, 5, facing=None))
    assert card.total == 100
    assert card.bites == ()


def test_an_area_ceiling_holds_its_area_and_the_total_follows() -> None:
    rubric = form(ceilings=(ceiling("facing", 40, "boxing_in"),))
    card = score(rubric, rate(rubric, 5, facing=1))
    boxing_in = area_score(card, "boxing_in")
    assert (boxing_in.value, boxing_in.capped) == (Fraction(2, 3), Fraction(2, 5))
    assert card.uncapped == 90
    assert card.total == 70 + 30 * Fraction(2, 5) == 82


def test_a_total_ceiling_holds_the_total_and_leaves_the_areas() -> None:
    rubric = form(ceilings=(ceiling("facing", 60),))
    card = score(rubric, rate(rubric, 5, facing=1))
    assert (card.uncapped, card.total) == (Fraction(90), Fraction(60))
    assert area_score(card, "boxing_in").capped == Fraction(2, 3)


@pytest.mark.parametrize(
    ("at_most", "total", "bites"),
    [
        (80, 80, 2),  # the area's ceiling leaves 82, which is above 80
        (85, 82, 1),  # 90 before any ceiling, but 82 is below 85: nothing left to hold
    ],
)
def test_area_ceilings_act_before_total_ceilings(at_most: int, total: int, bites: int) -> None:
    rubric = form(ceilings=(ceiling("facing", at_most), ceiling("facing", 40, "boxing_in")))
    card = score(rubric, rate(rubric, 5, facing=1))
    assert card.total == total
    assert len(card.bites) == bites


def test_of_several_ceilings_the_lowest_holds_and_every_one_that_bit_is_listed() -> None:
    rubric = form(ceilings=(ceiling("facing", 70), ceiling("leaves", 50), ceiling("clock", 99)))
    card = score(rubric, rate(rubric, 5, facing=1, leaves=1, clock=1))
    assert card.total == 50
    assert [b.ceiling.criterion for b in card.bites] == ["facing", "leaves"]
    assert {b.before for b in card.bites} == {Fraction(75)}
    assert [b.after for b in card.bites] == [Fraction(70), Fraction(50)]


def test_a_criterion_may_hold_an_area_other_than_its_own() -> None:
    rubric = form(ceilings=(ceiling("leaves", 20, "boxing_in"),))
    card = score(rubric, rate(rubric, 5, leaves=1))
    assert area_score(card, "boxing_in").capped == Fraction(1, 5)
    assert area_score(card, "switching").capped == area_score(card, "switching").value


def test_no_ceiling_acts_on_an_area_that_does_not_count() -> None:
    rubric = form(ceilings=(ceiling("leaves", 20, "signals"),))
    card = score(rubric, rate(rubric, 5, leaves=1, clock=None, type=None))
    assert not area_score(card, "signals").counts
    assert card.total == card.uncapped
    assert card.bites == ()


def test_no_ceiling_acts_from_an_area_that_does_not_count() -> None:
    rubric = form(ceilings=(ceiling("direction", 50), ceiling("direction", 20, "switching")))
    card = score(rubric, rate(rubric, 5, direction=1, clock=None, type=None))
    assert card.total == card.uncapped == 100
    assert card.bites == ()


def test_without_a_total_no_ceiling_acts() -> None:
    rubric = form(ceilings=(ceiling("facing", 50), ceiling("facing", 10, "boxing_in")))
    card = score(rubric, rate(rubric, 5, facing=1), withhold=Withheld.COACHING)
    assert card.bites == ()
    assert area_score(card, "boxing_in").capped == Fraction(2, 3)


def test_a_ceiling_at_or_above_what_was_reached_is_not_listed() -> None:
    rubric = form(ceilings=(ceiling("facing", 90),))
    card = score(rubric, rate(rubric, 5, facing=1))
    assert card.total == 90
    assert card.bites == ()


def test_the_rise_is_what_the_total_gains_when_the_criterion_tops_out() -> None:
    rubric = form(ceilings=(ceiling("facing", 60),))
    card = score(rubric, rate(rubric, 5, facing=1))
    assert criterion_score(card, "facing").room == 10
    assert [b.rise for b in card.bites] == [40]


def test_while_another_ceiling_still_holds_the_rise_is_what_that_one_leaves() -> None:
    rubric = form(ceilings=(ceiling("facing", 60), ceiling("leaves", 60), ceiling("leaves", 70)))
    card = score(rubric, rate(rubric, 5, facing=1, leaves=1))
    assert [b.rise for b in card.bites] == [Fraction(0)] * 3


def test_the_lowest_ceiling_rises_to_the_next_one() -> None:
    rubric = form(ceilings=(ceiling("facing", 60), ceiling("leaves", 70)))
    card = score(rubric, rate(rubric, 5, facing=1, leaves=1))
    assert [b.rise for b in card.bites] == [Fraction(10), Fraction(0)]


def test_a_share_is_at_its_lowest_below_the_first_cut_point() -> None:
    rubric = form(ceilings=(ceiling("facing", 50),))
    others = tuple(r for r in rate(rubric, 5) if r.criterion != "facing")
    low = score(rubric, (*others, Rating("facing", share=Fraction(29, 100))))
    assert low.total == 50
    enough = score(rubric, (*others, Rating("facing", share=Fraction(30, 100))))
    assert enough.bites == ()


def test_printed_points_less_the_ceiling_are_the_printed_total() -> None:
    rubric = form(ceilings=(ceiling("facing", 61),))
    card = score(rubric, rate(rubric, 4, facing=1, clock=5))
    figures = print_score(card)
    assert figures is not None
    assert sum(figures.points.values()) == figures.uncapped == Fraction("69.2")
    assert figures.uncapped - figures.ceiling == figures.total == 61


def many_ceilings(count: int) -> RubricSpec:
    keys = [f"c{n}" for n in range(count)]
    return RubricSpec(
        (area("all", 1, dict.fromkeys(keys, 1) | {"other": 10}),),
        ceilings=tuple(ceiling(key, 40 - n) for n, key in enumerate(keys)),
    )


def test_a_form_with_many_ceilings_is_scored_at_once() -> None:
    rubric = many_ceilings(20)
    ratings = rate(rubric, 1, other=5)
    started = time.process_time()
    card = score(rubric, ratings)
    assert time.process_time() - started < 2
    assert len(card.bites) == 13  # ten of thirty: 33.3, above the ceilings from 33 down
    assert card.total == 21


def test_a_bite_names_its_ceiling_and_both_scores() -> None:
    rubric = form(ceilings=(ceiling("facing", 40, "boxing_in"),))
    card = score(rubric, rate(rubric, 5, facing=1))
    assert card.bites == (
        Bite(
            ceiling("facing", 40, "boxing_in"),
            before=Fraction(200, 3),
            after=Fraction(40),
            rise=Fraction(18),
        ),
    )
