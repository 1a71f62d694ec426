"""What an official does with a letter, and the author's correction."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from django.core.exceptions import ValidationError

from accounts.models import AuditEntry, Membership, Role
from evaluations.core.release import State
from evaluations.models import Mail, Release, Response, ReviewLine
from evaluations.queries.releases import state_of
from evaluations.queries.work import answers_to, new_answers, open_reviews, to_do
from evaluations.services.answers import (
    ReviewInput,
    acknowledge,
    amend,
    ask_review,
    assign_reviewer,
    close_review,
    respond,
)
from evaluations.services.errors import Refused
from evaluations.services.observations import close_observation
from evaluations.services.releases import release_crew, withdraw
from tests.factories.accounts import Cast, member
from tests.factories.releases import (
    OPEN_AT,
    RELEASED_AT,
    STRONG,
    WEAK,
    crew_of,
    hand_in,
    released_crew,
    sent,
    write,
)

NEXT_DAY = OPEN_AT + timedelta(days=1)
Outcome = ReviewLine.Outcome


@pytest.fixture
def letter(cast: Cast) -> Release:
    """The letter to `official`."""
    return released_crew(cast)[0]


def answer(letter: Release, by: Membership, now: datetime = OPEN_AT, **lines: str) -> Response:
    said = {key.replace("_", "-"): text for key, text in lines.items()}
    return respond(release=letter, text="I see it differently.", lines=said, by=by, now=now)


# --- Read, answered ------------------------------------------------------------------------------
def test_reading_is_acknowledged_once(cast: Cast, letter: Release) -> None:
    acknowledge(release=letter, by=cast.official, now=OPEN_AT)
    assert state_of(letter) is State.ACKNOWLEDGED
    with pytest.raises(Refused):
        acknowledge(release=letter, by=cast.official, now=OPEN_AT)
    assert AuditEntry.objects.filter(action="release.acknowledged").count() == 1


def test_an_answer_holds_a_text_and_what_happened_line_by_line(cast: Cast, letter: Release) -> None:
    response = respond(
        release=letter,
        text=" Thank you. ",
        lines={WEAK: "The table called for the ball.", STRONG: "  "},
        by=cast.official,
        now=OPEN_AT,
    )
    assert response.text == "Thank you."
    assert [(line.criterion, line.text) for line in response.lines.all()] == [
        (WEAK, "The table called for the ball.")
    ]
    assert state_of(letter) is State.RESPONDED


def test_an_answer_may_follow_the_reading_but_never_another_answer(
    cast: Cast, letter: Release
) -> None:
    acknowledge(release=letter, by=cast.official, now=OPEN_AT)
    answer(letter, cast.official)
    with pytest.raises(Refused):
        answer(letter, cast.official)
    with pytest.raises(Refused):
        acknowledge(release=letter, by=cast.official, now=OPEN_AT)


@pytest.mark.parametrize("who", ["other_official", "observer", "admin", "board"])
def test_nobody_answers_for_the_official(cast: Cast, letter: Release, who: str) -> None:
    somebody = getattr(cast, who)
    with pytest.raises(Refused):
        acknowledge(release=letter, by=somebody, now=OPEN_AT)
    with pytest.raises(Refused):
        answer(letter, somebody)
    with pytest.raises(Refused):
        ask_review(release=letter, reason="Look again.", by=somebody, now=OPEN_AT)


def test_nothing_is_answered_before_the_letter_is_open(cast: Cast, letter: Release) -> None:
    too_early = letter.opens_at - timedelta(minutes=1)
    with pytest.raises(Refused, match="not open yet"):
        acknowledge(release=letter, by=cast.official, now=too_early)
    with pytest.raises(Refused, match="not open yet"):
        answer(letter, cast.official, too_early)


def test_the_last_day_to_respond_ends_at_midnight_where_the_association_is(
    cast: Cast, letter: Release
) -> None:
    midnight = datetime.combine(
        letter.respond_until + timedelta(days=1), datetime.min.time(), tzinfo=UTC
    ) + timedelta(hours=6)
    with pytest.raises(Refused, match="time to respond has passed"):
        answer(letter, cast.official, midnight)
    answer(letter, cast.official, midnight - timedelta(minutes=1))


def test_an_empty_answer_and_one_to_another_rubrics_line_are_refused(
    cast: Cast, letter: Release
) -> None:
    with pytest.raises(Refused, match="Write an answer"):
        respond(release=letter, text=" ", lines={WEAK: " "}, by=cast.official, now=OPEN_AT)
    with pytest.raises(Refused, match="does not fit"):
        answer(letter, cast.official, nonsense="No.")
    with pytest.raises(ValidationError):
        answer(letter, cast.official, ball_waits_for_crew="x" * 501)
    assert not Response.objects.exists()


def test_a_withdrawn_letter_is_not_answered(cast: Cast, letter: Release) -> None:
    withdraw(release=letter, reason="Another game was meant.", by=cast.admin, now=OPEN_AT)
    with pytest.raises(Refused):
        answer(letter, cast.official)


def test_the_observer_is_told_of_an_answer_and_finds_it(cast: Cast, letter: Release) -> None:
    answer(letter, cast.official)
    mail = Mail.objects.get(key=f"response-{letter.pk}")
    assert mail.to == cast.observer.user.email
    assert f"/letters/{letter.pk}/" in mail.body
    assert "Nico" not in mail.body and "differently" not in mail.body
    assert list(answers_to(cast.observer, OPEN_AT)) == [letter]
    assert list(new_answers(cast.admin, OPEN_AT)) == [letter]
    assert not new_answers(cast.admin, OPEN_AT + timedelta(days=31)).exists()
    assert not answers_to(cast.other_observer, OPEN_AT).exists()


def test_an_admin_of_the_crew_reads_no_answer_of_a_partner(cast: Cast) -> None:
    playing_admin = member(cast.association, "Pat Roe", Role.ADMIN, Role.OFFICIAL)
    letters = released_crew(cast, cast.official, playing_admin)
    answer(letters[0], cast.official)
    ask_review(release=letters[0], reason="Look.", by=cast.official, now=OPEN_AT)
    assert not new_answers(playing_admin, OPEN_AT).exists()
    assert not open_reviews(playing_admin).exists()
    assert open_reviews(cast.admin).count() == 1


# --- Correcting ----------------------------------------------------------------------------------
def test_the_author_may_correct_for_48_hours_from_the_answer(cast: Cast, letter: Release) -> None:
    answer(letter, cast.official)
    last = OPEN_AT + timedelta(hours=48)
    with pytest.raises(Refused, match="48 hours"):
        amend(release=letter, reason="Yes.", by=cast.observer, now=last + timedelta(seconds=1))
    taken = amend(release=letter, reason="I mixed up two plays.", by=cast.observer, now=last)
    assert (taken.state, taken.returned_note) == (State.RETURNED, "I mixed up two plays.")
    assert not Mail.objects.filter(key__startswith="amend-").exists()


def test_a_letter_is_amended_though_the_rest_of_its_observation_was_closed(cast: Cast) -> None:
    observation = crew_of(cast)
    first = hand_in(observation.evaluations.get(official=cast.official))
    close_observation(observation=observation, reason="Left early.", by=cast.admin, now=RELEASED_AT)
    observation.refresh_from_db()
    [letter] = release_crew(observation=observation, by=cast.admin, now=RELEASED_AT)
    answer(letter, cast.official)
    taken = amend(release=letter, reason="The answer is right.", by=cast.observer, now=NEXT_DAY)
    assert taken == first
    assert list(to_do(cast.observer)) == [observation]
    sent(write(taken, {WEAK: 4}))
    [amended] = release_crew(observation=observation, by=cast.admin, now=NEXT_DAY)
    assert (amended.evaluation, amended.serial) == (first, 2)
    assert state_of(letter) is State.SUPERSEDED
    assert not to_do(cast.observer)


def test_without_an_answer_the_author_corrects_nothing(cast: Cast, letter: Release) -> None:
    with pytest.raises(Refused, match="Ask an admin"):
        amend(release=letter, reason="Second thoughts.", by=cast.observer, now=OPEN_AT)


def test_an_admin_may_have_a_letter_amended_and_the_author_is_told(
    cast: Cast, letter: Release
) -> None:
    taken = amend(release=letter, reason="Wrong position.", by=cast.admin, now=OPEN_AT)
    [mail] = Mail.objects.filter(key__startswith=f"amend-{taken.pk}")
    assert mail.to == cast.observer.user.email
    with pytest.raises(Refused):
        amend(release=letter, reason="Again.", by=cast.admin, now=OPEN_AT)


@pytest.mark.parametrize("who", ["official", "other_official", "other_observer", "board"])
def test_nobody_else_amends(cast: Cast, letter: Release, who: str) -> None:
    answer(letter, cast.official)
    with pytest.raises(Refused):
        amend(release=letter, reason="No.", by=getattr(cast, who), now=OPEN_AT)


def test_a_superseded_letter_is_not_amended_any_more(cast: Cast, letter: Release) -> None:
    hand_in(amend(release=letter, reason="Wrong game.", by=cast.admin, now=OPEN_AT))
    release_crew(observation=letter.evaluation.observation, by=cast.admin, now=NEXT_DAY)
    with pytest.raises(Refused, match="taken this one's place"):
        amend(release=letter, reason="Again.", by=cast.admin, now=NEXT_DAY)


# --- The record ----------------------------------------------------------------------------------
def test_every_step_is_in_the_record(cast: Cast, letter: Release) -> None:
    acknowledge(release=letter, by=cast.official, now=OPEN_AT)
    answer(letter, cast.official)
    asked = ask_review(release=letter, reason="Look again.", by=cast.official, now=OPEN_AT)
    review = assign_reviewer(review=asked, reviewer=cast.other_observer, by=cast.admin, now=OPEN_AT)
    close_review(
        review=review,
        lines=[ReviewInput(WEAK, Outcome.REMOVED, "Nothing on film.")],
        by=cast.other_observer,
        now=NEXT_DAY,
    )
    after = AuditEntry.objects.filter(at__gt=RELEASED_AT)
    assert [entry.action for entry in after] == [
        "release.acknowledged",
        "release.responded",
        "review.asked",
        "review.assigned",
        "evaluation.corrected",
        "review.closed",
    ]
