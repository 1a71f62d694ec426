"""What is counted for a criterion: chosen in a draft, read by every member, kept by copies."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from django.test import Client

from evaluations.core.mechanics.rules import RULES
from evaluations.models import Rubric
from evaluations.queries.rubrics import rubric_content
from evaluations.services.rubric_parts import remove_criterion
from evaluations.services.rubrics import start_over, undo_removal
from evaluations.services.shipped_rubric import add_shipped_rubric
from tests.factories.accounts import NOW, Cast, signed_in
from tests.factories.evaluations import published_rubric, season_of
from tests.web.test_rubric_drafts import at, filled, shown, text

STILL, BY_EYE = "still-before-first-sign", "arm-with-whistle"


@pytest.fixture
def draft(cast: Cast) -> Rubric:
    return add_shipped_rubric(season=season_of(cast.association), by=cast.admin, now=NOW)


@pytest.fixture
def admin(cast: Cast) -> Client:
    return signed_in(cast.admin)


def counted(rubric: Rubric, key: str = STILL) -> tuple[str, ...]:
    criterion = rubric_content(Rubric.objects.get(pk=rubric.pk)).criterion(key)
    assert criterion is not None
    return criterion.findings


# --- Chosen -------------------------------------------------------------------------------------
def test_every_rule_can_be_chosen_by_its_duty_and_film_is_said(
    admin: Client, draft: Rubric
) -> None:
    answer = admin.get(at("rubric_criterion", draft.pk, STILL))
    field = shown(answer)["findings"]
    assert len(field) == len(RULES)
    assert field.value() == ["full_stop"]
    page = text(answer)
    assert "Come to a full stop before you speak to the table." in page
    assert "Speak colour and number to the table. Only film shows this." in page
    assert page.count("Only film shows this.") == sum(rule.film for rule in RULES)


def test_what_is_chosen_is_kept_in_the_order_of_the_rules(admin: Client, draft: Rubric) -> None:
    address = at("rubric_criterion", draft.pk, STILL)
    chosen = ["spoken", "player_told", "full_stop"]
    assert admin.post(address, filled(admin, address, findings=chosen)).status_code == 302
    assert counted(draft) == ("player_told", "full_stop", "spoken")


def test_with_nothing_chosen_a_criterion_is_judged_by_eye(admin: Client, draft: Rubric) -> None:
    address = at("rubric_criterion", draft.pk, STILL)
    assert admin.post(address, filled(admin, address, findings=[])).status_code == 302
    assert counted(draft) == ()


def test_a_finding_that_no_log_has_is_refused_where_it_was_chosen(
    admin: Client, draft: Rubric
) -> None:
    address = at("rubric_criterion", draft.pk, STILL)
    answer = admin.post(address, filled(admin, address, findings=["full_stop", "whistle_blown"]))
    assert list(shown(answer).errors) == ["findings"]
    assert counted(draft) == ("full_stop",)


def test_the_second_of_two_admins_keeps_the_choice_and_sees_what_is_stored(
    cast: Cast, admin: Client, draft: Rubric
) -> None:
    address = at("rubric_criterion", draft.pk, STILL)
    mine = filled(admin, address, findings=["spoken", "type_shown"])
    second = signed_in(cast.second_admin)
    second.post(address, filled(second, address, findings=["route_around"]))
    answer = admin.post(address, mine)
    form = shown(answer)
    assert form["findings"].value() == ["spoken", "type_shown"]
    assert form.errors["findings"] == ["Stored now: Go around the players to the reporting area."]
    again = {**mine, "version": str(form["version"].value())}
    assert admin.post(address, again).status_code == 302
    assert counted(draft) == ("spoken", "type_shown")


# --- From film ----------------------------------------------------------------------------------
def thresholds(rubric: Rubric, key: str = STILL) -> dict[str, str]:
    criterion = rubric_content(Rubric.objects.get(pk=rubric.pk)).criterion(key)
    assert criterion is not None
    return {rule.value: str(at.normalize()) for rule, at in criterion.thresholds.items()}


FILM = {
    "film-view_kept": "80",
    "film-boxed_in": "",
    "film-apart": "120",
    "film-route_clear": "0",
    "film-faced": "1.5",
}


def test_film_has_thresholds_in_percent_degrees_metres_and_seconds(
    admin: Client, draft: Rubric
) -> None:
    address = at("rubric_criterion", draft.pk, STILL)
    assert admin.post(address, filled(admin, address, **FILM)).status_code == 302
    assert thresholds(draft) == {
        "view_kept": "0.8",
        "apart": "1.2E+2",
        "route_clear": "0",
        "faced": "1.5E+3",
    }
    form = shown(admin.get(address))
    assert {name: form[name].value() for name in FILM} == {
        "film-view_kept": Decimal(80),
        "film-boxed_in": None,
        "film-apart": Decimal(120),
        "film-route_clear": Decimal(0),
        "film-faced": Decimal("1.5"),
    }


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("film-view_kept", "101"),
        ("film-boxed_in", "0"),
        ("film-apart", "181"),
        ("film-apart", "0"),
        ("film-route_clear", "-1"),
        ("film-faced", "61"),
        ("film-faced", "soon"),
    ],
)
def test_a_threshold_beyond_its_unit_is_refused_at_its_field(
    admin: Client, draft: Rubric, name: str, typed: str
) -> None:
    address = at("rubric_criterion", draft.pk, STILL)
    answer = admin.post(address, filled(admin, address, **{name: typed}))
    assert list(shown(answer).errors) == [name]
    assert thresholds(draft) == {}


def test_another_threshold_for_the_same_rule_is_refused_in_words(
    admin: Client, draft: Rubric
) -> None:
    address = at("rubric_criterion", draft.pk, STILL)
    admin.post(address, filled(admin, address, **FILM))
    other = at("rubric_criterion", draft.pk, BY_EYE)
    answer = admin.post(other, filled(admin, other, **{**FILM, "film-apart": "90"}))
    assert "the same wherever a rubric asks for it" in text(answer)
    assert thresholds(draft, BY_EYE) == {}


def test_members_read_what_film_is_judged_by(cast: Cast, admin: Client, draft: Rubric) -> None:
    address = at("rubric_criterion", draft.pk, STILL)
    admin.post(address, filled(admin, address, **FILM))
    page = text(admin.get(at("rubric", draft.pk)))
    assert "From film: at least 80.0 % of the players in the own view." in page
    assert "From film: at most 1.5 s in which nobody faces the players." in page


# --- How many ------------------------------------------------------------------------------------
@pytest.mark.parametrize(("typed", "stored"), [("1", 1), ("8", 8), ("50", 50)])
def test_the_words_page_says_how_many_must_be_judged(
    admin: Client, draft: Rubric, typed: str, stored: int
) -> None:
    address = at("rubric_words", draft.pk)
    assert shown(admin.get(address))["minimum_count"].value() == 5
    assert admin.post(address, filled(admin, address, minimum_count=typed)).status_code == 302
    draft.refresh_from_db()
    assert draft.minimum_count == stored


@pytest.mark.parametrize("typed", ["0", "51", "", "-1", "2.5", "some"])
def test_a_number_that_none_can_be_judged_by_is_refused(
    admin: Client, draft: Rubric, typed: str
) -> None:
    address = at("rubric_words", draft.pk)
    answer = admin.post(address, filled(admin, address, minimum_count=typed))
    assert list(shown(answer).errors) == ["minimum_count"]
    draft.refresh_from_db()
    assert draft.minimum_count == 5


# --- Read ---------------------------------------------------------------------------------------
@pytest.mark.parametrize("who", ["official", "observer", "board"])
def test_every_member_reads_what_is_counted_and_how_a_count_becomes_a_level(
    cast: Cast, who: str
) -> None:
    rubric = published_rubric(season_of(cast.association), cast.admin)
    page = text(signed_in(getattr(cast, who)).get(at("rubric", rubric.pk)))
    assert page.count("Counted from the log") == 10
    assert (
        "Counted from the log:</b> Show the number the way the mechanics code has it. Show the "
        "type of foul. Show what follows: the spot or the shots."
    ) in page
    assert "1 seldom below 30 %, 2 at times from 30 %" in page
    assert "With fewer than 5 judged, not enough was seen and no level is suggested." in page
    assert "With fewer than 8 the suggestion is a range of levels." in page


def test_duties_are_read_in_the_language_of_the_page(cast: Cast) -> None:
    rubric = published_rubric(season_of(cast.association), cast.admin)
    page = text(signed_in(cast.official).get(at("rubric", rubric.pk) + "?language=es"))
    assert "Show the type of foul." not in page
    assert "Muestre el tipo de falta." in page


# --- Kept ---------------------------------------------------------------------------------------
def chosen(draft: Rubric, admin: Client) -> None:
    address = at("rubric_criterion", draft.pk, STILL)
    admin.post(
        address, filled(admin, address, findings=["full_stop", "spoken"], **{"film-apart": "90"})
    )
    address = at("rubric_words", draft.pk)
    admin.post(address, filled(admin, address, minimum_count="7"))
    draft.refresh_from_db()


def both(rubric: Rubric) -> tuple[Any, ...]:
    return (counted(rubric), thresholds(rubric), Rubric.objects.get(pk=rubric.pk).minimum_count)


def test_an_undone_removal_brings_the_counted_findings_back(
    cast: Cast, admin: Client, draft: Rubric
) -> None:
    chosen(draft, admin)
    removed = remove_criterion(
        rubric=draft, version=draft.version, criterion=STILL, by=cast.admin, now=NOW
    )
    undo_removal(rubric=draft, version=removed.version, by=cast.admin, now=NOW)
    assert both(draft) == (("full_stop", "spoken"), {"apart": "9E+1"}, 7)


def test_a_draft_that_is_begun_again_counts_what_its_model_counts(
    cast: Cast, admin: Client, draft: Rubric
) -> None:
    chosen(draft, admin)
    started = start_over(rubric=draft, version=draft.version, source=None, by=cast.admin, now=NOW)
    assert both(draft) == (("full_stop",), {}, 5)
    undo_removal(rubric=draft, version=started.version, by=cast.admin, now=NOW)
    assert both(draft) == (("full_stop", "spoken"), {"apart": "9E+1"}, 7)
