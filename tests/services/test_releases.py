"""A crew's letters are released together, frozen, and open when no rule forbids it."""

from __future__ import annotations

import hashlib
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from accounts.models import AuditEntry, Membership, Role
from evaluations.core.release import State
from evaluations.models import Evaluation, Mail, Observation, Release, ReleaseEvent
from evaluations.queries.releases import content_of, current, letters_to, snapshot_of, state_of
from evaluations.queries.work import waiting_for_release
from evaluations.services.answers import amend
from evaluations.services.errors import Refused, StaleVersion
from evaluations.services.evaluations import return_to_observer, save_words
from evaluations.services.letters import PreparedLetter, prepare_letter
from evaluations.services.observations import close_observation
from evaluations.services.releases import release_crew, withdraw
from tests.factories.accounts import Cast, member
from tests.factories.evaluations import game_with
from tests.factories.releases import (
    OPEN_AT,
    RELEASED_AT,
    SUBMITTED_AT,
    WEAK,
    crew_of,
    hand_in,
    letter_of,
    released_crew,
    submitted_crew,
)


def at(text: str) -> datetime:
    """A moment by the clock of Chicago, six hours behind UTC that autumn."""
    return datetime.fromisoformat(text).replace(tzinfo=UTC) + timedelta(hours=6)


def form_about(official: Membership) -> Evaluation:
    return Evaluation.objects.get(official=official)


# --- Together, or not at all ---------------------------------------------------------------------
def test_both_letters_of_a_crew_of_two_go_out_at_once(cast: Cast) -> None:
    letters = released_crew(cast)
    assert [letter.evaluation.official for letter in letters] == [
        cast.official,
        cast.other_official,
    ]
    assert set(Evaluation.objects.values_list("state", flat=True)) == {State.RELEASED}


def test_while_one_form_is_open_no_letter_goes_out(cast: Cast) -> None:
    observation = crew_of(cast)
    hand_in(form_about(cast.official))
    with pytest.raises(Refused, match="Still open: Mara Odell"):
        release_crew(observation=observation, by=cast.admin, now=RELEASED_AT)
    assert not waiting_for_release(cast.admin).exists()
    assert not Release.objects.exists()


def test_a_form_that_came_back_holds_the_crew_up(cast: Cast) -> None:
    observation = submitted_crew(cast)
    return_to_observer(
        evaluation=form_about(cast.other_official),
        note="Say at which dead ball.",
        by=cast.admin,
        now=RELEASED_AT,
    )
    with pytest.raises(Refused, match="Mara Odell"):
        release_crew(observation=observation, by=cast.admin, now=RELEASED_AT)


def test_the_observer_is_told_of_a_form_that_came_back(cast: Cast) -> None:
    submitted_crew(cast)
    form = form_about(cast.official)
    back = return_to_observer(evaluation=form, note="Which play?", by=cast.admin, now=RELEASED_AT)
    mail = Mail.objects.get(key=f"returned-{back.pk}-{back.version}")
    assert mail.to == cast.observer.user.email
    assert f"/evaluations/{back.pk}/" in mail.body and "Which play?" not in mail.body


def test_a_draft_that_an_admin_closed_holds_nobody_up(cast: Cast) -> None:
    observation = crew_of(cast)
    hand_in(form_about(cast.official))
    closed = close_observation(
        observation=observation, reason="The observer moved away.", by=cast.admin, now=RELEASED_AT
    )
    assert list(waiting_for_release(cast.admin)) == [observation]
    [letter] = release_crew(observation=closed, by=cast.admin, now=RELEASED_AT)
    assert letter.evaluation.official == cast.official
    assert form_about(cast.other_official).state == State.DRAFT


def test_nothing_waits_twice(cast: Cast) -> None:
    observation = released_crew(cast)[0].evaluation.observation
    with pytest.raises(Refused, match="Nothing of this observation waits"):
        release_crew(observation=observation, by=cast.second_admin, now=RELEASED_AT)


def test_an_admin_of_the_crew_releases_none_of_its_letters(cast: Cast) -> None:
    playing_admin = member(cast.association, "Pat Roe", Role.ADMIN, Role.OFFICIAL)
    observation = submitted_crew(cast, playing_admin, cast.official)
    assert not waiting_for_release(playing_admin).exists()
    with pytest.raises(Refused, match="belong to this crew"):
        release_crew(observation=observation, by=playing_admin, now=RELEASED_AT)
    assert not Release.objects.exists()


@pytest.mark.parametrize("who", ["observer", "board", "other_admin", "other_observer"])
def test_only_an_admin_of_the_association_releases(cast: Cast, who: str) -> None:
    observation = submitted_crew(cast)
    with pytest.raises(Refused):
        release_crew(observation=observation, by=getattr(cast, who), now=RELEASED_AT)
    assert not Release.objects.exists()


