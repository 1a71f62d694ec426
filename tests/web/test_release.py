"""Reading a crew's letters before anybody has them, giving a form back, releasing all at once."""

from __future__ import annotations

from datetime import timedelta
from html import unescape
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from accounts.models import Membership, Role
from evaluations.core.letter import reading_order
from evaluations.core.release import State
from evaluations.models import Evaluation, Observation, Release
from evaluations.queries.releases import content_of
from evaluations.services.evaluations import return_to_observer
from tests.factories.accounts import Cast, member, signed_in
from tests.factories.releases import (
    OPEN_AT,
    RELEASED_AT,
    crew_of,
    hand_in,
    sent,
    submitted_crew,
    write,
)
from tests.letters.reading import squeezed
from tests.web.reading import text_in

OK, REFUSED, UNKNOWN = 200, 403, 404


@pytest.fixture(autouse=True)
def the_next_morning(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is 09:00 in Chicago, on the day after the game."""
    monkeypatch.setattr(timezone, "now", lambda: RELEASED_AT)


@pytest.fixture
def observation(cast: Cast) -> Observation:
    return submitted_crew(cast)


def address(name: str, pk: int, slug: str = "rivers") -> str:
    return reverse(f"evaluations:{name}", args=[slug, pk])


def page(person: Membership, url: str) -> str:
    answer = signed_in(person).get(url)
    assert answer.status_code == OK
    return unescape(answer.content.decode())


def versions(observation: Observation) -> str:
    """What the confirming page sends along: the versions that were read."""
    return "-".join(str(e.version) for e in observation.evaluations.order_by("position"))


def release(person: Membership, observation: Observation, read: str) -> str:
    answer = signed_in(person).post(
        address("release", observation.pk), {"version": read}, follow=True
    )
    assert answer.status_code == OK
    return unescape(answer.content.decode())


# --- Waiting -------------------------------------------------------------------------------------
def test_a_crew_waits_when_all_its_forms_are_in(cast: Cast) -> None:
    waiting = reverse("evaluations:waiting", args=["rivers"])
    observation = crew_of(cast)
    first, second = observation.evaluations.all()
    hand_in(first)
    assert "Nothing waits for release" in page(cast.admin, waiting)
    hand_in(second)
    assert address("crew_read", observation.pk) in page(cast.admin, waiting)


def test_an_admin_does_not_see_the_own_crew_wait(cast: Cast) -> None:
    playing_admin = member(cast.association, "Pat Roe", Role.ADMIN, Role.OFFICIAL)
    observation = submitted_crew(cast, playing_admin, cast.official)
    client = signed_in(playing_admin)
    waiting = client.get(reverse("evaluations:waiting", args=["rivers"])).content.decode()
    assert address("crew_read", observation.pk) not in waiting
    for name in ("crew_read", "release"):
        assert client.get(address(name, observation.pk)).status_code == UNKNOWN
    assert client.post(address("release", observation.pk)).status_code == UNKNOWN
    for evaluation in observation.evaluations.all():
        url = address("form_return", evaluation.pk)
        assert client.post(url, {"note": "No."}).status_code == UNKNOWN


def test_the_list_costs_the_same_for_many_crews(
    cast: Cast, observation: Observation, django_assert_max_num_queries: Any
) -> None:
    client = signed_in(cast.admin)
    with django_assert_max_num_queries(12):
        client.get(reverse("evaluations:waiting", args=["rivers"]))


# --- Reading -------------------------------------------------------------------------------------
def test_the_admin_reads_each_letter_as_it_will_be(cast: Cast, observation: Observation) -> None:
    said = squeezed(page(cast.admin, address("crew_read", observation.pk)))
    release(cast.admin, observation, versions(observation))
    for letter in Release.objects.all():
        content = content_of(letter)
        for part in reading_order(content):
            assert squeezed(part) in said


def test_reading_releases_nothing(cast: Cast, observation: Observation) -> None:
    page(cast.admin, address("crew_read", observation.pk))
    page(cast.admin, address("release", observation.pk))
    assert not Release.objects.exists()


def test_the_observers_notes_to_the_admin_are_listed(cast: Cast, observation: Observation) -> None:
    Observation.objects.filter(pk=observation.pk).update(
        raised="Held the ball.", note_to_admin="The clock failed."
    )
    said = page(cast.admin, address("crew_read", observation.pk))
    assert "Held the ball." in said and "The clock failed." in said


def test_what_looks_like_a_name_is_pointed_out(cast: Cast) -> None:
    observation = crew_of(cast)
    first, second = observation.evaluations.all()
    hand_in(second)
    written = write(first)
    written.summary = "Spoke to Jordan Ellsworth at the table."
    written.save()
    sent(written)
    said = page(cast.admin, address("crew_read", observation.pk))
    assert "“Jordan Ellsworth” looks like a name." in said


def test_a_letter_that_names_another_of_the_crew_is_pointed_out(cast: Cast) -> None:
    observation = crew_of(cast)
    first, second = observation.evaluations.all()
    hand_in(second)
    written = write(first)
    written.summary = f"At the table {second.official} had the report."
    written.save()
    sent(written)
    said = page(cast.admin, address("crew_read", observation.pk))
    assert f"In short: this letter is not about {second.official}." in said


def test_while_a_form_is_open_the_page_says_whose(cast: Cast) -> None:
    observation = crew_of(cast)
    hand_in(observation.evaluations.get(official=cast.official))
    for name in ("crew_read", "release"):
        said = page(cast.admin, address(name, observation.pk))
        assert "Still open: Mara Odell." in said
        assert 'name="version"' not in said and "Release 2 letters" not in said


# --- Giving back ---------------------------------------------------------------------------------
def returned(person: Membership, evaluation: Evaluation, note: str) -> str:
    name = f"return-{evaluation.pk}-note"
    answer = signed_in(person).post(
        address("form_return", evaluation.pk), {name: note, "csrf": "x"}, follow=True
    )
    return unescape(answer.content.decode())


def test_a_form_goes_back_with_a_note(cast: Cast, observation: Observation) -> None:
    first, second = observation.evaluations.order_by("position")
    said = returned(cast.admin, first, "Say at which dead ball.")
    assert "The form goes back to Orla Finch" in said
    first.refresh_from_db()
    second.refresh_from_db()
    assert (first.state, first.returned_note) == (State.RETURNED, "Say at which dead ball.")
    assert second.state == State.SUBMITTED


def test_a_form_does_not_go_back_without_a_note(cast: Cast, observation: Observation) -> None:
    first = observation.evaluations.order_by("position")[0]
    said = returned(cast.admin, first, "  ")
    assert "Say in the note what the observer should change." in said
    assert '<details class="more" open' in said
    assert text_in(said, "letter")
    first.refresh_from_db()
    assert first.state == State.SUBMITTED


# --- Releasing -----------------------------------------------------------------------------------
def test_the_confirming_page_says_what_will_happen(cast: Cast) -> None:
    observation = submitted_crew(cast, cast.official, cast.young_official)
    said = page(cast.admin, address("release", observation.pk))
    assert "frozen" in said
    assert "Nov. 11, 2026, 9 a.m." in said
    assert "Not within 12 hours after the game, not between 9 p.m. and 8 a.m." in said
    assert "nico.vale@example.org" in said
    assert "the guardian is told as well: guardian@example.org" in said
    assert "Release 2 letters" in said


def test_all_letters_of_the_crew_go_out_with_one_button(
    cast: Cast, observation: Observation
) -> None:
    assert "2 letters are released." in release(cast.admin, observation, versions(observation))
    assert Release.objects.count() == 2


def test_a_form_that_came_back_and_was_sent_again_is_not_released_unread(
    cast: Cast, observation: Observation
) -> None:
    read = versions(observation)
    first = observation.evaluations.order_by("position")[0]
    hand_in(return_to_observer(evaluation=first, note="Why?", by=cast.admin, now=RELEASED_AT))
    said = release(cast.admin, observation, read)
    assert "A form of this crew changed meanwhile." in said
    assert 'name="version"' not in said
    assert not Release.objects.exists()


@pytest.mark.parametrize("read", ["", "1", "x-y", "1-1-1"])
def test_a_release_without_the_versions_that_were_read_is_refused(
    cast: Cast, observation: Observation, read: str
) -> None:
    assert "changed meanwhile" in release(cast.admin, observation, read)
    assert not Release.objects.exists()


def test_a_second_admin_who_comes_later_is_told(cast: Cast, observation: Observation) -> None:
    read = versions(observation)
    release(cast.admin, observation, read)
    assert "Nothing of this observation waits" in release(cast.second_admin, observation, read)
    assert Release.objects.count() == 2


def test_a_character_that_the_letters_font_lacks_stops_the_release_and_is_named(
    cast: Cast,
) -> None:
    observation = crew_of(cast)
    first, second = observation.evaluations.all()
    hand_in(second)
    written = write(first)
    written.summary = "Calm at the table ᚠ."
    written.save()
    sent(written)
    said = page(cast.admin, address("crew_read", observation.pk))
    assert "lacks these characters: ᚠ" in said
    assert "lacks these characters: ᚠ" in release(cast.admin, observation, versions(observation))
    assert not Release.objects.exists()


# --- Who -----------------------------------------------------------------------------------------
@pytest.mark.parametrize("name", ["crew_read", "release"])
def test_only_admins_of_the_association_read_and_release(
    cast: Cast, observation: Observation, name: str
) -> None:
    for who in ("observer", "official", "board"):
        answer = signed_in(getattr(cast, who)).get(address(name, observation.pk))
        assert answer.status_code == REFUSED, who
    for slug in ("rivers", "harbor"):
        answer = signed_in(cast.other_admin).get(address(name, observation.pk, slug))
        assert answer.status_code == UNKNOWN
    answer = signed_in(cast.other_admin).post(address("release", observation.pk, "harbor"))
    assert answer.status_code == UNKNOWN
    assert not Release.objects.exists()


def test_no_form_of_another_association_is_given_back(cast: Cast, observation: Observation) -> None:
    first = observation.evaluations.order_by("position")[0]
    url = address("form_return", first.pk, "harbor")
    answer = signed_in(cast.other_admin).post(url, {f"return-{first.pk}-note": "No."})
    assert answer.status_code == UNKNOWN
    first.refresh_from_db()
    assert first.state == State.SUBMITTED


def test_released_letters_open_at_the_hour_that_was_named(
    cast: Cast, observation: Observation, monkeypatch: pytest.MonkeyPatch
) -> None:
    night = RELEASED_AT + timedelta(hours=13)
    monkeypatch.setattr(timezone, "now", lambda: night)
    assert "Nov. 12, 2026, 8 a.m." in page(cast.admin, address("release", observation.pk))
    release(cast.admin, observation, versions(observation))
    assert {letter.opens_at for letter in Release.objects.all()} == {
        OPEN_AT.replace(hour=14, minute=0)
    }
