"""A letter as a page and as a file: who reads it, what it says, and what it keeps to itself."""

from __future__ import annotations

from datetime import timedelta
from html import unescape
from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from accounts.models import Membership, Role
from evaluations.core.letter import reading_order
from evaluations.models import Evaluation, Release
from evaluations.queries.releases import content_of
from evaluations.services.answers import acknowledge, respond
from evaluations.services.copies import letter_content, letter_pdf
from evaluations.services.releases import release_crew, withdraw
from tests.factories.accounts import Cast, member, signed_in
from tests.factories.evaluations import game_with, open_observation
from tests.factories.releases import (
    OPEN_AT,
    WEAK,
    comment,
    crew_of,
    hand_in,
    released_crew,
    sent,
    write,
)
from tests.letters.reading import body, pages, squeezed, structure
from tests.web.reading import alternatives_in, text_in

OK, REFUSED, UNKNOWN, MOVED = 200, 403, 404, 302


@pytest.fixture(autouse=True)
def two_days_later(monkeypatch: pytest.MonkeyPatch) -> None:
    """The letters are open by now."""
    monkeypatch.setattr(timezone, "now", lambda: OPEN_AT)


@pytest.fixture
def letter(cast: Cast) -> Release:
    """The letter to `official`; `other_official` was the partner."""
    return released_crew(cast)[0]


def address(name: str, letter: Release, slug: str = "rivers") -> str:
    return reverse(f"evaluations:{name}", args=[slug, letter.pk])


def opened(person: Membership, letter: Release, name: str = "letter") -> HttpResponse:
    answer: Any = signed_in(person).get(address(name, letter))
    return answer  # type: ignore[no-any-return]


def page_of(person: Membership, letter: Release) -> str:
    answer = opened(person, letter)
    assert answer.status_code == OK
    return unescape(answer.content.decode())


def file_of(person: Membership, letter: Release, query: str = "") -> bytes:
    answer = signed_in(person).get(address("letter_pdf", letter) + query)
    assert answer.status_code == OK
    return answer.content


# --- The page and the file say the same ----------------------------------------------------------
def test_the_page_reads_like_the_file(cast: Cast, letter: Release) -> None:
    content = content_of(letter)
    on_page = text_in(page_of(cast.official, letter), "letter")
    in_file = body(file_of(cast.official, letter), content)
    assert squeezed(on_page) == squeezed(in_file)
    assert squeezed(on_page) == squeezed(" ".join(reading_order(content)))


def test_page_and_file_have_the_same_alternative_texts(cast: Cast, letter: Release) -> None:
    content = content_of(letter)
    spoken = alternatives_in(page_of(cast.official, letter), "letter")
    in_file = [node.alt for node in structure(file_of(cast.official, letter)).walk() if node.alt]
    bars = [area.bar.alt for area in content.form.areas]
    assert spoken == in_file == [*bars, content.verification.alt]


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_withdrawn_letter_and_one_without_a_total_read_alike_as_well(
    cast: Cast, language: str
) -> None:
    cast.young_official.user.language = language
    cast.young_official.user.save()
    young = released_crew(cast, cast.young_official, cast.official)[0]
    withdraw(release=young, reason="Another game was meant.", by=cast.admin, now=OPEN_AT)
    on_page = text_in(page_of(cast.young_official, young), "letter")
    in_file = body(file_of(cast.young_official, young), letter_content(young))
    assert squeezed(on_page) == squeezed(in_file)
    assert "Another game was meant." in on_page


def test_long_comments_stand_on_the_page_and_in_the_annex_alike(cast: Cast) -> None:
    observation = crew_of(cast)
    long = "Off the lane again, and late. " * 60
    for evaluation in observation.evaluations.all():
        sent(comment(write(evaluation), WEAK, long.strip()))
    letter = release_crew(observation=observation, by=cast.admin, now=OPEN_AT)[0]
    more = text_in(page_of(cast.official, letter), "letter-more")
    annex = pages(file_of(cast.official, letter, "?annex=1"))[2:]
    assert squeezed(long) in squeezed(more)
    for line in more.split(". "):
        assert squeezed(line) in squeezed(" ".join(annex))


