"""Figures are printed half up to one decimal, and printed points add up to the printed total."""

from fractions import Fraction

import pytest

from evaluations.core.printing import largest_remainder, printed, whole
from evaluations.core.rubric import RubricSpec
from evaluations.core.scoring import print_score, score
from tests.core.examples import area, form, rate


@pytest.mark.parametrize(
    ("exact", "figure"),
    [
        ("64.94", "64.9"),
        ("64.949999999999999999", "64.9"),
        ("64.95", "65"),
        ("64.85", "64.9"),
        ("0.05", "0.1"),
        ("0", "0"),
        ("100", "100"),
    ],
)
def test_half_goes_up(exact: str, figure: str) -> None:
    assert printed(Fraction(exact)) == Fraction(figure)


def test_the_headline_rounds_the_printed_total() -> None:
    assert whole(Fraction("64.4")) == 64
    assert whole(Fraction("64.5")) == 65
    assert whole(printed(Fraction("64.45"))) == 65


def test_the_largest_remainders_go_up() -> None:
    exact = {"a": Fraction("1.01"), "b": Fraction("1.09"), "c": Fraction("1.05")}
    assert largest_remainder(exact, Fraction("3.2")) == {
        "a": Fraction(1),
        "b": Fraction("1.1"),
        "c": Fraction("1.1"),
    }


def test_remainders_as_large_go_up_in_rubric_order() -> None:
    exact = dict.fromkeys(("first", "second", "third"), Fraction(10, 3))
    assert list(largest_remainder(exact, Fraction(10)).values()) == [
        Fraction("3.4"),
        Fraction("3.3"),
        Fraction("3.3"),
    ]


def test_no_point_is_invented_where_there_is_no_remainder() -> None:
    exact = {"lowest": Fraction(0), "a": Fraction(5, 3), "b": Fraction(5, 3), "c": Fraction(5, 3)}
    figures = largest_remainder(exact, Fraction(5))
    assert figures["lowest"] == 0
    assert sum(figures.values()) == 5


def test_printed_points_add_up_where_each_rounded_alone_would_not() -> None:
    rubric = form()
    card = score(rubric, rate(rubric, 5))
    figures = print_score(card)
    assert figures is not None
    alone = [printed(c.points) for c in card.criteria if c.points is not None]
    assert sum(alone) == Fraction("99.9")
    assert sum(figures.points.values()) == figures.total == 100


def test_without_a_ceiling_the_ceiling_line_is_nothing() -> None:
    rubric = RubricSpec((area("signals", 1, {"clock": 1}),))
    figures = print_score(score(rubric, rate(rubric, 4)))
    assert figures is not None
    assert (figures.uncapped, figures.ceiling) == (figures.total, Fraction(0))
