"""The score's arithmetic as it is read on the check page."""

from __future__ import annotations

from fractions import Fraction

import pytest

from evaluations.core.ratings import Rating
from evaluations.core.rubric import CriterionWording, RubricSpec, RubricWording
from evaluations.core.scoring import Withheld, score
from evaluations.core.voice import PlainEnglish
from evaluations.core.workings import Workings, workings
from tests.core.examples import ceiling, form, rate

WORDS = ("seldom", "at times", "usually", "nearly always", "every time")


def wording(rubric: RubricSpec) -> RubricWording:
    return RubricWording(
        "en",
        "2026–27",
        {a.key: a.key for a in rubric.areas},
        {c.key: CriterionWording(c.key, "", "", "", "", "", ()) for c in rubric.criteria},
        {b.key: b.key for b in rubric.bands},
        WORDS,
    )


def read(
    rubric: RubricSpec, ratings: tuple[Rating, ...], withhold: Withheld | None = None
) -> Workings:
    card = score(rubric, ratings, withhold=withhold)
    return workings(rubric, wording(rubric), card, ratings, PlainEnglish(), counts={})


def column(found: Workings, name: str) -> list[Fraction]:
    lines = (line for area in found.areas for line in area.criteria)
    return [Fraction(text) for line in lines if (text := getattr(line, name))]


def test_a_criterions_line_holds_everything_that_its_points_come_from() -> None:
    rubric = form()
    line = read(rubric, rate(rubric, 4, still=2)).areas[0].criteria[0]
    # A third of 25 % of the total, and level 2 is a quarter of the way from 1 to 5.
    assert (line.level, line.share, line.value) == ("2, at times", "8.3 %", "25.0")
    assert (line.points, line.room) == ("2.1", "6.3")


def test_an_areas_line_holds_its_weight_what_was_seen_and_its_value() -> None:
    rubric = form()
    area = read(rubric, rate(rubric, 4, still=None)).areas[0]
    assert (area.weight, area.seen, area.share, area.value) == ("25", "66.7 %", "25 %", "75.0")


@pytest.mark.parametrize("level", [2, 3, 4])
@pytest.mark.parametrize("missing", ["still", "clock", "facing"])
def test_points_add_up_to_the_total_in_both_tables(level: int, missing: str) -> None:
    rubric = form()
    found = read(rubric, rate(rubric, level, **{missing: None, "route": 5, "type": 1}))
    total = Fraction(found.total)
    assert sum(column(found, "points")) == total
    assert sum(Fraction(area.points) for area in found.areas) == total
    assert found.points == found.total and found.held_back == ""


def test_shares_of_what_counts_make_up_the_whole() -> None:
    rubric = form()
    found = read(rubric, rate(rubric, 3, still=None, route=None))
    assert [area.share for area in found.areas] == ["–", "33.3 %", "40 %", "26.7 %"]
    assert found.areas[0].note == "does not count: less than 50 % of it was seen"


def test_what_was_not_seen_has_no_value_and_no_points() -> None:
    rubric = form()
    line = read(rubric, rate(rubric, 3, clock=None)).areas[3].criteria[0]
    assert (line.level, line.share, line.value) == ("not seen", "–", "–")
    assert (line.points, line.room) == ("", "")


def test_a_ceiling_is_shown_with_what_was_before_and_after_it() -> None:
    rubric = form(ceilings=(ceiling("facing", 40, "boxing_in"), ceiling("facing", 80)))
    found = read(rubric, rate(rubric, 5, facing=1))
    assert found.ceilings == (
        "facing is at its lowest level: boxing_in goes from 66.7 to 40.0.",
        "facing is at its lowest level: the total goes from 82.0 to 80.0.",
    )
    assert (found.points, found.held_back, found.total) == ("90.0", "10.0", "80.0")
    assert sum(column(found, "points")) == Fraction(found.points)


def test_the_headline_is_a_whole_number_with_its_band() -> None:
    rubric = form()
    assert read(rubric, rate(rubric, 3)).headline == "50 of 100, developing"
    assert read(rubric, rate(rubric, 3, facing=2, inside=1)).headline == (
        "43 of 100, between “foundation” and “developing”"
    )


def test_as_long_as_an_answer_is_open_there_is_no_score_to_see() -> None:
    rubric = form()
    found = read(rubric, rate(rubric, 4)[1:])
    assert found.headline == found.total == found.step == ""
    assert found.why_none == (
        "The score appears when every criterion has an answer; “not seen” is one.",
    )
    assert column(found, "points") == []
    assert found.areas[0].criteria[0].level == "not answered"


def test_without_a_total_it_says_why() -> None:
    rubric = form()
    found = read(rubric, rate(rubric, 4, inside=None, facing=None))
    assert found.headline == ""
    assert found.why_none == (
        "Not enough was seen for a total.",
        "boxing_in is needed for a total and was not seen enough.",
    )
    assert found.seen == "70 % of the form could be seen and counts; a total needs 70 %."


@pytest.mark.parametrize("reason", [Withheld.COACHING, Withheld.UNDER_18])
def test_where_there_is_to_be_no_total_levels_and_values_still_stand(reason: Withheld) -> None:
    rubric = form()
    found = read(rubric, rate(rubric, 4, inside=None, facing=None), reason)
    assert len(found.why_none) == 1
    assert found.headline == found.total == ""
    assert found.areas[3].value == "75.0"
    assert found.areas[3].share == "20 %"
    assert found.seen == "70 % of the form could be seen and counts."
