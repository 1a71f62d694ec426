"""The pages that edit a draft: what is typed is stored, or kept on the page with a reason."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from django.forms import Form
from django.test import Client
from django.urls import reverse

from evaluations.models import Rubric
from evaluations.queries.rubrics import rubric_content
from evaluations.services.rubric_edits import set_levels
from evaluations.services.rubrics import propose
from evaluations.services.shipped_rubric import add_shipped_rubric
from tests.factories.accounts import NOW, Cast, signed_in
from tests.factories.evaluations import season_of

STILL = "still-before-first-sign"


@pytest.fixture
def draft(cast: Cast) -> Rubric:
    return add_shipped_rubric(season=season_of(cast.association), by=cast.admin, now=NOW)


@pytest.fixture
def admin(cast: Cast) -> Client:
    return signed_in(cast.admin)


def at(name: str, *args: Any) -> str:
    return reverse(f"evaluations:{name}", args=["rivers", *args])


def shown(answer: Any) -> Form:
    """The form of an answer of the test client."""
    form = answer.context["form"]
    assert isinstance(form, Form)
    return form


def filled(client: Client, address: str, **typed: Any) -> dict[str, Any]:
    """What a browser would send of the page's form, with some fields typed over."""
    form = shown(client.get(address))
    values = {field.html_name: field.value() for field in form}
    sent = {name: "" if value is None else value for name, value in values.items()}
    ticked = {name: value for name, value in sent.items() if isinstance(value, list)}
    rest = {n: str(v) for n, v in sent.items() if v is not False and n not in ticked}
    return {**rest, **ticked, **typed}


def text(answer: Any) -> str:
    return " ".join(answer.content.decode().split())


def speaks_spanish(cast: Cast) -> None:
    cast.admin.user.language = "es"
    cast.admin.user.save()


# --- Weights ------------------------------------------------------------------------------------
def test_the_weights_page_shows_every_weight_and_its_share(admin: Client, draft: Rubric) -> None:
    page = text(admin.get(at("rubric_weights", draft.pk)))
    assert page.count("data-weight-group") == 5
    assert "30 % of the total" in page
    assert page.count("33.3 % of the area, 6.7 % of the total") == 3


def test_weights_are_saved(admin: Client, draft: Rubric) -> None:
    address = at("rubric_weights", draft.pk)
    typed = {
        "area-weight-signals": "40",
        "area-share-signals": "66.67",
        "area-needed-signals": "on",
        f"criterion-{STILL}": "2",
        "minimum_seen": "60",
        "target_level": "3",
    }
    answer = admin.post(address, filled(admin, address, **typed), follow=True)
    assert "Saved." in text(answer)
    content = rubric_content(Rubric.objects.get(pk=draft.pk))
    signals = content.area("signals")
    assert signals and (signals.weight, signals.minimum_share, signals.needed) == (
        Decimal(40),
        Decimal("0.6667"),
        True,
    )
    still = content.criterion(STILL)
    assert still and still.weight == 2
    assert (content.minimum_seen, content.target_level) == (Decimal("0.6"), 3)
    assert "50 % of the area, 10.4 % of the total" in text(answer)


def test_an_untouched_page_changes_nothing(admin: Client, draft: Rubric) -> None:
    before = rubric_content(draft)
    for name in ("rubric_weights", "rubric_words", "rubric_levels"):
        address = at(name, draft.pk)
        assert admin.post(address, filled(admin, address)).status_code == 302
    address = at("rubric_criterion", draft.pk, STILL)
    assert admin.post(address, filled(admin, address)).status_code == 302
    assert rubric_content(Rubric.objects.get(pk=draft.pk)) == before


@pytest.mark.parametrize(
    ("typed", "stored"), [("25", "25"), ("12,5", "12.5"), ("12.5", "12.5"), (" 7,25 ", "7.25")]
)
@pytest.mark.parametrize("language", ["en", "es"])
def test_a_decimal_is_typed_with_a_point_or_a_comma(
    cast: Cast, draft: Rubric, language: str, typed: str, stored: str
) -> None:
    cast.admin.user.language = language
    cast.admin.user.save()
    admin = signed_in(cast.admin)
    address = at("rubric_weights", draft.pk)
    sent = filled(admin, address, **{"area-weight-signals": typed, "minimum_seen": "62,5"})
    assert admin.post(address, sent).status_code == 302
    assert draft.areas.get(key="signals").weight == Decimal(stored)
    assert Rubric.objects.get(pk=draft.pk).minimum_seen == Decimal("0.625")


