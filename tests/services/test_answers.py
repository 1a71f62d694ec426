"""What an official does with a letter, the author's correction, the review by another observer."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from django.core.exceptions import ValidationError

from accounts.models import AuditEntry, Conflict, Membership, Role
from evaluations.core.release import State
from evaluations.models import Evaluation, Mail, Release, Response, Review, ReviewLine
from evaluations.queries.releases import season_snapshots, snapshot_of, state_of
from evaluations.queries.reviews import lines_under_review, review_candidates
from evaluations.queries.work import answers_to, new_answers, open_reviews, reviews_to_do
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
from evaluations.services.releases import release_crew, withdraw
from tests.factories.accounts import NOW, Cast, member
from tests.factories.releases import (
    COMMENTED,
    OPEN_AT,
    RELEASED_AT,
    STRONG,
    UNSEEN,
    WEAK,
    hand_in,
    letter_of,
    released_crew,
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
    assert list(new_answers(cast.admin)) == [letter]
    assert not answers_to(cast.other_observer, OPEN_AT).exists()


def test_an_admin_of_the_crew_reads_no_answer_of_a_partner(cast: Cast) -> None:
    playing_admin = member(cast.association, "Pat Roe", Role.ADMIN, Role.OFFICIAL)
    letters = released_crew(cast, cast.official, playing_admin)
    answer(letters[0], cast.official)
    ask_review(release=letters[0], reason="Look.", by=cast.official, now=OPEN_AT)
    assert not new_answers(playing_admin).exists()
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


# --- Review --------------------------------------------------------------------------------------
def asked(cast: Cast, letter: Release) -> Review:
    return ask_review(release=letter, reason="Look at dead ball 9.", by=cast.official, now=OPEN_AT)


def given(cast: Cast, letter: Release) -> Review:
    return assign_reviewer(
        review=asked(cast, letter), reviewer=cast.other_observer, by=cast.admin, now=OPEN_AT
    )


def test_a_review_is_asked_for_once_and_within_seven_days(cast: Cast, letter: Release) -> None:
    late = letter.opens_at + timedelta(days=7, seconds=1)
    with pytest.raises(Refused, match="seven days"):
        ask_review(release=letter, reason="Look again.", by=cast.official, now=late)
    asked(cast, letter)
    with pytest.raises(Refused):
        asked(cast, Release.objects.get(pk=letter.pk))
    assert Review.objects.count() == 1


def test_a_review_can_follow_an_answer_and_must_say_what_to_look_at(
    cast: Cast, letter: Release
) -> None:
    answer(letter, cast.official)
    with pytest.raises(ValidationError):
        ask_review(release=letter, reason=" ", by=cast.official, now=OPEN_AT)
    asked(cast, letter)


def test_while_a_review_is_open_the_evaluation_is_in_no_season_value(
    cast: Cast, letter: Release
) -> None:
    season = letter.evaluation.observation.game.season
    assert len(season_snapshots(cast.official, season)) == 1
    review = given(cast, letter)
    assert season_snapshots(cast.official, season) == []
    stands = [ReviewInput(WEAK, Outcome.STANDS, "Same on film.")]
    close_review(review=review, lines=stands, by=cast.other_observer, now=NEXT_DAY)
    assert len(season_snapshots(cast.official, season)) == 1


def test_who_can_review_and_why_others_cannot(cast: Cast, letter: Release) -> None:
    lapsed = member(
        cast.association,
        "Lee Ash",
        Role.OBSERVER,
        cleared_until=(OPEN_AT - timedelta(days=1)).date(),
    )
    in_crew = member(cast.association, "Uma Pike", Role.OBSERVER)
    Conflict.objects.create(observer=in_crew, official=cast.other_official, declared_at=NOW)
    obstacles = {
        candidate.observer: candidate.obstacle
        for candidate in review_candidates(cast.admin, asked(cast, letter), OPEN_AT)
    }
    assert obstacles[cast.other_observer] == ""
    assert obstacles[cast.observer] == "wrote the letter"
    assert obstacles[in_crew] == "is in declared conflict with Mara Odell"
    assert "not cleared" in obstacles[lapsed]
    assert cast.admin not in obstacles


def test_a_review_goes_to_nobody_who_is_unfit(cast: Cast, letter: Release) -> None:
    review = asked(cast, letter)
    for unfit in (cast.observer, cast.board, cast.other_official, cast.other_admin):
        with pytest.raises(Refused, match="can't review"):
            assign_reviewer(review=review, reviewer=unfit, by=cast.admin, now=OPEN_AT)


def test_the_official_gives_the_review_to_nobody(cast: Cast) -> None:
    playing_admin = member(cast.association, "Pat Roe", Role.ADMIN, Role.OFFICIAL)
    letters = released_crew(cast, cast.official, playing_admin)
    review = asked(cast, letters[0])
    with pytest.raises(Refused, match="own crew"):
        assign_reviewer(review=review, reviewer=cast.other_observer, by=playing_admin, now=OPEN_AT)


def test_the_reviewer_is_told(cast: Cast, letter: Release) -> None:
    review = given(cast, letter)
    [mail] = Mail.objects.filter(key__startswith=f"review-{review.pk}")
    assert mail.to == cast.other_observer.user.email
    assert list(reviews_to_do(cast.other_observer)) == [review]


def test_the_lines_under_review_are_those_that_were_marked(cast: Cast, letter: Release) -> None:
    respond(
        release=letter,
        text="",
        lines={UNSEEN: "I did raise the arm.", WEAK: "It waited."},
        by=cast.official,
        now=OPEN_AT,
    )
    review = asked(cast, letter)
    lines = {line.criterion: line for line in lines_under_review(review)}
    assert list(lines) == [WEAK, UNSEEN]
    assert (lines[WEAK].level, lines[WEAK].said) == (2, "It waited.")
    assert (lines[UNSEEN].level, lines[UNSEEN].level_word) == (None, "not seen")


def test_with_no_line_marked_all_with_a_level_can_be_looked_at(cast: Cast, letter: Release) -> None:
    lines = {line.criterion: line for line in lines_under_review(asked(cast, letter))}
    assert len(lines) == 11 and UNSEEN not in lines
    assert "Comment on Nico Vale" in lines[COMMENTED].words


def test_a_review_in_which_everything_stands_changes_nothing(cast: Cast, letter: Release) -> None:
    review = given(cast, letter)
    close_review(
        review=review,
        lines=[ReviewInput(WEAK, Outcome.STANDS, "The ball was live first.")],
        by=cast.other_observer,
        now=NEXT_DAY,
    )
    evaluation = Evaluation.objects.get(official=cast.official)
    assert evaluation.state == State.RELEASED
    assert state_of(letter) is State.RELEASED
    assert Mail.objects.filter(
        key=f"review-{review.pk}-closed", to=cast.official.user.email
    ).exists()


def test_what_a_review_corrects_waits_for_the_release_of_an_amended_letter(
    cast: Cast, letter: Release
) -> None:
    review = given(cast, letter)
    close_review(
        review=review,
        lines=[
            ReviewInput(WEAK, Outcome.CORRECTED, "The ball waited three times of four.", 3),
            ReviewInput(STRONG, Outcome.REMOVED, "Out of the picture."),
        ],
        by=cast.other_observer,
        now=NEXT_DAY,
    )
    evaluation = Evaluation.objects.get(official=cast.official)
    assert evaluation.state == State.SUBMITTED
    found = {r.criterion.key: r for r in evaluation.ratings.all()}
    assert (found[WEAK].level, found[WEAK].evidence) == (3, "The ball waited three times of four.")
    assert (found[STRONG].level, found[STRONG].not_seen) == (None, True)
    assert not evaluation.strengths.exists()
    assert evaluation.next_steps.count() == 1
    [second] = release_crew(
        observation=evaluation.observation, by=cast.admin, now=NEXT_DAY + timedelta(hours=1)
    )
    assert second.serial == 2 and state_of(letter) is State.SUPERSEDED
    levels = {r.criterion: r.level for r in snapshot_of(second).ratings}
    assert (levels[WEAK], levels[STRONG]) == (3, None)
    assert Release.objects.filter(evaluation__official=cast.other_official).count() == 1


def test_a_review_of_a_letter_that_is_no_longer_current_is_kept_and_changes_nothing(
    cast: Cast, letter: Release
) -> None:
    review = given(cast, letter)
    hand_in(amend(release=letter, reason="Wrong game.", by=cast.admin, now=OPEN_AT))
    release_crew(observation=letter.evaluation.observation, by=cast.admin, now=NEXT_DAY)
    close_review(
        review=review,
        lines=[ReviewInput(WEAK, Outcome.CORRECTED, "Three of four.", 3)],
        by=cast.other_observer,
        now=NEXT_DAY,
    )
    assert Evaluation.objects.get(official=cast.official).state == State.RELEASED
    assert letter_of(cast.official).serial == 2
    assert review.lines.count() == 1


def test_while_the_author_amends_a_review_can_correct_nothing(cast: Cast, letter: Release) -> None:
    review = given(cast, letter)
    amend(release=letter, reason="Wrong game.", by=cast.admin, now=OPEN_AT)
    with pytest.raises(Refused, match="being amended already"):
        close_review(
            review=review,
            lines=[ReviewInput(WEAK, Outcome.REMOVED, "Nothing on film.")],
            by=cast.other_observer,
            now=NEXT_DAY,
        )
    review.refresh_from_db()
    assert review.closed_at is None and not review.lines.exists()


def test_only_the_reviewer_closes_a_review_and_only_once(cast: Cast, letter: Release) -> None:
    review = given(cast, letter)
    stands = [ReviewInput(WEAK, Outcome.STANDS, "Same on film.")]
    for somebody in (cast.observer, cast.admin, cast.official):
        with pytest.raises(Refused):
            close_review(review=review, lines=stands, by=somebody, now=NEXT_DAY)
    close_review(review=review, lines=stands, by=cast.other_observer, now=NEXT_DAY)
    with pytest.raises(Refused):
        close_review(review=review, lines=stands, by=cast.other_observer, now=NEXT_DAY)


@pytest.mark.parametrize(
    "lines",
    [
        [],
        [ReviewInput("nonsense", Outcome.STANDS, "Seen.")],
        [ReviewInput(STRONG, Outcome.STANDS, "Seen.")],  # not marked by the official
        [ReviewInput(WEAK, Outcome.CORRECTED, "Seen.", 6)],
        [ReviewInput(WEAK, Outcome.STANDS, "Seen.")] * 2,
    ],
)
def test_a_review_that_does_not_fit_the_marked_lines_is_refused(
    cast: Cast, letter: Release, lines: list[ReviewInput]
) -> None:
    respond(release=letter, text="", lines={WEAK: "It waited."}, by=cast.official, now=OPEN_AT)
    review = given(cast, letter)
    with pytest.raises(Refused):
        close_review(review=review, lines=lines, by=cast.other_observer, now=NEXT_DAY)
    review.refresh_from_db()
    assert review.closed_at is None


@pytest.mark.parametrize(
    "line",
    [
        ReviewInput(WEAK, Outcome.CORRECTED, "Seen."),
        ReviewInput(WEAK, Outcome.STANDS, "Seen.", 3),
        ReviewInput(WEAK, Outcome.STANDS, "  "),
    ],
)
def test_a_correction_has_a_level_nothing_else_does_and_each_says_what_the_film_shows(
    cast: Cast, letter: Release, line: ReviewInput
) -> None:
    review = given(cast, letter)
    with pytest.raises(ValidationError):
        close_review(review=review, lines=[line], by=cast.other_observer, now=NEXT_DAY)


def test_a_review_goes_to_another_observer_as_long_as_it_is_open(
    cast: Cast, letter: Release
) -> None:
    review = given(cast, letter)
    third = member(cast.association, "Uma Pike", Role.OBSERVER)
    moved = assign_reviewer(review=review, reviewer=third, by=cast.admin, now=NEXT_DAY)
    assert moved.reviewer == third
    stands = [ReviewInput(WEAK, Outcome.STANDS, "Same on film.")]
    with pytest.raises(Refused):
        close_review(review=review, lines=stands, by=cast.other_observer, now=NEXT_DAY)
    close_review(review=review, lines=stands, by=third, now=NEXT_DAY)
    with pytest.raises(Refused, match="closed"):
        assign_reviewer(review=review, reviewer=third, by=cast.admin, now=NEXT_DAY)


def test_every_step_is_in_the_record(cast: Cast, letter: Release) -> None:
    acknowledge(release=letter, by=cast.official, now=OPEN_AT)
    answer(letter, cast.official)
    review = given(cast, letter)
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
