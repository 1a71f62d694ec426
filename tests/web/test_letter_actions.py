"""What an official does with a letter on its page, and amending and withdrawing one."""

from __future__ import annotations

from datetime import timedelta
from html import unescape

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from accounts.models import Membership
from evaluations.core.release import State
from evaluations.models import Evaluation, Release, ReleaseEvent, Response, Review
from evaluations.queries.releases import state_of
from evaluations.services.answers import amend, respond
from evaluations.services.releases import release_crew
from tests.factories.accounts import Cast, signed_in
from tests.factories.releases import OPEN_AT, WEAK, hand_in, letter_of, released_crew
from tests.web.reading import text_in

OK, REFUSED, UNKNOWN, MOVED = 200, 403, 404, 302


@pytest.fixture(autouse=True)
def two_days_later(monkeypatch: pytest.MonkeyPatch) -> None:
    """The letters are open by now."""
    monkeypatch.setattr(timezone, "now", lambda: OPEN_AT)


@pytest.fixture
def letter(cast: Cast) -> Release:
    """The letter to `official`; `other_official` was the partner."""
    return released_crew(cast)[0]


def address(name: str, letter: Release) -> str:
    return reverse(f"evaluations:{name}", args=["rivers", letter.pk])


def page_of(person: Membership, letter: Release) -> str:
    answer = signed_in(person).get(address("letter", letter))
    assert answer.status_code == OK
    return unescape(answer.content.decode())


def sent_in(client: Client, name: str, letter: Release, **answers: str) -> str:
    """The page that a form leads to."""
    answer = client.post(address(name, letter), answers, follow=True)
    assert answer.status_code == OK
    return unescape(answer.content.decode())


# --- What to do next -----------------------------------------------------------------------------
def test_the_page_begins_with_what_to_do_next(cast: Cast, letter: Release) -> None:
    page = page_of(cast.official, letter)
    begins, rest = page.split('class="letter"', 1)
    assert "I have read it (this isn't agreement)" in begins
    assert address("letter_respond", letter) in begins
    assert address("letter_review_ask", letter) in begins
    assert "Nov. 25, 2026" in begins
    assert address("letter_pdf", letter) in rest


def test_others_are_offered_nothing_that_is_the_officials(cast: Cast, letter: Release) -> None:
    for reader in (cast.admin, cast.board, cast.observer):
        page = page_of(reader, letter)
        for name in ("letter_acknowledge", "letter_respond", "letter_review_ask"):
            assert address(name, letter) not in page
    assert address("letter_withdraw", letter) not in page_of(cast.board, letter)
    assert address("letter_amend", letter) not in page_of(cast.observer, letter)


def test_reading_is_acknowledged_with_one_button(cast: Cast, letter: Release) -> None:
    client = signed_in(cast.official)
    assert "Recorded: you have read it." in sent_in(client, "letter_acknowledge", letter)
    assert state_of(letter) is State.ACKNOWLEDGED
    assert "This can't be done" in sent_in(client, "letter_acknowledge", letter)


@pytest.mark.parametrize("name", ["letter_acknowledge", "letter_respond", "letter_review_ask"])
def test_nobody_answers_for_the_official(cast: Cast, letter: Release, name: str) -> None:
    others = {"observer": REFUSED, "admin": REFUSED, "board": REFUSED, "other_official": UNKNOWN}
    for who, status in others.items():
        answer = signed_in(getattr(cast, who)).post(address(name, letter), {"text": "No."})
        assert answer.status_code == status, who
    assert not ReleaseEvent.objects.exists() and not Review.objects.exists()


# --- Answering -----------------------------------------------------------------------------------
def test_an_answer_is_sent_as_a_whole_and_line_by_line(cast: Cast, letter: Release) -> None:
    client = signed_in(cast.official)
    form = client.get(address("letter_respond", letter)).content.decode()
    assert form.count("This is not what happened") == 12
    said = {"text": "The clock was wrong.", f"line-{WEAK}": "The table called."}
    assert "the observer is told" in sent_in(client, "letter_respond", letter, **said)
    response = Response.objects.get(release=letter)
    assert response.text == "The clock was wrong."
    assert [(one.criterion, one.text) for one in response.lines.all()] == [
        (WEAK, "The table called.")
    ]


def test_a_line_over_500_characters_is_refused_where_it_stands_and_nothing_is_lost(
    cast: Cast, letter: Release
) -> None:
    said = {"text": "Kept words.", f"line-{WEAK}": "x" * 501}
    page = sent_in(signed_in(cast.official), "letter_respond", letter, **said)
    assert "Error:" in page and "Kept words." in page and "x" * 501 in page
    assert f'id="id_line-{WEAK}_error"' in page
    assert page.count("<details") == 12 and page.count('<details class="more" open') == 1
    assert not Response.objects.exists()


def test_a_line_break_counts_as_one_character(cast: Cast, letter: Release) -> None:
    said = "\r\n".join("abcd" for _line in range(100))
    signed_in(cast.official).post(address("letter_respond", letter), {f"line-{WEAK}": said})
    assert len(Response.objects.get().lines.get().text) == 499


def test_an_empty_answer_says_what_to_write(cast: Cast, letter: Release) -> None:
    page = sent_in(signed_in(cast.official), "letter_respond", letter, text=" ")
    assert "Write an answer" in page
    assert not Response.objects.exists()


