"""Reviews on their pages: who is chosen, what the reviewer sees, how lines are closed."""

from __future__ import annotations

from datetime import timedelta
from html import unescape
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from accounts.models import Membership, Role
from evaluations.core.release import State
from evaluations.models import Evaluation, Release, Review, ReviewLine
from evaluations.services.answers import ask_review, assign_reviewer, respond
from tests.factories.accounts import Cast, member, signed_in
from tests.factories.releases import OPEN_AT, STRONG, WEAK, released_crew

OK, REFUSED, UNKNOWN = 200, 403, 404


@pytest.fixture(autouse=True)
def two_days_later(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: OPEN_AT + timedelta(hours=1))


@pytest.fixture
def letter(cast: Cast) -> Release:
    """The letter to `official`, who marked one line."""
    letter = released_crew(cast)[0]
    respond(release=letter, text="", lines={WEAK: "It did wait."}, by=cast.official, now=OPEN_AT)
    return letter


@pytest.fixture
def asked(cast: Cast, letter: Release) -> Review:
    return ask_review(release=letter, reason="Dead ball 9.", by=cast.official, now=OPEN_AT)


@pytest.fixture
def review(cast: Cast, asked: Review) -> Review:
    """Given to `other_observer`."""
    return assign_reviewer(review=asked, reviewer=cast.other_observer, by=cast.admin, now=OPEN_AT)


def address(name: str, review: Review, slug: str = "rivers") -> str:
    return reverse(f"evaluations:{name}", args=[slug, review.pk])


def page(person: Membership, url: str) -> str:
    answer = signed_in(person).get(url)
    assert answer.status_code == OK
    return unescape(answer.content.decode())


def closed(person: Membership, review: Review, **fields: str) -> str:
    """What the reviewer's form leads to; fields are named for the marked line."""
    said = {f"{WEAK}-{name}": value for name, value in fields.items()}
    answer = signed_in(person).post(address("review", review), {**said, "x": "1"}, follow=True)
    assert answer.status_code == OK
    return unescape(answer.content.decode())


# --- The admins' pages ---------------------------------------------------------------------------
def test_the_list_says_what_is_asked_for_and_who_does_it(cast: Cast, asked: Review) -> None:
    url = reverse("evaluations:reviews", args=["rivers"])
    assert "nobody yet" in page(cast.admin, url)
    assign_reviewer(review=asked, reviewer=cast.other_observer, by=cast.admin, now=OPEN_AT)
    assert "Otis Quill" in page(cast.admin, url)


def test_an_empty_list_says_when_something_appears(cast: Cast) -> None:
    assert "No review yet" in page(cast.admin, reverse("evaluations:reviews", args=["rivers"]))


def test_an_admin_sees_no_review_of_the_own_crew(cast: Cast) -> None:
    playing_admin = member(cast.association, "Pat Roe", Role.ADMIN, Role.OFFICIAL)
    letters = released_crew(cast, cast.official, playing_admin)
    asked = ask_review(release=letters[0], reason="Look.", by=cast.official, now=OPEN_AT)
    client = signed_in(playing_admin)
    listed = client.get(reverse("evaluations:reviews", args=["rivers"])).content.decode()
    assert "Nico Vale" not in listed
    assert client.get(address("review_assign", asked)).status_code == UNKNOWN


def test_those_who_cant_review_are_listed_with_the_reason(cast: Cast, asked: Review) -> None:
    said = page(cast.admin, address("review_assign", asked))
    choices, others = said.split("Who can't")
    assert "Otis Quill" in choices
    assert "Orla Finch" in others and "wrote the letter" in others


def test_a_reviewer_is_chosen(cast: Cast, asked: Review) -> None:
    client, url = signed_in(cast.admin), address("review_assign", asked)
    client.post(url, {"reviewer": cast.other_observer.pk})
    asked.refresh_from_db()
    assert asked.reviewer == cast.other_observer


@pytest.mark.parametrize("who", ["observer", "official", "other_admin"])
def test_nobody_who_is_unfit_can_be_chosen(cast: Cast, asked: Review, who: str) -> None:
    answer = signed_in(cast.admin).post(
        address("review_assign", asked), {"reviewer": getattr(cast, who).pk}
    )
    assert "can't review it" in unescape(answer.content.decode())
    asked.refresh_from_db()
    assert asked.reviewer is None