def test_in_spanish_a_weight_is_shown_with_a_comma(cast: Cast, draft: Rubric) -> None:
    draft.areas.filter(key="signals").update(weight=Decimal("12.5"))
    speaks_spanish(cast)
    page = text(signed_in(cast.admin).get(at("rubric_weights", draft.pk)))
    assert 'value="12,5"' in page
    assert 'value="25"' in page


@pytest.mark.parametrize("typed", ["0", "-1", "NaN", "inf", "-Infinity", "", "much", "1e400"])
def test_a_weight_that_is_none_is_refused_where_it_was_typed(
    admin: Client, draft: Rubric, typed: str
) -> None:
    address = at("rubric_weights", draft.pk)
    sent = filled(admin, address, **{"area-weight-signals": typed, "minimum_seen": "61"})
    answer = admin.post(address, sent)
    assert list(shown(answer).errors) == ["area-weight-signals"]
    assert '<a href="#id_area-weight-signals">' in text(answer)
    assert shown(answer)["area-weight-signals"].value() == typed
    assert shown(answer)["minimum_seen"].value() == "61"
    assert Rubric.objects.get(pk=draft.pk).version == 1


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("area-share-signals", "0"),
        ("area-share-signals", "101"),
        ("minimum_seen", "-1"),
        ("minimum_seen", "100.5"),
        ("minimum_seen", "33.333"),
        ("target_level", "1"),
    ],
)
def test_a_share_or_level_out_of_range_is_refused(
    admin: Client, draft: Rubric, field: str, typed: str
) -> None:
    address = at("rubric_weights", draft.pk)
    answer = admin.post(address, filled(admin, address, **{field: typed}))
    assert list(shown(answer).errors) == [field]


def test_the_second_of_two_admins_keeps_the_text_and_sees_what_is_stored(
    cast: Cast, admin: Client, draft: Rubric
) -> None:
    address = at("rubric_weights", draft.pk)
    mine = filled(admin, address, **{"area-weight-signals": "10"})
    second = signed_in(cast.second_admin)
    second.post(address, filled(second, address, **{"area-weight-signals": "55"}))
    answer = admin.post(address, mine)
    page = text(answer)
    assert "Somebody saved this rubric after you opened the page" in page
    assert 'value="10"' in page
    assert shown(answer).errors["area-weight-signals"] == ["Stored now: 55"]
    assert '<a href="#id_area-weight-signals">' in page
    assert draft.areas.get(key="signals").weight == 55
    again = {**mine, "version": str(shown(answer)["version"].value())}
    assert admin.post(address, again).status_code == 302
    assert draft.areas.get(key="signals").weight == 10


def test_what_is_typed_into_a_proposed_rubric_is_refused_and_kept(
    cast: Cast, admin: Client, draft: Rubric
) -> None:
    address = at("rubric_weights", draft.pk)
    mine = filled(admin, address, **{"area-weight-signals": "10"})
    propose(rubric=draft, version=1, by=cast.second_admin, now=NOW)
    page = text(admin.post(address, mine))
    assert "Withdraw the proposal to change it" in page and 'value="10"' in page
    assert draft.areas.get(key="signals").weight == 20


# --- Words, levels, bands -----------------------------------------------------------------------
def test_words_and_bands_are_saved(admin: Client, draft: Rubric) -> None:
    address = at("rubric_words", draft.pk)
    typed = {
        "mechanics": "State manual, 4th edition",
        "word-1-en": "hardly ever",
        "cut-2": "25",
        "band-4-lower": "90,5",
        "band-5-lower": "95",
        "band-5-en": "outstanding",
    }
    assert admin.post(address, filled(admin, address, **typed)).status_code == 302
    content = rubric_content(Rubric.objects.get(pk=draft.pk))
    assert content.mechanics == "State manual, 4th edition"
    assert content.level_words["en"][0] == "hardly ever"
    assert content.cut_points[0] == Decimal("0.25")
    assert [(b.key, b.lower) for b in content.bands][3:] == [
        ("exemplary", Decimal("90.5")),
        ("outstanding", 95),
    ]