def test_a_form_that_changed_since_it_was_read_stops_the_release(cast: Cast) -> None:
    observation = submitted_crew(cast)
    read = {e.pk: e.version for e in observation.evaluations.all()}
    back = return_to_observer(
        evaluation=form_about(cast.official), note="Which game?", by=cast.admin, now=SUBMITTED_AT
    )
    hand_in(back)
    with pytest.raises(StaleVersion):
        release_crew(observation=observation, by=cast.admin, now=RELEASED_AT, read=read)
    assert not Release.objects.exists()


def test_a_form_taken_back_while_the_letters_are_laid_out_stops_all_of_them(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    observation = submitted_crew(cast)

    def slow(**arguments: Any) -> PreparedLetter:
        made = prepare_letter(**arguments)
        other = form_about(cast.other_official)
        if other.state == State.SUBMITTED:
            return_to_observer(
                evaluation=other, note="Wait.", by=cast.second_admin, now=RELEASED_AT
            )
        return made

    monkeypatch.setattr("evaluations.services.releases.prepare_letter", slow)
    with pytest.raises(StaleVersion, match="Mara Odell"):
        release_crew(observation=observation, by=cast.admin, now=RELEASED_AT)
    assert not Release.objects.exists()
    assert not Mail.objects.filter(key__startswith="letter-").exists()
    assert form_about(cast.official).state == State.SUBMITTED


# --- Frozen --------------------------------------------------------------------------------------
def test_a_release_keeps_score_words_and_bytes(cast: Cast) -> None:
    letter = released_crew(cast)[0]
    stored = Release.objects.get(pk=letter.pk)
    snapshot = snapshot_of(stored)
    assert snapshot.official == "Nico Vale"
    assert snapshot.card.total is not None
    assert str(stored.total) == "70.8" and stored.band == snapshot.card.band
    assert bytes(stored.pdf).startswith(b"%PDF")
    assert hashlib.sha256(bytes(stored.pdf)).hexdigest() == stored.sha256
    entry = AuditEntry.objects.filter(action="release.made").first()
    assert entry is not None and entry.details["sha256"] == stored.sha256


def test_what_is_renamed_afterwards_leaves_the_letter_alone(cast: Cast) -> None:
    letter = released_crew(cast)[0]
    before = content_of(letter)
    cast.official.user.name = "Nico Hill"
    cast.official.user.save()
    cast.association.letter_paragraph = "New words."
    cast.association.save()
    assert content_of(Release.objects.get(pk=letter.pk)) == before


def test_a_letter_to_somebody_under_18_has_no_total(cast: Cast) -> None:
    letters = released_crew(cast, cast.young_official, cast.official)
    assert [letter.total is None for letter in letters] == [True, False]
    assert letters[0].band == ""


# --- When it opens -------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("released", "opens"),
    [
        ("2026-11-11 09:00", "2026-11-11 09:00"),  # the game was at 13:00 the day before
        ("2026-11-10 18:00", "2026-11-11 08:00"),  # cool-off until 01:00, then a quiet hour
        ("2026-11-11 21:00", "2026-11-12 08:00"),
    ],
)
def test_a_letter_opens_after_cool_off_and_quiet_hours(
    cast: Cast, released: str, opens: str
) -> None:
    observation = submitted_crew(cast)
    letters = release_crew(observation=observation, by=cast.admin, now=at(released))
    assert {letter.opens_at for letter in letters} == {at(opens)}


def plays(cast: Cast, observation: Observation, when: str, *crew: Membership) -> None:
    game_with(observation.game.season, *crew, plays_at=at(when))


def test_a_crew_opens_together_when_the_last_of_it_may_read(cast: Cast) -> None:
    observation = submitted_crew(cast)
    plays(cast, observation, "2026-11-11 14:00", cast.official, cast.young_official)
    letters = release_crew(observation=observation, by=cast.admin, now=RELEASED_AT)
    assert {letter.opens_at for letter in letters} == {at("2026-11-12 08:00")}


def test_a_moment_that_suits_one_must_not_be_just_before_the_others_game(cast: Cast) -> None:
    observation = submitted_crew(cast)
    plays(cast, observation, "2026-11-11 14:00", cast.official, cast.young_official)
    plays(cast, observation, "2026-11-12 10:00", cast.other_official, cast.young_official)
    letters = release_crew(observation=observation, by=cast.admin, now=RELEASED_AT)
    assert {letter.opens_at for letter in letters} == {at("2026-11-13 08:00")}


def test_one_game_after_another_keeps_a_letter_closed_until_the_last_has_cooled_off(
    cast: Cast,
) -> None:
    observation = submitted_crew(cast)
    for day in (11, 12, 13):
        plays(cast, observation, f"2026-11-{day} 10:00", cast.official, cast.young_official)
    letters = release_crew(observation=observation, by=cast.admin, now=RELEASED_AT)
    assert {letter.opens_at for letter in letters} == {at("2026-11-14 08:00")}


