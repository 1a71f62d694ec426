"""Correcting an edition in use: how it begins, whom it changes, and its coming into force."""

from __future__ import annotations

from dataclasses import replace

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from evaluations.models import CodeEdition, DeadBallLog
from evaluations.queries.codes import in_force, mechanics_code
from tests.factories.accounts import Cast, signed_in
from tests.factories.corrections import (
    FOUND_OUT,
    REASON,
    begun_correction,
    edited,
    letters_by_wrong_code,
    logged_crew,
    righted_correction,
    wrong_edition,
)
from tests.web.reading import text_in

OK, MOVED, REFUSED, UNKNOWN = 200, 302, 403, 404


@pytest.fixture(autouse=True)
def when_it_is_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: FOUND_OUT)


@pytest.fixture
def admin(cast: Cast) -> Client:
    return signed_in(cast.admin)


def at(name: str, code: CodeEdition) -> str:
    return reverse(f"evaluations:{name}", args=["rivers", code.pk])


def read(client: Client, code: CodeEdition) -> str:
    answer = client.get(at("code_correct", code))
    assert answer.status_code == OK
    return text_in(answer.content.decode(), "")


def send(client: Client, name: str, code: CodeEdition, **answers: object) -> str:
    answer = client.post(at(name, code), answers, follow=True)
    assert answer.status_code == OK
    return text_in(answer.content.decode(), "")


def wrong(cast: Cast) -> CodeEdition:
    return cast.association.codes.get(crew_size=2, edition=1)


# --- Beginning -----------------------------------------------------------------------------------
def test_an_edition_in_use_says_what_correcting_it_does_and_begins(
    cast: Cast, admin: Client
) -> None:
    logged_crew(cast)
    page = read(admin, wrong(cast))
    assert "Letters that are out stay as they are." in page and "Begin the correction" in page
    answer = admin.post(at("code_correct_start", wrong(cast)))
    draft = wrong(cast).corrections.get()
    assert answer.status_code == MOVED and answer.headers["Location"] == at("code", draft)


def test_the_page_leads_to_the_one_correction_in_work(cast: Cast, admin: Client) -> None:
    logged_crew(cast)
    draft = begun_correction(cast)
    page = admin.get(at("code_correct", wrong(cast))).content.decode()
    assert at("code_correct", draft) in page and "one correction at a time" in page
    assert at("code_correct_start", wrong(cast)) not in page
    again = send(admin, "code_correct_start", wrong(cast))
    assert "Edition 2 corrects this one already" in again
    assert wrong(cast).corrections.count() == 1


def test_an_edition_that_nobody_uses_is_not_corrected(cast: Cast, admin: Client) -> None:
    code = wrong_edition(cast)
    assert "not in use yet" in read(admin, code)
    assert "not in use yet" in send(admin, "code_correct_start", code)
    assert not code.corrections.exists()


def test_only_admins_of_the_association_come_here(cast: Cast) -> None:
    logged_crew(cast)
    draft = righted_correction(cast)
    for name in ("code_correct", "code_correct_start", "code_correct_apart"):
        for who in (cast.observer, cast.official, cast.board):
            assert signed_in(who).post(at(name, draft)).status_code == REFUSED, name
        elsewhere = reverse(f"evaluations:{name}", args=["harbor", draft.pk])
        assert signed_in(cast.other_admin).post(elsewhere).status_code == UNKNOWN, name


def test_the_pages_of_the_editions_lead_here(cast: Cast, admin: Client) -> None:
    logged_crew(cast)
    code = wrong(cast)
    assert at("code_correct", code) in admin.get(at("code", code)).content.decode()
    draft = righted_correction(cast)
    page = admin.get(at("code", draft)).content.decode()
    compare = reverse("evaluations:code_compare", args=["rivers", draft.pk, code.pk])
    assert at("code_correct", draft) in page and compare in page
    send(admin, "code_correct", draft, version=draft.version, reason=REASON)
    for who in (cast.admin, cast.official):
        page = signed_in(who).get(at("code", draft)).content.decode()
        assert REASON in page and compare in page
        assert (at("code_changes", draft) in page) is (who == cast.admin)


# --- Whom it changes -----------------------------------------------------------------------------
def test_a_draft_that_says_the_same_asks_for_a_change_first(cast: Cast, admin: Client) -> None:
    logged_crew(cast)
    page = read(admin, begun_correction(cast))
    assert "Nothing is corrected yet" in page and "Put the correction in force" not in page


def test_a_draft_with_a_gap_names_the_situation(cast: Cast, admin: Client) -> None:
    logged_crew(cast)
    draft = begun_correction(cast)
    code = mechanics_code(draft)
    gap = edited(draft, replace(code, rows=code.rows[:-1]))
    page = read(admin, gap)
    assert "situations have no row" in page
    assert "The first is: violation · throw-in on the end line · front court" in page
    sent = send(admin, "code_correct", gap, version=gap.version, reason=REASON)
    assert "No row covers this: violation" in sent
    assert in_force(wrong(cast)) == wrong(cast)


