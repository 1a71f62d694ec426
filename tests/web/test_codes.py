"""The pages of mechanics codes: begun from plain questions, read by members, locked when in use."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from evaluations.models import CodeEdition, Rubric
from evaluations.queries.codes import mechanics_code
from evaluations.services.code_edits import move_row, remove_row
from evaluations.services.codes import start_from_shipped
from evaluations.services.shipped_codes import SHIPPED_CODES, shipped_code
from evaluations.services.shipped_rubric import add_shipped_rubric
from tests.factories.accounts import NOW, Cast, signed_in
from tests.factories.evaluations import published_rubric, season_of

ALL_MEMBERS = ["admin", "observer", "official", "young_official", "board"]


@pytest.fixture
def code(cast: Cast) -> CodeEdition:
    return start_from_shipped(
        association=cast.association, key="two_person_every_foul", by=cast.admin, now=NOW
    )


@pytest.fixture
def in_use(cast: Cast) -> CodeEdition:
    rubric = published_rubric(season_of(cast.association), cast.admin)
    assert rubric.code_of_two is not None
    return rubric.code_of_two


@pytest.fixture
def admin(cast: Cast) -> Client:
    return signed_in(cast.admin)


def at(name: str, *args: Any) -> str:
    return reverse(f"evaluations:{name}", args=["rivers", *args])


def text(client: Client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


# --- Begun ----------------------------------------------------------------------------------------
def test_without_a_code_the_list_says_what_comes_first(cast: Cast, admin: Client) -> None:
    page = text(admin, at("code_list"))
    assert "A few plain questions about your manual make one." in page
    assert at("code_new", 2) in page and at("code_new", 3) in page
    assert page.count('class="button primary"') == 1
    others = text(signed_in(cast.official), at("code_list"))
    assert "None is in use yet." in others and at("code_new", 2) not in others


@pytest.mark.parametrize(("crew", "questions"), [(2, 6), (3, 3)])
def test_every_question_is_explained_and_none_is_answered_beforehand(
    admin: Client, crew: int, questions: int
) -> None:
    page = text(admin, at("code_new", crew))
    assert page.count('role="radiogroup"') == questions
    assert page.count('class="hint"') >= questions
    assert "checked" not in page
    assert f"{questions} questions." in page


def test_answers_make_an_edition_that_is_read_next(admin: Client) -> None:
    answers = {
        "switch": "yes",
        "long_switch": "no",
        "free_throws": "opposite",
        "heated_bench": "no",
        "technical": "yes",
        "number": "tens_then_units",
    }
    answer = admin.post(at("code_new", 2), answers, follow=True)
    code = CodeEdition.objects.get()
    assert (code.base, code.answers) == ("two_person_no_long_switch", answers)
    page = " ".join(answer.content.decode().split())
    for sentence in (
        "Read whether it says what you mean.",
        "After a foul without free throws lead and trail switch, whoever called.",
        "Nobody goes the length of the floor",
        "For free throws the trail stands opposite the table.",
        "A heated bench changes nothing about who goes where.",
        "After a technical or disqualifying foul the caller may end lead, opposite the table",
        "The hands show a number&#x27;s tens first, then its units.",
    ):
        assert sentence in page


def test_an_open_question_is_pointed_out_and_the_others_stay_answered(admin: Client) -> None:
    answer = admin.post(at("code_new", 3), {"free_throws": "table", "number": "together"})
    page = " ".join(answer.content.decode().split())
    assert "Choose what the manual says." in page
    assert '<a href="#id_without_free_throws_0">' in page
    assert page.count("checked") == 2
    assert not CodeEdition.objects.exists()


def test_there_are_no_questions_for_a_crew_of_four(admin: Client) -> None:
    assert admin.get(at("code_new", 4)).status_code == 404


@pytest.mark.parametrize("key", SHIPPED_CODES)
def test_a_shipped_code_is_begun_as_it_is(admin: Client, key: str) -> None:
    crew = shipped_code(key).crews[0]
    assert f'action="{at("code_start", key)}"' in text(admin, at("code_new", crew))
    answer = admin.post(at("code_start", key))
    code = CodeEdition.objects.get()
    assert answer.headers["Location"] == at("code", code.pk)
    assert mechanics_code(code) == shipped_code(key)


def test_a_code_that_is_not_shipped_is_not_begun(admin: Client) -> None:
    assert admin.post(at("code_start", "no_such_code")).status_code == 404


# --- Who may --------------------------------------------------------------------------------------
@pytest.mark.parametrize("who", ALL_MEMBERS)
def test_every_member_reads_a_code_in_use(cast: Cast, in_use: CodeEdition, who: str) -> None:
    client = signed_in(getattr(cast, who))
    assert at("code", in_use.pk) in text(client, at("code_list"))
    page = text(client, at("code", in_use.pk))
    assert "Two-person: switch on every foul" in page and "in use" in page
    assert "common practice" in page.lower()


@pytest.mark.parametrize("who", ALL_MEMBERS[1:])
def test_an_edition_in_work_does_not_exist_for_others(
    cast: Cast, code: CodeEdition, who: str
) -> None:
    client = signed_in(getattr(cast, who))
    assert client.get(at("code", code.pk)).status_code == 404
    assert "Edition" not in text(client, at("code_list"))


@pytest.mark.parametrize("who", ALL_MEMBERS[1:])
def test_nobody_but_admins_makes_or_edits_a_code(cast: Cast, code: CodeEdition, who: str) -> None:
    client = signed_in(getattr(cast, who))
    for name, args in EDITING:
        assert client.get(at(name, code.pk, *args)).status_code == 403
    for name, args in STEPS:
        assert client.post(at(name, code.pk, *args), {"version": 1}).status_code == 403
    assert client.get(at("code_new", 2)).status_code == 403
    assert client.post(at("code_start", code.base)).status_code == 403
    assert CodeEdition.objects.get().version == 1


EDITING: list[tuple[str, list[int]]] = [
    ("code_heading", []),
    ("code_row", [1]),
    ("code_row_add", []),
]
STEPS: list[tuple[str, list[int]]] = [
    ("code_copy", []),
    ("code_undo", []),
    ("code_row_move", [1]),
    ("code_row_remove", [1]),
]


def test_a_code_of_another_association_does_not_exist(cast: Cast, code: CodeEdition) -> None:
    elsewhere = signed_in(cast.other_admin)
    assert elsewhere.get(at("code", code.pk)).status_code == 404
    for name, args in [("code", []), *EDITING]:
        address = reverse(f"evaluations:{name}", args=["harbor", code.pk, *args])
        assert elsewhere.get(address).status_code == 404
    for name, args in STEPS:
        address = reverse(f"evaluations:{name}", args=["harbor", code.pk, *args])
        assert elsewhere.post(address, {"version": 1}).status_code == 404
    assert CodeEdition.objects.get().version == 1


@pytest.mark.parametrize(("name", "args"), STEPS)
def test_steps_are_never_taken_by_opening_an_address(
    admin: Client, code: CodeEdition, name: str, args: list[int]
) -> None:
    assert admin.get(at(name, code.pk, *args)).status_code == 405


# --- Read -----------------------------------------------------------------------------------------
def test_every_row_stands_in_words_and_as_two_drawings_with_the_same_text(
    admin: Client, code: CodeEdition
) -> None:
    page = text(admin, at("code", code.pk))
    rows = len(shipped_code(code.base).rows)
    assert page.count('<article class="row code-row"') == rows
    assert page.count("<svg") - 1 == 2 * rows  # the first one is the site's mark
    assert page.count('role="img"') == 2 * rows
    assert "1. Shooting or bonus foul or intentional foul · free throws · caller: lead" in page
    assert "The lead becomes trail, table side." in page
    assert 'aria-label="Before the whistle: the caller is lead."' in page
    assert "The ball is administered by the lead." in page
    assert "Allowed instead (agreed before the game, a heated bench):" in page
    assert page.count("<b>Not sure.</b>") == 8
    assert "8 of its 27 rows are marked “not sure”." in page


def test_the_rows_wait_behind_details_until_they_are_worked_on(
    admin: Client, code: CodeEdition
) -> None:
    assert '<details class="details" >' in text(admin, at("code", code.pk))
    assert '<details class="details" open>' in text(admin, at("code", code.pk) + "?rows=open")


def test_a_code_is_read_in_the_own_language(cast: Cast, code: CodeEdition) -> None:
    cast.admin.user.language = "es"
    cast.admin.user.save()
    page = text(signed_in(cast.admin), at("code", code.pk))
    assert "Dos árbitros: cambio en cada falta" in page
    assert "Tiros libres: quien pita termina de cola" in page


def test_situations_without_a_row_are_summed_up_each_with_a_way_to_cover_it(
    cast: Cast, admin: Client, code: CodeEdition
) -> None:
    assert 'id="gaps"' not in text(admin, at("code", code.pk))
    remove_row(code=code, version=1, number=26, by=cast.admin, now=NOW)
    page = text(admin, at("code", code.pk))
    assert "32 situations have no row" in page
    assert page.count("Add a row for this") == 1
    query = "whistles=violation&amp;whistles=held_ball&amp;flip=no"
    assert f"{at('code_row_add', code.pk)}?{query}" in page
    assert "32 situations without a row" in text(admin, at("code_list"))


def test_a_row_that_can_never_match_is_named(cast: Cast, admin: Client, code: CodeEdition) -> None:
    assert "Rows that can never match" not in text(admin, at("code", code.pk))
    for version, number in enumerate(range(9, 6, -1), start=1):
        move_row(code=code, version=version, number=number, up=True, by=cast.admin, now=NOW)
    moved = mechanics_code(CodeEdition.objects.get())
    technical = next(
        n for n, row in enumerate(moved.rows, 1) if len(row.whistles) == 2 and not row.resumes
    )
    for version, number in enumerate(range(technical, 1, -1), start=4):
        move_row(code=code, version=version, number=number, up=True, by=cast.admin, now=NOW)
    page = text(admin, at("code", code.pk))
    assert "Rows that can never match" in page
    assert "Can never match: rows before it cover all of it." in page


# --- In use ---------------------------------------------------------------------------------------
def test_a_code_in_use_says_so_and_offers_a_copy_and_a_correction(
    admin: Client, in_use: CodeEdition
) -> None:
    page = text(admin, at("code", in_use.pk))
    assert "This edition is in use, so it is locked." in page
    assert f'action="{at("code_copy", in_use.pk)}"' in page
    assert at("code_correct", in_use.pk) in page
    for name, args in (("code_heading", []), ("code_row", [1]), ("code_row_add", [])):
        assert at(name, in_use.pk, *args) not in page


@pytest.mark.parametrize(("name", "args"), EDITING)
def test_pages_that_edit_lead_to_reading_once_it_is_in_use(
    admin: Client, in_use: CodeEdition, name: str, args: list[int]
) -> None:
    answer = admin.get(at(name, in_use.pk, *args))
    assert answer.headers["Location"] == at("code", in_use.pk)


def test_a_step_on_a_code_in_use_is_refused_in_words(admin: Client, in_use: CodeEdition) -> None:
    for name, args in (("code_row_move", [1]), ("code_row_remove", [1])):
        answer = admin.post(at(name, in_use.pk, *args), {"version": 1}, follow=True)
        assert "This edition is in use and locked." in answer.content.decode()
    assert CodeEdition.objects.get(pk=in_use.pk).version == 1


def test_a_copy_of_a_code_in_use_can_be_changed(admin: Client, in_use: CodeEdition) -> None:
    answer = admin.post(at("code_copy", in_use.pk), follow=True)
    page = " ".join(answer.content.decode().split())
    copy = CodeEdition.objects.get(crew_size=2, edition=2)
    assert "Nothing uses it yet, so you can change it." in page
    assert at("code_row", copy.pk, 1) in page


def test_an_edition_that_nothing_names_leads_to_the_draft_rubric(
    cast: Cast, admin: Client, code: CodeEdition
) -> None:
    start_from_shipped(association=cast.association, key=code.base, by=cast.admin, now=NOW)
    draft = add_shipped_rubric(season=season_of(cast.association), by=cast.admin, now=NOW)
    assert f"{at('rubric_words', draft.pk)}#codes" in text(admin, at("code", code.pk))
    newest = draft.code_of_two
    assert newest is not None and newest != code
    page = text(admin, at("code", newest.pk))
    assert at("rubric", draft.pk) in page and "It comes into use when" not in page


# --- Heading --------------------------------------------------------------------------------------
HEADING = {
    "name-en": "Our manual",
    "name-es": "Nuestro manual",
    "source-en": "Manual, edition 4",
    "source-es": "",
    "number_scheme": "tens_then_units",
    "version": "1",
}


def test_name_source_and_number_are_changed(admin: Client, code: CodeEdition) -> None:
    answer = admin.post(at("code_heading", code.pk), HEADING, follow=True)
    page = " ".join(answer.content.decode().split())
    assert "Our manual" in page and "Manual, edition 4" in page
    assert "tens first, then its units" in page


def test_a_code_keeps_a_name_in_the_associations_language(admin: Client, code: CodeEdition) -> None:
    answer = admin.post(at("code_heading", code.pk), HEADING | {"name-en": " "})
    assert list(answer.context["form"].errors) == ["name-en"]
    assert CodeEdition.objects.get().version == 1


def test_the_second_of_two_headings_is_kept_with_what_is_stored(
    cast: Cast, admin: Client, code: CodeEdition
) -> None:
    second = signed_in(cast.second_admin)
    second.post(at("code_heading", code.pk), HEADING | {"name-en": "Their manual"})
    answer = admin.post(at("code_heading", code.pk), HEADING)
    form = answer.context["form"]
    assert "Somebody saved this code" in answer.content.decode()
    assert form["name-en"].value() == "Our manual"
    assert form.errors["name-en"] == ["Stored now: Their manual"]
    again = HEADING | {"version": str(form["version"].value())}
    assert admin.post(at("code_heading", code.pk), again).status_code == 302
    assert mechanics_code(CodeEdition.objects.get()).name["en"] == "Our manual"


# --- Rubrics --------------------------------------------------------------------------------------
def test_a_rubric_names_its_codes_with_links(cast: Cast, in_use: CodeEdition) -> None:
    rubric = Rubric.objects.get()
    page = text(signed_in(cast.official), at("rubric", rubric.pk))
    assert at("code", in_use.pk) in page
    assert rubric.code_of_three is not None and at("code", rubric.code_of_three.pk) in page


def words_of(client: Client, rubric: Rubric, **typed: str) -> dict[str, str]:
    """What a browser would send of the rubric's words page, with some fields typed over."""
    form = client.get(at("rubric_words", rubric.pk)).context["form"]
    values = {field.html_name: field.value() for field in form}
    return {name: "" if v is None else str(v) for name, v in values.items()} | typed