def test_a_letter_does_not_open_while_its_reader_is_on_the_floor(cast: Cast) -> None:
    observation = submitted_crew(cast)
    plays(cast, observation, "2026-11-11 09:30", cast.official, cast.young_official)
    now = at("2026-11-11 10:15")
    letters = release_crew(observation=observation, by=cast.admin, now=now)
    assert {letter.opens_at for letter in letters} == {at("2026-11-12 08:00")}


def test_before_it_opens_the_official_has_no_letter(cast: Cast) -> None:
    observation = submitted_crew(cast)
    night = at("2026-11-10 22:00")
    [letter, _other] = release_crew(observation=observation, by=cast.admin, now=night)
    assert not letters_to(cast.official, letter.opens_at - timedelta(seconds=1)).exists()
    assert list(letters_to(cast.official, letter.opens_at)) == [letter]


def test_the_time_to_respond_runs_from_the_opening(cast: Cast) -> None:
    letter = released_crew(cast)[0]
    assert letter.respond_until == (at("2026-11-11 09:00") + timedelta(days=14)).date()


# --- Amended and withdrawn -----------------------------------------------------------------------
def reworded(evaluation: Evaluation, summary: str) -> Evaluation:
    return save_words(
        evaluation=evaluation,
        version=evaluation.version,
        summary=summary,
        strengths=[],
        next_steps=[],
        by=evaluation.observation.observer,
        now=OPEN_AT,
    )


def amended(cast: Cast) -> Release:
    """The second letter to `official`: other levels, a total of its own."""
    first = released_crew(cast)[0]
    open_again = amend(release=first, reason="Wrong game.", by=cast.admin, now=OPEN_AT)
    hand_in(open_again, {WEAK: 3})
    [second] = release_crew(
        observation=first.evaluation.observation, by=cast.admin, now=OPEN_AT + timedelta(hours=1)
    )
    return second


def test_an_amended_letter_supersedes_and_overwrites_nothing(cast: Cast) -> None:
    second = amended(cast)
    first = Release.objects.get(evaluation=second.evaluation, serial=1)
    assert (first.serial, second.serial) == (1, 2)
    assert state_of(first) is State.SUPERSEDED and state_of(second) is State.RELEASED
    assert first.total is not None and second.total is not None and second.total > first.total
    assert first.code != second.code and bytes(first.pdf) != bytes(second.pdf)
    assert list(current(second.evaluation.releases.all())) == [second]


def test_an_amended_letter_leaves_the_partners_alone(cast: Cast) -> None:
    amended(cast)
    assert Release.objects.filter(evaluation__official=cast.other_official).count() == 1
    assert state_of(letter_of(cast.other_official)) is State.RELEASED


def test_while_it_is_amended_the_letter_stays_current(cast: Cast) -> None:
    first = released_crew(cast)[0]
    amend(release=first, reason="Wrong game.", by=cast.admin, now=OPEN_AT)
    assert state_of(first) is State.RELEASED


def test_a_letter_is_withdrawn_for_a_reason_that_the_official_reads(cast: Cast) -> None:
    letter = released_crew(cast)[0]
    with pytest.raises(Refused, match="Say why"):
        withdraw(release=letter, reason="  ", by=cast.admin, now=OPEN_AT)
    withdraw(release=letter, reason="Another game was meant.", by=cast.admin, now=OPEN_AT)
    assert state_of(letter) is State.WITHDRAWN
    assert list(letters_to(cast.official, OPEN_AT)) == [letter]
    assert Mail.objects.filter(key=f"withdrawn-{letter.pk}", to=cast.official.user.email).exists()
    with pytest.raises(Refused):
        withdraw(release=letter, reason="Again.", by=cast.admin, now=OPEN_AT)


def test_nobody_withdraws_a_letter_to_the_own_crew(cast: Cast) -> None:
    playing_admin = member(cast.association, "Pat Roe", Role.ADMIN, Role.OFFICIAL)
    own, partners = released_crew(cast, playing_admin, cast.official)
    for letter in (own, partners):
        with pytest.raises(Refused):
            withdraw(release=letter, reason="No.", by=playing_admin, now=OPEN_AT)
    assert not ReleaseEvent.objects.exists()


def test_a_withdrawn_letter_can_be_made_anew(cast: Cast) -> None:
    letter = released_crew(cast)[0]
    withdraw(release=letter, reason="Another game was meant.", by=cast.admin, now=OPEN_AT)
    hand_in(amend(release=letter, reason="The right game.", by=cast.admin, now=OPEN_AT))
    [second] = release_crew(
        observation=letter.evaluation.observation, by=cast.admin, now=OPEN_AT + timedelta(hours=1)
    )
    assert second.serial == 2
    assert state_of(letter) is State.WITHDRAWN and state_of(second) is State.RELEASED


def test_the_season_value_counts_the_current_letters_and_no_other(cast: Cast) -> None:
    second = amended(cast)
    assert snapshot_of(second).season.observations == 1
    assert snapshot_of(second).season.mean == snapshot_of(second).card.total
