"""The public page about a code: genuine and current or not, and not a word more."""

from __future__ import annotations

import re
from datetime import timedelta
from html import unescape

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from evaluations.models import Release
from evaluations.services.answers import amend
from evaluations.services.releases import release_crew, withdraw
from evaluations.services.verification import QUESTIONS_A_MINUTE
from tests.factories.accounts import Cast, signed_in
from tests.factories.releases import OPEN_AT, hand_in, released_crew


@pytest.fixture
def letter(cast: Cast) -> Release:
    return released_crew(cast)[0]


def about(code: str) -> str:
    answer = Client().get(reverse("evaluations:verify", args=[code]))
    assert answer.status_code == 200
    return unescape(answer.content.decode())


def test_a_current_letter_is_genuine_and_current(letter: Release) -> None:
    assert "Genuine and current" in about(letter.code)


def test_the_address_in_the_letter_leads_there(letter: Release) -> None:
    path = letter.content["verification"]["address"].removeprefix("http://127.0.0.1:8000")
    assert "Genuine and current" in unescape(Client().get(path).content.decode())


def test_a_superseded_letter_is_genuine_and_no_longer_current(cast: Cast, letter: Release) -> None:
    hand_in(amend(release=letter, reason="Wrong game.", by=cast.admin, now=OPEN_AT))
    [second] = release_crew(
        observation=letter.evaluation.observation, by=cast.admin, now=OPEN_AT + timedelta(hours=1)
    )
    said = about(letter.code)
    assert "no longer current" in said and second.code not in said
    assert "Genuine and current" in about(second.code)


def test_a_withdrawn_letter_is_genuine_and_withdrawn_without_the_reason(
    cast: Cast, letter: Release
) -> None:
    withdraw(release=letter, reason="Another game was meant.", by=cast.admin, now=OPEN_AT)
    said = about(letter.code)
    assert "Genuine, but withdrawn" in said and "Another game" not in said


@pytest.mark.parametrize("code", ["K7QM-2XPA-9RTC", "NOPE", "…", "x" * 500, "'; drop table"])
def test_any_other_code_is_not_known(letter: Release, code: str) -> None:
    assert "Not known" in about(code)


def test_it_says_nothing_of_whom_or_what_the_letter_is_about(cast: Cast, letter: Release) -> None:
    said = about(letter.code)
    for secret in (
        "Nico",
        "Orla",
        "Rivers",
        "Herons",
        "Harbor",
        "Varsity",
        "2026",
        "Nov",
        "70.8",
        "dependable",
        "2026–27",
        "/a/",
    ):
        assert secret not in said


def test_what_it_says_of_two_current_letters_differs_in_the_code_alone(cast: Cast) -> None:
    one, other = released_crew(cast)
    assert about(one.code).replace(one.code, other.code) == about(other.code)


def test_a_member_learns_no_more_than_anybody(cast: Cast, letter: Release) -> None:
    path = reverse("evaluations:verify", args=[letter.code])
    said = signed_in(cast.other_official).get(path).content.decode()
    body = re.sub(r"<header class=\"site\">.*?</header>", "", said, flags=re.DOTALL)
    assert "Genuine and current" in body and "Nico" not in body


def test_a_code_may_be_typed_in_any_case_with_spaces_or_without_dashes(letter: Release) -> None:
    plain = letter.code.replace("-", "")
    for typed in (plain, plain.lower(), " ".join(plain), f"  {letter.code.lower()} ", f"{plain}."):
        answer = Client().get(reverse("evaluations:verify"), {"code": typed}, follow=True)
        assert answer.redirect_chain == [(reverse("evaluations:verify", args=[letter.code]), 302)]
        assert "Genuine and current" in answer.content.decode()


def test_the_form_asks_for_a_code(db: None) -> None:
    page = Client().get(reverse("evaluations:verify"))
    assert 'name="code"' in page.content.decode()
    empty = Client().get(reverse("evaluations:verify"), {"code": " - "})
    assert "Type the code" in empty.content.decode()


def test_nothing_can_be_posted_to_it(db: None) -> None:
    assert Client().post(reverse("evaluations:verify")).status_code == 405


def test_after_thirty_questions_in_a_minute_an_address_has_to_wait(
    letter: Release, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(timezone, "now", lambda: OPEN_AT)
    path = reverse("evaluations:verify", args=[letter.code])
    found = [Client().get(path).status_code for _question in range(QUESTIONS_A_MINUTE + 1)]
    assert found == [200] * QUESTIONS_A_MINUTE + [429]
    assert Client(REMOTE_ADDR="203.0.113.9").get(path).status_code == 200
    monkeypatch.setattr(timezone, "now", lambda: OPEN_AT + timedelta(minutes=1))
    assert Client().get(path).status_code == 200