def test_an_emptied_band_is_gone(admin: Client, draft: Rubric) -> None:
    address = at("rubric_words", draft.pk)
    gone = {"band-2-lower": "", "band-2-en": "", "band-2-es": ""}
    assert admin.post(address, filled(admin, address, **gone)).status_code == 302
    assert [b.key for b in rubric_content(draft).bands] == ["foundation", "dependable", "exemplary"]


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"band-1-lower": "5"}, "band-1-lower"),
        ({"band-1-lower": ""}, "band-1-lower"),
        ({"band-2-lower": "65"}, "band-3-lower"),
        ({"band-2-lower": "100"}, "band-2-lower"),
        ({"band-5-en": "outstanding"}, "band-5-lower"),
        ({"cut-3": "30"}, "cut-3"),
        ({"cut-5": "101"}, "cut-5"),
        ({"word-1-en": "x" * 25}, "word-1-en"),
        ({"note": "x" * 401}, "note"),
    ],
)
def test_words_that_do_not_fit_are_refused_where_they_were_typed(
    admin: Client, draft: Rubric, typed: dict[str, str], field: str
) -> None:
    address = at("rubric_words", draft.pk)
    answer = admin.post(address, filled(admin, address, **typed))
    assert list(shown(answer).errors) == [field]
    assert Rubric.objects.get(pk=draft.pk).version == 1


def test_the_number_of_levels_changes_what_the_words_page_asks(
    admin: Client, draft: Rubric
) -> None:
    address = at("rubric_levels", draft.pk)
    admin.post(address, filled(admin, address, levels="3"))
    fields = shown(admin.get(at("rubric_words", draft.pk))).fields
    assert "word-3-en" in fields and "word-4-en" not in fields and "cut-4" not in fields


def test_words_of_levels_out_of_sight_survive_a_save(
    cast: Cast, admin: Client, draft: Rubric
) -> None:
    set_levels(rubric=draft, version=1, levels=3, by=cast.admin, now=NOW)
    for address in (at("rubric_words", draft.pk), at("rubric_criterion", draft.pk, STILL)):
        assert admin.post(address, filled(admin, address)).status_code == 302
    content = rubric_content(Rubric.objects.get(pk=draft.pk))
    assert content.level_words["en"][4] == "every time"
    still = content.criterion(STILL)
    assert still and still.texts["es"].levels[4].startswith("Los dos pies")


# --- Ceilings -----------------------------------------------------------------------------------
def test_a_ceiling_is_added_and_removed(admin: Client, draft: Rubric) -> None:
    address = at("rubric_ceilings", draft.pk)
    typed = {"criterion": STILL, "area": "", "at_most": "59,5"}
    page = text(admin.post(address, filled(admin, address, **typed), follow=True))
    assert "at its lowest level, the total is at most 59.5." in page
    ceiling = draft.ceilings.get()
    answer = admin.post(
        at("rubric_ceiling_remove", draft.pk, ceiling.pk), {"version": 2}, follow=True
    )
    assert "The ceiling is removed." in text(answer) and "Put it back" in text(answer)
    assert not draft.ceilings.exists()
    admin.post(at("rubric_undo", draft.pk), {"version": 3})
    assert draft.ceilings.get().at_most == Decimal("59.5")


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"criterion": STILL, "at_most": "101"}, "at_most"),
        ({"criterion": STILL, "at_most": "-1"}, "at_most"),
        ({"criterion": STILL, "at_most": ""}, "at_most"),
        ({"criterion": "no-such", "at_most": "60"}, "criterion"),
        ({"criterion": STILL, "at_most": "60", "area": "no-such"}, "area"),
    ],
)
def test_a_ceiling_that_is_none_is_refused(
    admin: Client, draft: Rubric, typed: dict[str, str], field: str
) -> None:
    address = at("rubric_ceilings", draft.pk)
    answer = admin.post(address, filled(admin, address, **typed))
    assert list(shown(answer).errors) == [field]
    assert not draft.ceilings.exists()


# --- Areas and criteria -------------------------------------------------------------------------
def test_an_area_is_added_with_its_first_criterion(admin: Client, draft: Rubric) -> None:
    address = at("rubric_area_add", draft.pk)
    typed = {"label": "Game control", "weight": "12,5", "first_criterion": "Settles the bench"}
    page = text(admin.post(address, filled(admin, address, **typed), follow=True))
    assert "Game control" in page and "Settles the bench" in page
    assert "11.1 % of the total" in page


def test_an_area_page_names_it_and_leads_to_its_criteria(admin: Client, draft: Rubric) -> None:
    address = at("rubric_area", draft.pk, "foul-reporting")
    assert at("rubric_criterion", draft.pk, STILL) in text(admin.get(address))
    admin.post(address, filled(admin, address, en="Reporting", es="Comunicación"))
    assert "Reporting" in text(admin.get(at("rubric_areas", draft.pk)))


