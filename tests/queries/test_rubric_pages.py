"""Rubrics as members see them: whose, which figures, and what still stands before publication."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from pytest_django import DjangoAssertNumQueries

from evaluations.models import Rubric, Season
from evaluations.queries.publishing import publishing
from evaluations.queries.rubric_pages import (
    percent,
    rubric_sheet,
    seasons_to_begin,
    shelves,
)
from evaluations.queries.rubrics import rubrics_for
from evaluations.services.rubric_edits import (
    AreaWeight,
    set_area_labels,
    set_ceiling,
    set_weights,
)
from evaluations.services.rubric_parts import add_criterion
from evaluations.services.rubrics import propose
from evaluations.services.shipped_rubric import add_shipped_rubric
from tests.factories.accounts import NOW, Cast
from tests.factories.evaluations import published_rubric, season_of


@pytest.fixture
def season(cast: Cast) -> Season:
    return season_of(cast.association)


@pytest.fixture
def draft(cast: Cast, season: Season) -> Rubric:
    return add_shipped_rubric(season=season, by=cast.admin, now=NOW)


def test_drafts_are_the_admins_published_editions_everybodys(cast: Cast, season: Season) -> None:
    published = published_rubric(season, cast.admin)
    draft = add_shipped_rubric(season=season, by=cast.admin, now=NOW)
    assert set(rubrics_for(cast.second_admin)) == {published, draft}
    for member in (cast.observer, cast.official, cast.young_official, cast.board):
        assert list(rubrics_for(member)) == [published]
    assert not rubrics_for(cast.other_admin).exists()


def test_a_shelf_has_what_the_asker_may_see(cast: Cast, season: Season) -> None:
    published = published_rubric(season, cast.admin)
    draft = add_shipped_rubric(season=season, by=cast.admin, now=NOW)
    (shelf,) = shelves(cast.admin)
    assert (shelf.rubrics, shelf.in_work, shelf.to_copy) == ((draft, published), draft, published)
    (shelf,) = shelves(cast.official)
    assert (shelf.rubrics, shelf.in_work) == ((published,), None)
    assert shelves(cast.other_admin) == []


def test_a_season_with_a_rubric_in_work_gets_no_second_one(cast: Cast, draft: Rubric) -> None:
    other = Season.objects.create(
        association=cast.association,
        name="2027–28",
        starts_on=date(2027, 9, 1),
        ends_on=date(2028, 4, 30),
    )
    assert list(seasons_to_begin(cast.admin)) == [other]
    propose(rubric=draft, version=draft.version, by=cast.admin, now=NOW)
    assert list(seasons_to_begin(cast.admin)) == [other]
    assert not seasons_to_begin(cast.other_admin).exists()


@pytest.mark.parametrize(
    ("share", "printed"),
    [("1/12", "8.3"), ("1/15", "6.7"), ("1/4", "25"), ("1/16", "6.3"), ("0", "0")],
)
def test_shares_are_printed_half_up_to_one_decimal(share: str, printed: str) -> None:
    assert percent(Fraction(share)) == Decimal(printed)


def test_each_share_is_of_the_whole_total(draft: Rubric) -> None:
    sheet = rubric_sheet(draft, "en")
    assert [(a.label, int(a.share)) for a in sheet.areas] == [
        ("Foul reporting", 25),
        ("Switching", 25),
        ("Boxing-in coverage", 30),
        ("Signals", 20),
    ]
    assert [str(a.criteria[0].share) for a in sheet.areas] == ["8.3", "8.3", "10", "6.7"]
    assert {str(c.share_of_area) for a in sheet.areas for c in a.criteria} == {"33.3"}
    assert [a.needed for a in sheet.areas] == [False, True, True, False]


def test_weights_need_not_sum_to_100(cast: Cast, draft: Rubric) -> None:
    set_weights(
        rubric=draft,
        version=draft.version,
        areas={"signals": AreaWeight(Decimal(120), Decimal("0.5"), False)},
        criteria={},
        target_level=4,
        minimum_seen=Decimal("0.7"),
        by=cast.admin,
        now=NOW,
    )
    sheet = rubric_sheet(draft, "en")
    assert [a.share for a in sheet.areas] == [Decimal("12.5"), Decimal("12.5"), 15, 60]


def test_a_sheet_says_how_levels_counts_bands_and_ceilings_work(cast: Cast, draft: Rubric) -> None:
    key = rubric_sheet(draft, "en").areas[3].criteria[0].key
    set_ceiling(
        rubric=draft,
        version=draft.version,
        criterion=key,
        area="switching",
        at_most=Decimal("62.5"),
        by=cast.admin,
        now=NOW,
    )
    sheet = rubric_sheet(Rubric.objects.get(pk=draft.pk), "es")
    assert [(n.word, n.lower, n.upper) for n in sheet.levels] == [
        ("rara vez", None, 30),
        ("a veces", 30, 55),
        ("por lo general", 55, 80),
        ("casi siempre", 80, 100),
        ("todas las veces", 100, None),
    ]
    assert [(b.name, b.lower) for b in sheet.bands][1] == ("en desarrollo", Decimal(40))
    (ceiling,) = sheet.ceilings
    assert (ceiling.area, ceiling.at_most) == ("Cambios de posición", Decimal("62.5"))
    assert (sheet.target, sheet.minimum_seen) == ("casi siempre", Decimal(70))


def test_a_sheet_takes_a_bounded_number_of_queries(
    draft: Rubric, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    with django_assert_max_num_queries(14):
        rubric_sheet(draft, "es")


def test_the_page_of_publication_names_every_missing_text(cast: Cast, draft: Rubric) -> None:
    key = add_criterion(
        rubric=draft,
        version=draft.version,
        area="signals",
        label="Shows the count",
        by=cast.admin,
        now=NOW,
    )
    now = Rubric.objects.get(pk=draft.pk)
    set_area_labels(
        rubric=now,
        version=now.version,
        area="switching",
        labels={"en": ""},
        by=cast.admin,
        now=NOW,
    )
    found = publishing(Rubric.objects.get(pk=draft.pk), cast.admin)
    assert [(m.where, m.key, m.first) for m in found.missing] == [
        ("area", "switching", "label"),
        ("criterion", key, "standard"),
    ]
    assert found.missing[1].name == "Shows the count"
    assert found.missing[1].texts == (
        "standard, why it matters, try this, how we will check and wording of the levels"
    )
    ((language, advised),) = found.advised
    assert (language, [m.key for m in advised]) == ("Spanish", [key])


def test_the_page_of_publication_knows_who_asks(cast: Cast, draft: Rubric) -> None:
    proposed = propose(rubric=draft, version=draft.version, by=cast.admin, now=NOW)
    assert publishing(proposed, cast.admin).own_proposal
    assert not publishing(proposed, cast.second_admin).own_proposal
    assert not publishing(proposed, cast.admin).alone
    cast.second_admin.active = False
    cast.second_admin.save()
    assert publishing(proposed, cast.admin).alone
