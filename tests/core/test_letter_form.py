"""The form in the letter: every criterion, and figures that a reader can add up."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from hypothesis import given

from evaluations.core.letter import Fact, FormArea, FormTable
from evaluations.core.letter_form import compose_form, percent
from evaluations.core.ratings import Rating
from evaluations.core.rubric import RubricSpec
from evaluations.core.scoring import Withheld
from evaluations.core.voice import PlainEnglish
from tests.core.examples import ceiling, form, rate
from tests.core.snapshots import season, snapshot_of
from tests.core.strategies import forms

FORM = form()
ENGLISH = PlainEnglish()


def table(rubric: RubricSpec, ratings: tuple[Rating, ...], **fields: Any) -> FormTable:
    return compose_form(snapshot_of(rubric, ratings, **fields), ENGLISH)


def area(found: FormTable, label: str) -> FormArea:
    return next(a for a in found.areas if a.label == label)


def test_every_criterion_has_level_points_and_room() -> None:
    found = table(FORM, rate(FORM, 4, clock=2, type=None))
    rows = area(found, "Area signals").rows
    assert [(r.label, r.position, r.level, r.points, r.room) for r in rows] == [
        ("Criterion clock", 2, "word 2", "2.5", "7.5"),
        ("Criterion type", None, "not seen", "", ""),
        ("Criterion direction", 4, "word 4", "7.5", "2.5"),
    ]
    assert found.levels == 5


def test_areas_have_their_share_of_the_form_and_a_bar() -> None:
    bar = area(table(FORM, rate(FORM, 4, clock=2)), "Area signals").bar
    assert (bar.value, bar.season) == (58.3, None)
    assert bar.alt == "Area signals: 58 of 100 in this game"
    assert area(table(FORM, rate(FORM, 4)), "Area boxing_in").share == "30 % of the form"


def test_a_bar_shows_the_own_season_from_the_third_observation_on() -> None:
    for observations, mean in ((2, None), (3, 81.0)):
        found = table(FORM, rate(FORM, 4), season=season(70, 5.0, observations, signals=81))
        assert area(found, "Area signals").bar.season == mean
        assert area(found, "Area switching").bar.season is None
    assert area(found, "Area signals").bar.alt == (
        "Area signals: 75 of 100 in this game, 81 over your season"
    )


def test_an_area_that_does_not_count_says_so_in_place_of_its_bar() -> None:
    bar = area(table(FORM, rate(FORM, 4, clock=None, type=None)), "Area signals").bar
    assert (bar.value, bar.text) == (None, "not enough seen")


def test_a_bar_ends_at_its_areas_ceiling() -> None:
    rubric = form(ceilings=(ceiling("clock", 40, "signals"),))
    bar = area(table(rubric, rate(rubric, 5, clock=1)), "Area signals").bar
    assert bar.value == 40


def test_without_a_ceiling_the_table_ends_with_the_total() -> None:
    assert table(FORM, rate(FORM, 4)).closing == (Fact("Total", "75.0"),)


def test_with_a_ceiling_the_table_ends_with_points_ceiling_and_total() -> None:
    rubric = form(ceilings=(ceiling("clock", 60), ceiling("clock", 90, "signals")))
    assert table(rubric, rate(rubric, 4, clock=1)).closing == (
        Fact("Points", "70.0"),
        Fact("Ceiling: Criterion clock", "−10.0"),
        Fact("Total", "60.0"),
    )


def test_how_much_could_be_seen_stands_below() -> None:
    found = table(FORM, rate(FORM, 4, clock=None))
    assert found.seen == "93.3 % of the form could be seen and counts."


def test_percent_has_a_decimal_only_where_it_needs_one() -> None:
    assert percent(Fraction(1, 4), ENGLISH) == "25 %"
    assert percent(Fraction(1, 3), ENGLISH) == "33.3 %"


def figure(text: str) -> Fraction:
    return Fraction(text.replace("−", "-"))


@given(forms())
def test_printed_points_less_the_ceiling_are_the_printed_total(
    drawn: tuple[RubricSpec, tuple[Rating, ...]],
) -> None:
    found = table(*drawn)
    rows = [row for a in found.areas for row in a.rows]
    assert len(rows) == len(drawn[1])
    points = sum(figure(row.points) for row in rows if row.points)
    lines = {fact.label.partition(":")[0]: figure(fact.text) for fact in found.closing}
    if not lines:
        assert points == 0 and not found.has_points
        return
    assert points == lines.get("Points", lines["Total"])
    assert points + lines.get("Ceiling", Fraction(0)) == lines["Total"]


def test_without_a_total_the_form_has_levels_only() -> None:
    found = table(FORM, rate(FORM, 4), withhold=Withheld.COACHING)
    assert not found.has_points
    assert found.closing == ()
