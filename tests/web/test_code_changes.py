"""A correction in force: whom it changed, and having letters amended because of it."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from evaluations.core.release import State
from evaluations.models import CodeEdition, Evaluation
from evaluations.services.releases import withdraw
from tests.factories.accounts import Cast, signed_in
from tests.factories.corrections import (
    FOUND_OUT,
    REASON,
    correction_in_force,
    handed_in_crew,
    letters_by_wrong_code,
    logged_crew,
    more_logs,
    righted_correction,
)
from tests.web.reading import text_in

OK, REFUSED, UNKNOWN = 200, 403, 404
LATER = FOUND_OUT + timedelta(days=1)
NOTE = "Look at the places again."


@pytest.fixture(autouse=True)
def the_day_after(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: LATER)


@pytest.fixture
def admin(cast: Cast) -> Client:
    return signed_in(cast.admin)


def at(name: str, code: CodeEdition) -> str:
    return reverse(f"evaluations:{name}", args=["rivers", code.pk])


def page_of(client: Client, correction: CodeEdition) -> str:
    answer = client.get(at("code_changes", correction))
    assert answer.status_code == OK
    return answer.content.decode()


def send(client: Client, correction: CodeEdition, **answers: object) -> str:
    answer = client.post(at("code_amend", correction), answers, follow=True)
    assert answer.status_code == OK
    return text_in(answer.content.decode(), "")


def states() -> set[str]:
    return set(Evaluation.objects.values_list("state", flat=True))


def test_the_page_says_since_when_why_and_whom(cast: Cast, admin: Client) -> None:
    letters_by_wrong_code(cast)
    page = text_in(page_of(admin, correction_in_force(cast)), "")
    assert "What edition 2 changed" in page and REASON in page and "Dec. 10, 2026" in page
    assert "Nico Vale, referee" in page and "Mara Odell" not in page
    assert "Have letters amended" in page
    assert "Edition 1 of the mechanics code was corrected: " + REASON in page


def test_one_letter_is_amended_with_a_note(cast: Cast, admin: Client) -> None:
    letter = letters_by_wrong_code(cast)[0]
    correction = correction_in_force(cast)
    page = send(admin, correction, letters=[letter.pk], note=NOTE)
    assert "1 form is with its observer again" in page
    assert "letter is being amended" in page and "Have letters amended" not in page
    form = Evaluation.objects.get(pk=letter.evaluation_id)
    assert (form.state, form.returned_note) == (State.RETURNED, NOTE)


def test_all_touched_letters_are_amended_at_once(cast: Cast, admin: Client) -> None:
    letters_by_wrong_code(cast)
    page = send(admin, correction_in_force(cast), all="1", note=NOTE)
    assert "1 form is with its observer again" in page
    assert states() == {State.RELEASED, State.RETURNED}


@pytest.mark.parametrize(
    ("answers", "refusal"),
    [
        ({"note": NOTE}, "Choose at least one letter, or all of them."),
        ({"all": "1", "note": " "}, "Say in the note why the letter is amended."),
        ({"all": "1", "note": "x" * 1001}, "at most 1000 characters"),
    ],
)
def test_without_a_letter_or_a_note_nothing_is_amended(
    cast: Cast, admin: Client, answers: dict[str, str], refusal: str
) -> None:
    letters_by_wrong_code(cast)
    page = send(admin, correction_in_force(cast), **answers)
    assert refusal in page and answers["note"].strip() in page
    assert states() == {State.RELEASED}


def test_a_letter_that_is_not_touched_can_not_be_chosen(cast: Cast, admin: Client) -> None:
    untouched = letters_by_wrong_code(cast)[1]
    correction = correction_in_force(cast)
    assert f'value="{untouched.pk}"' not in page_of(admin, correction)
    send(admin, correction, letters=[untouched.pk], note=NOTE)
    assert states() == {State.RELEASED}


def test_forms_that_wait_for_release_are_pointed_out_to_be_given_back(
    cast: Cast, admin: Client
) -> None:
    observation = handed_in_crew(cast)
    page = page_of(admin, correction_in_force(cast))
    assert "Careful: 1 form that waits for release" in text_in(page, "")
    assert reverse("evaluations:crew_read", args=["rivers", observation.pk]) in page
    assert at("code_amend", correction_of(cast)) not in page


def correction_of(cast: Cast) -> CodeEdition:
    return cast.association.codes.get(crew_size=2, edition=2)


def test_a_form_in_work_and_a_withdrawn_letter_need_nothing(cast: Cast, admin: Client) -> None:
    letter = letters_by_wrong_code(cast)[0]
    withdraw(release=letter, reason="Wrong row.", by=cast.admin, now=LATER)
    page = page_of(admin, correction_in_force(cast))
    assert "letter is withdrawn" in page and "Have letters amended" not in page


def test_a_draft_has_no_such_page(cast: Cast, admin: Client) -> None:
    logged_crew(cast)
    draft = righted_correction(cast)
    assert admin.get(at("code_changes", draft)).status_code == UNKNOWN
    assert admin.post(at("code_amend", draft)).status_code == UNKNOWN


def test_only_admins_of_the_association_come_here(cast: Cast) -> None:
    logged_crew(cast)
    correction = correction_in_force(cast)
    for who in (cast.observer, cast.official, cast.board):
        assert signed_in(who).get(at("code_changes", correction)).status_code == REFUSED
        assert signed_in(who).post(at("code_amend", correction)).status_code == REFUSED
    elsewhere = reverse("evaluations:code_changes", args=["harbor", correction.pk])
    assert signed_in(cast.other_admin).get(elsewhere).status_code == UNKNOWN


def test_an_admin_of_the_crew_is_offered_nothing(cast: Cast) -> None:
    letter = letters_by_wrong_code(cast)[0]
    correction = correction_in_force(cast)
    crew = letter.evaluation.observation.game.crew
    crew.filter(position="umpire").update(official=cast.second_admin)
    client = signed_in(cast.second_admin)
    assert "Have letters amended" not in page_of(client, correction)
    send(client, correction, letters=[letter.pk], note=NOTE)
    assert states() == {State.RELEASED}


def test_the_page_costs_the_same_for_few_logs_and_for_many(
    cast: Cast, admin: Client, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    observation = handed_in_crew(cast)
    correction = correction_in_force(cast)
    with django_assert_max_num_queries(45) as few:
        page_of(admin, correction)
    more_logs(observation, 30)
    with django_assert_max_num_queries(len(few)):
        page = page_of(admin, correction)
    assert page.count("Nico Vale, referee") == 25