def test_before_it_is_in_force_the_page_shows_whom_it_changes(cast: Cast, admin: Client) -> None:
    letters_by_wrong_code(cast)
    page = read(admin, righted_correction(cast))
    assert "1 of 1 logs change, at 6 dead balls" in page
    assert "1 evaluation changes; 1 has another suggested level" in page
    assert "Nico Vale, referee" in page and "Mara Odell" not in page
    assert "letter is out" in page and "Careful: 1 letter that is out" in page
    assert "trail, opposite the table: not met" in page and "trail, table side: met" in page
    assert "1, 2, 3, 4, 5, 6" in page
    assert "0 of 6" in page and "6 of 6" in page and "another level is suggested" in page
    assert in_force(wrong(cast)) == wrong(cast)


def test_an_option_that_is_gone_is_pointed_out(cast: Cast, admin: Client) -> None:
    logged_crew(cast)
    DeadBallLog.objects.update(agreed=["caller_lead_opposite"])
    draft = begun_correction(cast)
    code = mechanics_code(draft)
    rows = tuple(replace(row, options=()) for row in code.rows)
    page = read(admin, edited(draft, replace(code, rows=rows)))
    assert "had agreed that the caller ends lead, opposite the table" in page


def test_an_admin_of_the_crew_reads_only_that_a_log_is_left_out(cast: Cast) -> None:
    observation = logged_crew(cast)
    draft = righted_correction(cast)
    observation.game.crew.filter(position="umpire").update(official=cast.second_admin)
    page = read(signed_in(cast.second_admin), draft)
    assert "1 log of a crew that you belong to is left out here" in page
    assert "Nico Vale" not in page


# --- In force ------------------------------------------------------------------------------------
def test_with_a_reason_it_comes_into_force(cast: Cast, admin: Client) -> None:
    logged_crew(cast)
    draft = righted_correction(cast)
    page = send(admin, "code_correct", draft, version=draft.version, reason=REASON)
    assert "The correction is in force" in page and REASON in page
    assert in_force(wrong(cast)) == draft


@pytest.mark.parametrize(
    ("reason", "refusal"),
    [("", "Say why the edition is corrected."), ("x" * 301, "at most 300 characters")],
)
def test_without_a_reason_it_does_not(cast: Cast, admin: Client, reason: str, refusal: str) -> None:
    logged_crew(cast)
    draft = righted_correction(cast)
    page = send(admin, "code_correct", draft, version=draft.version, reason=reason)
    assert refusal in page and reason in page
    assert in_force(wrong(cast)) == wrong(cast)


def test_what_was_edited_meanwhile_is_looked_at_again_first(cast: Cast, admin: Client) -> None:
    logged_crew(cast)
    draft = righted_correction(cast)
    answer = admin.post(at("code_correct", draft), {"version": draft.version - 1, "reason": REASON})
    page = answer.content.decode()
    assert "Somebody changed this edition after you opened the page." in text_in(page, "")
    assert REASON in page and f'name="version" value="{draft.version}"' in page
    assert in_force(wrong(cast)) == wrong(cast)


def test_a_correction_can_be_given_up(cast: Cast, admin: Client) -> None:
    logged_crew(cast)
    draft = righted_correction(cast)
    page = send(admin, "code_correct_apart", draft, version=draft.version)
    assert "an edition of its own" in page
    assert not wrong(cast).corrections.exists()


# --- Logs of before ------------------------------------------------------------------------------
TERMS = {
    "seat": "table",
    "left_end": "referee",
    "source": "live",
    "kept": "every_foul",
    "every_nth": "",
    "asked": "asked",
}


@pytest.mark.parametrize("agreed", [["caller_lead_opposite"], None])
def test_what_a_crew_agreed_on_stays_said_when_a_correction_has_no_options(
    cast: Cast, admin: Client, agreed: list[str] | None
) -> None:
    """The observer then changes something else of how the log is kept."""
    observation = logged_crew(cast)
    DeadBallLog.objects.update(agreed=agreed)
    draft = begun_correction(cast)
    code = mechanics_code(draft)
    rows = tuple(replace(row, options=()) for row in code.rows)
    without = edited(draft, replace(code, rows=rows))
    send(admin, "code_correct", without, version=without.version, reason=REASON)
    address = reverse("evaluations:log_terms", args=["rivers", observation.pk])
    observer = signed_in(cast.observer)
    form = observer.get(address).content.decode()
    assert ('value="caller_lead_opposite"' in form) is bool(agreed)
    answer = observer.post(address, {**TERMS, "seat": "opposite", "agreed": agreed or []})
    assert answer.status_code == MOVED
    log = DeadBallLog.objects.get()
    assert (log.seat, log.agreed) == ("opposite", agreed)