def test_only_admins_choose(cast: Cast, asked: Review) -> None:
    for who in ("official", "observer", "other_observer", "board"):
        client = signed_in(getattr(cast, who))
        assert client.get(address("review_assign", asked)).status_code == REFUSED
        assert client.get(reverse("evaluations:reviews", args=["rivers"])).status_code == REFUSED
    elsewhere = signed_in(cast.other_admin)
    assert elsewhere.get(address("review_assign", asked, "harbor")).status_code == UNKNOWN


# --- The reviewer's page -------------------------------------------------------------------------
def test_the_reviewer_sees_the_marked_line_and_nothing_else_of_the_letter(
    cast: Cast, review: Review
) -> None:
    said = page(cast.other_observer, address("review", review))
    assert "Dead ball 9." in said and "It did wait." in said and "at times" in said
    for secret in ("70.8", "of 100", "Summary for", "Strength of", "Step of", "Mara", "Comment"):
        assert secret not in said
    assert f"{STRONG}-outcome" not in said


def test_a_review_is_found_by_its_reviewer_alone(cast: Cast, review: Review) -> None:
    url = address("review", review)
    for who, status in (("observer", UNKNOWN), ("official", REFUSED), ("admin", REFUSED)):
        assert signed_in(getattr(cast, who)).get(url).status_code == status
    home = page(cast.other_observer, reverse("evaluations:home", args=["rivers"]))
    assert url in home


def test_a_line_that_stands_closes_the_review(cast: Cast, review: Review) -> None:
    said = closed(cast.other_observer, review, outcome="stands", note="Live before the crew.")
    assert "The review is closed." in said and "Live before the crew." in said
    assert "<textarea" not in said
    assert Evaluation.objects.get(official=cast.official).state == State.RELEASED


def test_a_corrected_line_waits_for_an_amended_letter(cast: Cast, review: Review) -> None:
    closed(cast.other_observer, review, outcome="corrected", level="3", note="Three of four.")
    line = ReviewLine.objects.get()
    assert (line.outcome, line.level) == ("corrected", 3)
    evaluation = Evaluation.objects.get(official=cast.official)
    assert evaluation.state == State.SUBMITTED
    waiting = page(cast.admin, reverse("evaluations:waiting", args=["rivers"]))
    read = reverse("evaluations:crew_read", args=["rivers", evaluation.observation_id])
    assert read in waiting
    assert "release 2, replaces the one before" in page(cast.admin, read)


def test_what_a_review_leaves_open_is_pointed_out_to_the_admin(cast: Cast, review: Review) -> None:
    closed(cast.other_observer, review, outcome="corrected", level="1", note="Never waited.")
    evaluation = Evaluation.objects.get(official=cast.official)
    evaluation.next_steps.all().delete()
    read = reverse("evaluations:crew_read", args=["rivers", evaluation.observation_id])
    assert "there should be a next step" in page(cast.admin, read).lower()


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({}, "say whether it stands"),
        ({"outcome": "corrected", "note": "Seen."}, "choose the level that the film shows"),
        ({"outcome": "stands", "level": "3", "note": "Seen."}, "goes with “corrected from film”"),
        ({"outcome": "removed", "note": " "}, "say what the film shows"),
        ({"outcome": "guessed", "note": "Seen."}, "not one of the available choices"),
        ({"outcome": "stands", "note": "x" * 501}, "at most 500 characters"),
    ],
)
def test_a_finding_that_is_not_whole_is_refused_and_says_where(
    cast: Cast, review: Review, fields: dict[str, Any], sentence: str
) -> None:
    said = closed(cast.other_observer, review, **fields)
    assert sentence in said and "Error:" in said
    review.refresh_from_db()
    assert review.closed_at is None and not ReviewLine.objects.exists()


def test_a_closed_review_is_not_closed_again(cast: Cast, review: Review) -> None:
    closed(cast.other_observer, review, outcome="stands", note="Same on film.")
    closed(cast.other_observer, review, outcome="removed", note="Nothing to see.")
    assert [line.outcome for line in ReviewLine.objects.all()] == ["stands"]