def test_an_answer_travels_with_page_and_file(cast: Cast, letter: Release) -> None:
    acknowledge(release=letter, by=cast.official, now=OPEN_AT)
    assert "Not answered." in text_in(page_of(cast.official, letter), "letter-more")
    respond(
        release=letter,
        text="The clock was wrong.",
        lines={WEAK: "The table called for the ball."},
        by=cast.official,
        now=OPEN_AT,
    )
    for reader in (cast.official, cast.observer, cast.admin, cast.board):
        assert "The table called for the ball." in page_of(reader, letter)
        assert squeezed("The table called for the ball.") in squeezed(
            " ".join(pages(file_of(reader, letter)))
        )


def test_the_letter_is_in_its_officials_language_and_the_page_in_the_readers(
    cast: Cast, letter: Release
) -> None:
    cast.admin.user.language = "es"
    cast.admin.user.save()
    page = page_of(cast.admin, letter)
    assert '<html lang="es">' in page
    assert 'class="letter" lang="en"' in page


# --- The file ------------------------------------------------------------------------------------
def test_a_download_is_the_stored_file_and_the_same_for_everybody(
    cast: Cast, letter: Release
) -> None:
    stored = bytes(letter.pdf)
    assert file_of(cast.official, letter) == stored
    assert file_of(cast.official, letter) == file_of(cast.admin, letter) == stored


def test_a_file_is_named_for_day_and_code_and_kept_by_no_cache(cast: Cast, letter: Release) -> None:
    answer = opened(cast.official, letter, "letter_pdf")
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == (f'attachment; filename="2026-11-10-{letter.code}.pdf"')
    assert "no-store" in answer["Cache-Control"]


def test_a_withdrawn_file_opens_with_that_word(cast: Cast, letter: Release) -> None:
    withdraw(release=letter, reason="Another game was meant.", by=cast.admin, now=OPEN_AT)
    assert pages(file_of(cast.official, letter))[0].startswith("Withdrawn. Another game was meant.")


# --- Who reads it --------------------------------------------------------------------------------
READERS = {
    "official": OK,
    "observer": OK,
    "admin": OK,
    "board": OK,
    "other_official": UNKNOWN,
    "other_observer": UNKNOWN,
    "young_official": UNKNOWN,
    "observer_and_official": UNKNOWN,
    "former_official": UNKNOWN,
    "other_admin": UNKNOWN,
    "other_official_elsewhere": UNKNOWN,
}


@pytest.mark.parametrize("name", ["letter", "letter_pdf"])
def test_a_letter_is_read_by_its_official_its_author_admins_and_board(
    cast: Cast, letter: Release, name: str
) -> None:
    found = {who: opened(getattr(cast, who), letter, name).status_code for who in READERS}
    assert found == READERS


def test_a_letter_is_not_found_below_another_association(cast: Cast, letter: Release) -> None:
    client = signed_in(cast.other_admin)
    for name in ("letter", "letter_pdf"):
        assert client.get(address(name, letter, "harbor")).status_code == UNKNOWN


def test_without_signing_in_nobody_reads_it(letter: Release) -> None:
    answer = Client().get(address("letter", letter))
    assert answer.status_code == MOVED and answer["Location"].startswith("/accounts/login/")


def test_before_it_opens_its_official_does_not_find_it(
    cast: Cast, letter: Release, monkeypatch: pytest.MonkeyPatch
) -> None:
    early = letter.opens_at - timedelta(seconds=1)
    monkeypatch.setattr(timezone, "now", lambda: early)
    for name in ("letter", "letter_pdf"):
        assert opened(cast.official, letter, name).status_code == UNKNOWN
        assert opened(cast.admin, letter, name).status_code == OK