def test_codes_are_chosen_on_the_rubrics_page_of_words(
    cast: Cast, admin: Client, code: CodeEdition
) -> None:
    draft = add_shipped_rubric(season=season_of(cast.association), by=cast.admin, now=NOW)
    other = start_from_shipped(
        association=cast.association, key="two_person_no_long_switch", by=cast.admin, now=NOW
    )
    address = at("rubric_words", draft.pk)
    page = text(admin, address)
    assert f'<option value="{code.pk}" selected>edition 1: Two-person: switch on every' in page
    assert f'<option value="{other.pk}">edition 2: Two-person: no long switches' in page
    admin.post(address, words_of(admin, draft, code_of_two=str(other.pk)))
    assert Rubric.objects.get().code_of_two == other
    admin.post(address, words_of(admin, draft, code_of_two=""))
    assert Rubric.objects.get().code_of_two is None


def test_a_rubric_offers_no_code_of_others_or_for_another_crew(
    cast: Cast, admin: Client, code: CodeEdition
) -> None:
    draft = add_shipped_rubric(season=season_of(cast.association), by=cast.admin, now=NOW)
    theirs = start_from_shipped(
        association=cast.other_association, key=code.base, by=cast.other_admin, now=NOW
    )
    address = at("rubric_words", draft.pk)
    for field, chosen in (("code_of_two", theirs), ("code_of_three", code)):
        answer = admin.post(address, words_of(admin, draft, **{field: str(chosen.pk)}))
        assert list(answer.context["form"].errors) == [field]
    assert Rubric.objects.get().version == draft.version


