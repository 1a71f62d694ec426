"""The form for a row of a mechanics code: every field, stale pages, rows that moved meanwhile."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from django.forms import MultipleChoiceField
from django.test import Client
from django.urls import reverse

from evaluations.core.mechanics.code import Administers, MechanicsCode, Needs, Option, Row
from evaluations.core.mechanics.court import Court, Position, Resumes, Side, Whistle
from evaluations.forms.code_rows import RowForm
from evaluations.models import CodeEdition
from evaluations.queries.codes import mechanics_code
from evaluations.services.code_edits import move_row, remove_row, set_row
from evaluations.services.codes import start_from_shipped
from evaluations.services.rubrics import propose
from evaluations.services.shipped_codes import SHIPPED_CODES, shipped_code
from evaluations.services.shipped_rubric import add_shipped_rubric
from tests.core.mechanics.crews import place
from tests.factories.accounts import NOW, Cast, signed_in
from tests.factories.evaluations import season_of

LEAD, TRAIL = Position.LEAD, Position.TRAIL
TECHNICAL = 5
"""A row with one option, its caller lead."""


@pytest.fixture
def code(cast: Cast) -> CodeEdition:
    return start_from_shipped(
        association=cast.association, key="two_person_every_foul", by=cast.admin, now=NOW
    )


@pytest.fixture
def admin(cast: Cast) -> Client:
    return signed_in(cast.admin)


def at(name: str, *args: Any) -> str:
    return reverse(f"evaluations:{name}", args=["rivers", *args])


def stored() -> MechanicsCode:
    return mechanics_code(CodeEdition.objects.get())


def shown(answer: Any) -> RowForm:
    form = answer.context["form"]
    assert isinstance(form, RowForm)
    return form


def text(answer: Any) -> str:
    return " ".join(answer.content.decode().split())


def filled(client: Client, address: str, **typed: Any) -> dict[str, Any]:
    """What a browser would send of the page's form, with some fields typed over."""
    sent: dict[str, Any] = {}
    for field in shown(client.get(address)):
        value = field.value()
        if isinstance(field.field, MultipleChoiceField):
            sent[field.html_name] = list(value or [])
        elif value is not False and value is not None:
            sent[field.html_name] = "on" if value is True else str(value)
    return {name: value for name, value in (sent | typed).items() if value is not None}


# --- Written --------------------------------------------------------------------------------------
@pytest.mark.parametrize("key", SHIPPED_CODES)
def test_an_untouched_page_changes_nothing(cast: Cast, admin: Client, key: str) -> None:
    code = start_from_shipped(association=cast.association, key=key, by=cast.admin, now=NOW)
    for number in range(1, len(shipped_code(key).rows) + 1, 4):
        address = at("code_row", code.pk, number)
        assert admin.post(address, filled(admin, address)).status_code == 302
    assert stored() == shipped_code(key)


def test_every_field_of_a_row_is_written(admin: Client, code: CodeEdition) -> None:
    address = at("code_row", code.pk, TECHNICAL)
    typed = {
        "whistles": ["common", "double"],
        "resumes": ["end_line"],
        "court": "back",
        "flip": "yes",
        "caller": "trail",
        "side": "opposite",
        "after-lead": "trail table",
        "after-trail": "lead",
        "administers": "line_owner",
        "option-1-after-lead": "lead",
        "option-1-after-trail": "trail opposite",
        "option-1-administers": "trail",
        "option-1-needs": ["heated_bench"],
        "note-en": "Only in the second half.",
        "note-es": "",
        "sure": None,
    }
    answer = admin.post(address, filled(admin, address, **typed))
    assert answer.headers["Location"] == f"{at('code', code.pk)}?rows=open#row-{TECHNICAL}"
    assert stored().rows[TECHNICAL - 1] == Row(
        crew=2,
        after={LEAD: place("trail table"), TRAIL: place("lead")},
        administers=Administers.LINE_OWNER,
        whistles=frozenset({Whistle.COMMON, Whistle.DOUBLE}),
        resumes=frozenset({Resumes.END_LINE}),
        court=Court.BACK,
        flip=True,
        caller=TRAIL,
        side=Side.OPPOSITE,
        options=(
            Option(
                "caller_trail_opposite",
                {LEAD: place("lead"), TRAIL: place("trail opposite")},
                Administers.TRAIL,
                frozenset({Needs.HEATED_BENCH}),
            ),
        ),
        sure=False,
        note={"en": "Only in the second half."},
    )


def test_a_row_may_leave_everything_open(admin: Client, code: CodeEdition) -> None:
    address = at("code_row", code.pk, TECHNICAL)
    typed = {"whistles": [], "resumes": [], "caller": "", "option-1-remove": "on"}
    admin.post(address, filled(admin, address, **typed))
    row = stored().rows[TECHNICAL - 1]
    assert (row.whistles, row.resumes, row.caller, row.options) == (
        frozenset(),
        frozenset(),
        None,
        (),
    )


