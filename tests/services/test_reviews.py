"""The one review of a letter by another observer, line by line."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from django.core.exceptions import ValidationError

from accounts.models import Conflict, Membership, Role
from evaluations.core.release import State
from evaluations.models import Evaluation, Mail, Rating, Release, Response, Review, ReviewLine
from evaluations.queries.releases import season_snapshots, snapshot_of, state_of
from evaluations.queries.reviews import lines_under_review, review_candidates
from evaluations.queries.work import reviews_to_do
from evaluations.services.answers import (
    ReviewInput,
    amend,
    ask_review,
    assign_reviewer,
    close_review,
    respond,
)
from evaluations.services.errors import Refused
from evaluations.services.releases import release_crew
from tests.factories.accounts import NOW, Cast, member
from tests.factories.releases import (
    COMMENTED,
    OPEN_AT,
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
    Rating.objects.filter(criterion__key=WEAK).update(reason="The author's, for level 2.")
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
    assert found[WEAK].reason == ""
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