def test_the_second_admin_sees_the_code_that_is_stored_in_words(
    cast: Cast, admin: Client, code: CodeEdition
) -> None:
    draft = add_shipped_rubric(season=season_of(cast.association), by=cast.admin, now=NOW)
    mine = words_of(admin, draft, code_of_two="")
    second = signed_in(cast.second_admin)
    second.post(at("rubric_words", draft.pk), words_of(second, draft, note="Theirs."))
    form = admin.post(at("rubric_words", draft.pk), mine).context["form"]
    assert form.errors["code_of_two"] == ["Stored now: edition 1: Two-person: switch on every foul"]


def test_a_rubric_with_an_incomplete_code_is_not_proposed_and_the_page_says_why(
    cast: Cast, admin: Client, code: CodeEdition
) -> None:
    remove_row(code=code, version=1, number=26, by=cast.admin, now=NOW)
    draft = add_shipped_rubric(season=season_of(cast.association), by=cast.admin, now=NOW)
    page = text(admin, at("rubric_publish", draft.pk))
    assert "has no row for 32 situations, such as: violation · throw-in on the end line" in page
    assert f'href="{at("code", code.pk)}#gaps"' in page
    assert "Propose for publication" not in page
    answer = admin.post(at("rubric_propose", draft.pk), {"version": draft.version}, follow=True)
    assert "Add a row first." in answer.content.decode()
    assert Rubric.objects.get().state == "draft"


def test_lists_and_reading_take_a_bounded_number_of_queries(
    cast: Cast, in_use: CodeEdition, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    client = signed_in(cast.admin)
    for _edition in range(6):
        client.post(at("code_copy", in_use.pk))
    with django_assert_max_num_queries(13):
        client.get(at("code_list"))
    with django_assert_max_num_queries(16):
        client.get(at("code", in_use.pk))