def test_an_option_is_added_and_another_removed(admin: Client, code: CodeEdition) -> None:
    address = at("code_row", code.pk, TECHNICAL)
    typed = {
        "option-1-remove": "on",
        "option-new-after-lead": "trail table",
        "option-new-after-trail": "lead opposite",
        "option-new-administers": "lead",
    }
    assert admin.post(address, filled(admin, address, **typed)).status_code == 302
    (option,) = stored().rows[TECHNICAL - 1].options
    assert (option.key, option.needs) == ("caller_trail_table", frozenset())
    page = text(admin.get(address))
    assert "The caller ends trail, table side" in page and "One more option" in page


def test_a_row_of_three_asks_for_the_centre_too(cast: Cast, admin: Client) -> None:
    code = start_from_shipped(
        association=cast.association, key="three_person", by=cast.admin, now=NOW
    )
    page = text(admin.get(at("code_row", code.pk, 1)))
    assert "The centre goes to" in page and 'value="centre opposite"' in page


# --- Refused at the field -------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"after-trail": "trail"}, "after-lead"),
        ({"after-lead": ""}, "after-lead"),
        ({"after-lead": "centre"}, "after-lead"),
        ({"administers": "centre"}, "administers"),
        ({"whistles": ["whisper"]}, "whistles"),
        ({"caller": "centre"}, "caller"),
        ({"option-1-after-trail": "lead"}, "option-1-after-lead"),
        ({"option-1-needs": ["luck"]}, "option-1-needs"),
        ({"option-1-administers": ""}, "option-1-administers"),
        ({"option-new-after-lead": "lead"}, "option-new-after-trail"),
        (
            {
                "option-new-after-lead": "lead opposite",
                "option-new-after-trail": "trail table",
                "option-new-administers": "lead",
            },
            "option-new-after-lead",
        ),
        ({"note-en": "n" * 301}, "note-en"),
    ],
)
def test_what_no_row_can_say_is_refused_where_it_was_typed(
    admin: Client, code: CodeEdition, typed: dict[str, Any], field: str
) -> None:
    address = at("code_row", code.pk, TECHNICAL)
    answer = admin.post(address, filled(admin, address, **typed, **{"note-es": "Queda."}))
    form = shown(answer)
    assert field in form.errors
    assert "Queda." in text(answer)
    assert CodeEdition.objects.get().version == 1


def test_trail_and_centre_of_three_stand_on_opposite_sides(cast: Cast, admin: Client) -> None:
    code = start_from_shipped(
        association=cast.association, key="three_person", by=cast.admin, now=NOW
    )
    address = at("code_row", code.pk, 1)
    answer = admin.post(address, filled(admin, address, **{"after-centre": "centre table"}))
    assert "trail and centre stand on opposite sides" in text(answer)


# --- Added, moved, removed ------------------------------------------------------------------------
NEW_ROW = {
    "version": "1",
    "after-lead": "lead",
    "after-trail": "trail",
    "administers": "lead",
    "sure": "on",
}


def test_a_row_is_added_where_it_was_asked_for(admin: Client, code: CodeEdition) -> None:
    address = at("code_row_add", code.pk)
    page = text(admin.get(f"{address}?before=3"))
    assert '<option value="3" selected>before row 3</option>' in page
    answer = admin.post(address, NEW_ROW | {"before": "3"})
    assert answer.headers["Location"].endswith("?rows=open#row-3")
    rows = stored().rows
    assert len(rows) == 28 and rows[2].after == {LEAD: place("lead"), TRAIL: place("trail")}


def test_a_row_for_a_gap_begins_with_what_the_gap_is(admin: Client, code: CodeEdition) -> None:
    query = "whistles=violation&whistles=held_ball&flip=no&caller=lead"
    form = shown(admin.get(f"{at('code_row_add', code.pk)}?{query}"))
    assert form["whistles"].value() == ["violation", "held_ball"]
    assert (form["flip"].value(), form["caller"].value()) == ("no", "lead")
    assert form["before"].value() == "28"


def test_an_address_with_nonsense_in_it_fills_nothing_in(admin: Client, code: CodeEdition) -> None:
    address = f"{at('code_row_add', code.pk)}?whistles=x&flip=maybe&before=no&caller=%00"
    form = shown(admin.get(address))
    for name in ("whistles", "resumes", "flip", "caller"):
        assert not any(choice.data["selected"] for choice in form[name].subwidgets)


def test_a_row_moves_and_the_page_shows_it_there(admin: Client, code: CodeEdition) -> None:
    first, second = stored().rows[:2]
    answer = admin.post(at("code_row_move", code.pk, 1), {"version": 1, "direction": "down"})
    assert answer.headers["Location"].endswith("?rows=open#row-2")
    assert stored().rows[:2] == (second, first)
    stale = admin.post(at("code_row_move", code.pk, 1), {"version": 1}, follow=True)
    assert "Somebody saved this code" in text(stale)
    assert stored().rows[:2] == (second, first)


