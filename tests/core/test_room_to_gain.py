"""Room to gain is a criterion's share of what is missing from 100, before ceilings."""

from fractions import Fraction

from evaluations.core.rubric import RubricSpec
from evaluations.core.scoring import level_step, print_score, score
from tests.core.examples import area, ceiling, criterion_score, form, rate


def test_points_and_room_share_out_the_hundred() -> None:
    rubric = form()
    card = score(rubric, rate(rubric, 3, facing=2, clock=None, type=5))
    points = [c.points for c in card.criteria if c.points is not None]
    room = [c.room for c in card.criteria if c.room is not None]
    assert card.total is not None
    assert sum(points) == card.total
    assert sum(room) == 100 - card.total


def test_room_weighs_area_and_criterion_and_what_is_missing() -> None:
    rubric = RubricSpec(
        (area("signals", 40, {"clock": 3, "type": 1}), area("routes", 60, {"a": 1}))
    )
    card = score(rubric, rate(rubric, 2))
    assert criterion_score(card, "clock").room == 40 * Fraction(3, 4) * Fraction(3, 4)


def test_the_unseen_leaves_its_weight_to_its_own_area() -> None:
    rubric = form()
    card = score(rubric, rate(rubric, 1, facing=None))
    assert criterion_score(card, "inside").room == 15
    assert criterion_score(card, "still").room == Fraction(25, 3)


def test_an_area_that_does_not_count_has_neither_points_nor_room() -> None:
    rubric = form()
    card = score(rubric, rate(rubric, 3, clock=None, type=None))
    direction = criterion_score(card, "direction")
    assert (direction.value, direction.points, direction.room) == (Fraction(1, 2), None, None)


def test_ceilings_leave_points_and_room_as_they_are() -> None:
    rubric = form()
    capped = form(ceilings=(ceiling("facing", 30), ceiling("facing", 10, "boxing_in")))
    free_card = score(rubric, rate(rubric, 4, facing=1))
    assert score(capped, rate(capped, 4, facing=1)).criteria == free_card.criteria


def test_room_is_printed_half_up_and_makes_no_sum() -> None:
    rubric = form()
    figures = print_score(score(rubric, rate(rubric, 4)))
    assert figures is not None
    assert figures.room["still"] == Fraction("2.1")  # 25 / 12 = 2.083...
    assert figures.room["clock"] == Fraction("1.7")  # 20 / 12 = 1.666...
    assert sum(figures.room.values()) == Fraction("25.2")


def test_the_step_of_one_level_is_that_of_the_heaviest_criterion() -> None:
    rubric = form()
    assert level_step(rubric, score(rubric, rate(rubric, 3))) == Fraction(30, 3) / 4