def test_areas_and_criteria_move(admin: Client, draft: Rubric) -> None:
    admin.post(at("rubric_area_move", draft.pk, "signals"), {"version": 1, "direction": "up"})
    admin.post(at("rubric_criterion_move", draft.pk, STILL), {"version": 2, "direction": "down"})
    content = rubric_content(draft)
    assert [a.key for a in content.areas][2:] == ["signals", "boxing-in"]
    assert content.areas[0].criteria[1].key == STILL


def test_a_move_from_an_old_page_does_nothing(admin: Client, draft: Rubric) -> None:
    move = at("rubric_area_move", draft.pk, "signals")
    admin.post(move, {"version": 1, "direction": "up"})
    answer = admin.post(move, {"version": 1, "direction": "up"}, follow=True)
    assert "Somebody saved this rubric" in text(answer)
    assert [a.key for a in rubric_content(draft).areas][2:] == ["signals", "boxing-in"]


def test_an_area_is_removed_after_its_page_said_what_goes(admin: Client, draft: Rubric) -> None:
    address = at("rubric_area_remove", draft.pk, "signals")
    page = text(admin.get(address))
    assert "Holds each sign long enough to be read" in page and "can be put back" in page
    answer = admin.post(address, {"version": 1}, follow=True)
    assert "Removed: Signals." in text(answer)
    admin.post(at("rubric_undo", draft.pk), {"version": 2})
    assert rubric_content(draft).area("signals") is not None


def test_a_criterion_is_added_written_and_removed(admin: Client, draft: Rubric) -> None:
    add = at("rubric_criterion_add", draft.pk, "signals")
    admin.post(add, filled(admin, add, label="Shows the count"))
    address = at("rubric_criterion", draft.pk, "shows-the-count")
    typed = {"en-standard": "The count is shown.\r\nEach time.", "es-label": "Muestra la cuenta"}
    assert admin.post(address, filled(admin, address, **typed)).status_code == 302
    found = rubric_content(draft).criterion("shows-the-count")
    assert found and found.texts["en"].standard == "The count is shown. Each time."
    assert found.texts["es"].label == "Muestra la cuenta"
    remove = at("rubric_criterion_remove", draft.pk, "shows-the-count")
    admin.post(remove, {"version": 3})
    assert rubric_content(draft).criterion("shows-the-count") is None


def test_four_texts_over_their_shared_budget_are_kept_and_refused(
    admin: Client, draft: Rubric
) -> None:
    address = at("rubric_criterion", draft.pk, STILL)
    typed = {"en-standard": "s" * 200, "en-why": "w" * 150}
    answer = admin.post(address, filled(admin, address, **typed))
    assert list(shown(answer).errors) == ["en-standard"]
    assert "have 330 characters together" in text(answer) and "w" * 150 in text(answer)


def test_a_page_of_a_criterion_that_is_gone_does_not_exist(admin: Client, draft: Rubric) -> None:
    for name in ("rubric_criterion", "rubric_criterion_remove", "rubric_area"):
        assert admin.get(at(name, draft.pk, "no-such")).status_code == 404


def test_markup_in_a_text_stays_text(admin: Client, draft: Rubric) -> None:
    address = at("rubric_criterion", draft.pk, STILL)
    admin.post(address, filled(admin, address, **{"en-label": "<b>Bold</b>"}))
    for page in ("rubric", "rubric_areas", "rubric_weights", "rubric_ceilings"):
        assert "<b>Bold" not in text(admin.get(at(page, draft.pk)))


# --- Begun again --------------------------------------------------------------------------------
def test_a_draft_begins_again_from_the_shipped_rubric(admin: Client, draft: Rubric) -> None:
    remove = at("rubric_area_remove", draft.pk, "signals")
    admin.post(remove, {"version": 1})
    address = at("rubric_start_over", draft.pk)
    answer = admin.post(address, filled(admin, address, source="shipped"), follow=True)
    assert "The draft was begun again." in text(answer)
    assert rubric_content(draft).area("signals") is not None
    assert admin.post(address, filled(admin, address, source="999")).status_code == 200


@pytest.mark.parametrize(
    "name", ["rubric_propose", "rubric_approve", "rubric_withdraw", "rubric_undo"]
)
def test_steps_are_never_taken_by_opening_an_address(
    admin: Client, draft: Rubric, name: str
) -> None:
    assert admin.get(at(name, draft.pk)).status_code == 405