def test_a_removed_row_is_put_back(admin: Client, code: CodeEdition) -> None:
    before = stored()
    answer = admin.post(at("code_row_remove", code.pk, 4), {"version": 1}, follow=True)
    assert "Removed: Row 4." in text(answer)
    admin.post(at("code_undo", code.pk), {"version": 2})
    assert stored() == before
    late = admin.post(at("code_undo", code.pk), {"version": 3}, follow=True)
    assert "nothing to put back" in text(late)


@pytest.mark.parametrize("number", [0, 28, 999])
def test_a_row_that_is_not_there_has_no_page(admin: Client, code: CodeEdition, number: int) -> None:
    assert admin.get(at("code_row", code.pk, number)).status_code == 404


# --- Two admins -----------------------------------------------------------------------------------
def test_the_second_of_two_admins_keeps_the_text_and_sees_what_is_stored(
    cast: Cast, admin: Client, code: CodeEdition
) -> None:
    address = at("code_row", code.pk, TECHNICAL)
    mine = filled(admin, address, **{"whistles": ["common", "shooting"], "note-en": "Mine."})
    theirs = replace(stored().rows[TECHNICAL - 1], court=Court.FRONT, note={"en": "Theirs."})
    set_row(code=code, version=1, number=TECHNICAL, row=theirs, by=cast.second_admin, now=NOW)
    answer = admin.post(address, mine)
    form = shown(answer)
    assert "Somebody saved this code after you opened the page" in text(answer)
    assert form["whistles"].value() == ["common", "shooting"]
    assert form["note-en"].value() == "Mine."
    assert form.errors["note-en"] == ["Stored now: Theirs."]
    assert form.errors["whistles"] == ["Stored now: technical foul"]
    assert form.errors["court"] == ["Stored now: front court"]
    assert stored().rows[TECHNICAL - 1] == theirs
    again = mine | {name: str(form[name].value()) for name in ("version", "seen")}
    assert admin.post(address, again).status_code == 302
    assert stored().rows[TECHNICAL - 1].note["en"] == "Mine."


def test_a_row_that_others_moved_is_found_again_and_no_other_one_written(
    cast: Cast, admin: Client, code: CodeEdition
) -> None:
    address = at("code_row", code.pk, TECHNICAL)
    mine = filled(admin, address, **{"note-en": "Mine."})
    before = stored().rows
    move_row(code=code, version=1, number=TECHNICAL, up=True, by=cast.second_admin, now=NOW)
    answer = admin.post(address, mine)
    form = shown(answer)
    here = at("code_row", code.pk, TECHNICAL - 1)
    assert f'action="{here}"' in text(answer)
    assert set(form.errors) == {"__all__", "note-en"}
    again = mine | {name: str(form[name].value()) for name in ("version", "seen")}
    assert admin.post(here, again).status_code == 302
    after = stored().rows
    assert after[TECHNICAL - 2].note["en"] == "Mine."
    assert after[TECHNICAL - 1] == before[TECHNICAL - 2]


def test_what_was_typed_into_a_row_that_is_gone_can_be_added_anew(
    cast: Cast, admin: Client, code: CodeEdition
) -> None:
    address = at("code_row", code.pk, 27)
    mine = filled(admin, address, **{"note-en": "Mine."})
    remove_row(code=code, version=1, number=27, by=cast.second_admin, now=NOW)
    answer = admin.post(address, mine)
    assert "Somebody removed this row meanwhile." in text(answer)
    assert f'action="{at("code_row_add", code.pk)}"' in text(answer)
    assert len(stored().rows) == 26
    again = mine | {"version": "2", "before": "27"}
    assert admin.post(at("code_row_add", code.pk), again).status_code == 302
    assert stored().rows[26].note["en"] == "Mine."


def test_what_is_typed_into_a_code_that_came_into_use_is_refused_and_kept(
    cast: Cast, admin: Client, code: CodeEdition
) -> None:
    address = at("code_row", code.pk, 1)
    mine = filled(admin, address, **{"note-en": "Mine."})
    draft = add_shipped_rubric(season=season_of(cast.association), by=cast.admin, now=NOW)
    propose(rubric=draft, version=draft.version, by=cast.second_admin, now=NOW)
    page = text(admin.post(address, mine))
    assert "This edition is in use and locked." in page and "Mine." in page
    assert stored() == shipped_code(code.base)


def test_markup_in_a_note_stays_text(admin: Client, code: CodeEdition) -> None:
    address = at("code_row", code.pk, 1)
    admin.post(address, filled(admin, address, **{"note-en": "<b>Bold</b>"}))
    assert "<b>Bold" not in text(admin.get(at("code", code.pk)))