def test_before_it_opens_the_own_season_holds_nothing_of_it(
    cast: Cast, letter: Release, monkeypatch: pytest.MonkeyPatch
) -> None:
    season = reverse("evaluations:own_season", args=["rivers"])
    assert "71" in text_in(signed_in(cast.official).get(season).content.decode(), "ruled")
    early = letter.opens_at - timedelta(seconds=1)
    monkeypatch.setattr(timezone, "now", lambda: early)
    page = signed_in(cast.official).get(season).content.decode()
    assert "No letter yet" in page and ">71<" not in page


def test_an_admin_or_board_member_reads_no_partners_letter(cast: Cast) -> None:
    playing_admin = member(cast.association, "Pat Roe", Role.ADMIN, Role.OFFICIAL)
    playing_board = member(cast.association, "Uma Pike", Role.BOARD, Role.OFFICIAL)
    letters = released_crew(cast, playing_admin, playing_board, cast.official)
    for reader, own in ((playing_admin, 0), (playing_board, 1)):
        found = [opened(reader, one).status_code for one in letters]
        assert found == [OK if place == own else UNKNOWN for place in range(3)]


def test_an_observer_of_another_game_does_not_find_it(cast: Cast, letter: Release) -> None:
    observation = letter.evaluation.observation
    game = game_with(
        observation.game.season,
        cast.official,
        cast.young_official,
        plays_at=OPEN_AT - timedelta(hours=8),
    )
    assert observation.rubric is not None
    open_observation(game, cast.other_observer, observation.rubric)
    assert opened(cast.other_observer, letter).status_code == UNKNOWN


# --- What it keeps to itself (T04) ---------------------------------------------------------------
def test_page_file_and_alternative_texts_hold_nothing_of_the_partner(cast: Cast) -> None:
    observation = crew_of(cast)
    for evaluation, level in zip(observation.evaluations.all(), (4, 1), strict=True):
        hand_in(evaluation, {"route-round-players": level})
    letter, partners = release_crew(observation=observation, by=cast.admin, now=OPEN_AT)
    page = page_of(cast.official, letter)
    said = [page, *alternatives_in(page, ""), *pages(file_of(cast.official, letter, "?annex=1"))]
    said += [node.alt for node in structure(file_of(cast.official, letter)).walk()]
    everything = " ".join(said)
    assert "Nico Vale" in everything
    assert partners.total != letter.total
    for secret in ("Mara", "Odell", partners.code, str(partners.total), "seldom"):
        assert secret not in everything


def test_the_partners_drafts_are_nowhere(cast: Cast) -> None:
    write(crew_of(cast).evaluations.get(official=cast.official))
    client = signed_in(cast.official)
    for name in ("home", "own_season"):
        page = client.get(reverse(f"evaluations:{name}", args=["rivers"])).content.decode()
        assert "Summary for" not in page and "Step of" not in page
    evaluation = Evaluation.objects.get(official=cast.official)
    check = reverse("evaluations:evaluation_check", args=["rivers", evaluation.pk])
    assert client.get(check).status_code == REFUSED


def test_a_letter_without_the_observers_name_names_no_observer(cast: Cast) -> None:
    cast.association.show_observer = False
    cast.association.save()
    letter = released_crew(cast)[0]
    page = page_of(cast.official, letter)
    assert "Orla" not in page
    assert "Orla" not in " ".join(pages(file_of(cast.official, letter)))


# --- Cost ----------------------------------------------------------------------------------------
def test_a_letters_page_costs_a_bounded_number_of_queries(
    cast: Cast, letter: Release, django_assert_max_num_queries: Any
) -> None:
    client = signed_in(cast.official)
    client.get(address("letter", letter))
    with django_assert_max_num_queries(25):
        client.get(address("letter", letter))


def test_a_file_costs_no_more_than_its_bytes(
    cast: Cast, letter: Release, django_assert_max_num_queries: Any
) -> None:
    client = signed_in(cast.official)
    with django_assert_max_num_queries(20):
        client.get(address("letter_pdf", letter))
    assert letter_pdf(release=letter, annex=False) == bytes(letter.pdf)