def test_after_the_last_day_there_is_no_answer_form(
    cast: Cast, letter: Release, monkeypatch: pytest.MonkeyPatch
) -> None:
    late = OPEN_AT + timedelta(days=15)
    monkeypatch.setattr(timezone, "now", lambda: late)
    page = signed_in(cast.official).get(address("letter_respond", letter)).content.decode()
    assert "can't be answered now" in page
    assert "<textarea" not in page


def test_the_observer_finds_the_answer_on_the_first_page(cast: Cast, letter: Release) -> None:
    respond(release=letter, text="No.", lines={}, by=cast.official, now=OPEN_AT)
    home = signed_in(cast.observer).get(reverse("evaluations:home", args=["rivers"]))
    assert address("letter", letter) in home.content.decode()


# --- Review --------------------------------------------------------------------------------------
def test_a_review_is_asked_for_once(cast: Cast, letter: Release) -> None:
    client = signed_in(cast.official)
    assert "Say what should be looked at." in sent_in(client, "letter_review_ask", letter)
    sent_in(client, "letter_review_ask", letter, reason="Dead ball 9.")
    assert Review.objects.get().reason == "Dead ball 9."
    again = sent_in(client, "letter_review_ask", letter, reason="Dead ball 9.")
    assert "once, within seven days" in again


# --- Amending and withdrawing --------------------------------------------------------------------
def test_an_admin_withdraws_a_letter_for_a_reason(cast: Cast, letter: Release) -> None:
    client = signed_in(cast.admin)
    assert "Say why" in sent_in(client, "letter_withdraw", letter)
    assert state_of(letter) is State.RELEASED
    client.post(address("letter_withdraw", letter), {"reason": "Another game was meant."})
    assert state_of(letter) is State.WITHDRAWN
    assert "Withdrawn. Another game was meant." in page_of(cast.official, letter)
    page = client.get(address("letter_withdraw", letter)).content.decode()
    assert "This letter can't be withdrawn" in page


def test_only_admins_withdraw(cast: Cast, letter: Release) -> None:
    for somebody in (cast.official, cast.observer, cast.board):
        answer = signed_in(somebody).post(address("letter_withdraw", letter), {"reason": "No."})
        assert answer.status_code == REFUSED
    assert state_of(letter) is State.RELEASED


def test_the_author_corrects_after_an_answer_and_goes_on_to_the_form(
    cast: Cast, letter: Release
) -> None:
    client = signed_in(cast.observer)
    assert "48 hours" in sent_in(client, "letter_amend", letter, note="Second thoughts.")
    respond(release=letter, text="No.", lines={}, by=cast.official, now=OPEN_AT)
    answer = client.post(address("letter_amend", letter), {"note": "I mixed up two plays."})
    form = reverse("evaluations:evaluation_form", args=["rivers", letter.evaluation_id])
    assert (answer.status_code, answer["Location"]) == (MOVED, form)
    assert Evaluation.objects.get(pk=letter.evaluation_id).state == State.RETURNED


def test_an_admin_has_a_letter_amended_by_its_author(cast: Cast, letter: Release) -> None:
    client = signed_in(cast.admin)
    page = sent_in(client, "letter_amend", letter, note="Wrong position.")
    assert "with its observer again" in page
    assert "is being amended" in page_of(cast.official, letter)


def test_nobody_else_amends(cast: Cast, letter: Release) -> None:
    others = {"official": REFUSED, "board": REFUSED, "other_observer": UNKNOWN}
    for who, status in others.items():
        answer = signed_in(getattr(cast, who)).post(address("letter_amend", letter), {"note": "."})
        assert answer.status_code == status, who
    assert Evaluation.objects.get(pk=letter.evaluation_id).state == State.RELEASED


def amended(cast: Cast, letter: Release) -> Release:
    hand_in(amend(release=letter, reason="Wrong game.", by=cast.admin, now=OPEN_AT))
    release_crew(
        observation=letter.evaluation.observation, by=cast.admin, now=OPEN_AT - timedelta(hours=1)
    )
    return letter_of(cast.official)


def test_a_superseded_letter_leads_to_the_newest_and_stays_readable(
    cast: Cast, letter: Release
) -> None:
    second = amended(cast, letter)
    old = page_of(cast.official, letter)
    assert text_in(old, "letter").startswith("Superseded.")
    assert f'class="button primary" href="{address("letter", second)}"' in old
    new = page_of(cast.official, second)
    assert "release 2, replaces the one before" in new
    assert address("letter", letter) in new
    assert "Summary for Nico Vale" in old


def test_until_the_amended_letter_opens_its_official_reads_only_when(
    cast: Cast, letter: Release, monkeypatch: pytest.MonkeyPatch
) -> None:
    hand_in(amend(release=letter, reason="Wrong game.", by=cast.admin, now=OPEN_AT))
    night = OPEN_AT + timedelta(hours=12)
    release_crew(observation=letter.evaluation.observation, by=cast.admin, now=night)
    monkeypatch.setattr(timezone, "now", lambda: night)
    second = letter_of(cast.official)
    page = page_of(cast.official, letter)
    assert "An amended letter takes this one's place; it opens" in page
    assert second.code not in page
    answer = signed_in(cast.official).get(address("letter", second))
    assert answer.status_code == UNKNOWN
