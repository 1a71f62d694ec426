"""What an official does with a letter, and the one review by another observer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from accounts.models import Conflict, Membership, Role
from accounts.services.audit import record
from evaluations.core.release import Action, State, allowed
from evaluations.models import (
    CrewMember,
    Evaluation,
    Release,
    ReleaseEvent,
    Response,
    ResponseLine,
    Review,
    ReviewLine,
)
from evaluations.queries.evaluations import stands_to
from evaluations.queries.releases import snapshot_of, state_of
from evaluations.services.errors import Refused
from evaluations.services.releases import add_event

REVIEW_WITHIN = timedelta(days=7)
CORRECT_WITHIN = timedelta(hours=48)


@transaction.atomic
def acknowledge(*, release: Release, by: Membership, now: datetime) -> ReleaseEvent:
    """ "I have read it": this isn't agreement.

    Raises:
        Refused: read before, answered, or no longer current.
    """
    _may(Action.ACKNOWLEDGE, release, by, now)
    return add_event(release, ReleaseEvent.Kind.ACKNOWLEDGED, by, now)


@transaction.atomic
def respond(
    *, release: Release, text: str, lines: Mapping[str, str], by: Membership, now: datetime
) -> Response:
    """The official's answer, once: a text, and "this is not what happened" by criterion.

    Raises:
        Refused: answered before, too late, nothing said, or a criterion the letter lacks.
    """
    _may(Action.RESPOND, release, by, now)
    said = {key: words.strip() for key, words in lines.items() if words.strip()}
    if not text.strip() and not said:
        raise Refused(_("Write an answer, or mark at least one line and say what happened."))
    if not set(said) <= set(snapshot_of(release).rubric.area_of):
        raise Refused(_("This answer does not fit the letter. Load the page again."))
    response = Response(release=release, text=text.strip(), answered_at=now)
    response.full_clean()
    response.save()
    for criterion, words in said.items():
        line = ResponseLine(response=response, criterion=criterion, text=words)
        line.full_clean()
        line.save()
    add_event(release, ReleaseEvent.Kind.RESPONDED, by, now)
    return response


def correction_open(response: Response, now: datetime) -> bool:
    """Whether the observer may still correct without being asked by an admin."""
    return now <= response.answered_at + CORRECT_WITHIN


@transaction.atomic
def ask_review(*, release: Release, reason: str, by: Membership, now: datetime) -> Review:
    """Ask, once and within seven days, that another observer looks at the letter.

    Raises:
        Refused: asked before, later than that, or the letter is not current.
    """
    _may(Action.ASK_REVIEW, release, by, now)
    if now > release.opens_at + REVIEW_WITHIN:
        raise Refused(_("A review can be asked for within seven days of the letter."))
    if Review.objects.filter(release=release).exists():
        raise Refused(_("A review of this letter was asked for before."))
    review = Review(release=release, reason=reason.strip(), asked_at=now)
    review.full_clean()
    review.save()
    _record(review, by, "review.asked", now)
    return review


def may_review(observer: Membership, release: Release) -> bool:
    """Whether a member can review a letter: another observer, not of the crew, unconflicted."""
    observation = release.evaluation.observation
    crew = CrewMember.objects.filter(game=observation.game).values_list("official", flat=True)
    return (
        Role.OBSERVER in observer.roles
        and observer.association_id == release.evaluation.official.association_id
        and observer.pk != observation.observer_id
        and observer.pk not in set(crew)
        and not Conflict.objects.filter(observer=observer, official__in=crew).exists()
    )


@transaction.atomic
def assign_reviewer(
    *, review: Review, reviewer: Membership, by: Membership, now: datetime
) -> Review:
    """Give an open review to an observer.

    Raises:
        Refused: closed, or the reviewer wrote the letter, is of the crew or in conflict.
    """
    if review.closed_at is not None:
        raise Refused(_("This review is closed."))
    if review.release.evaluation.official_id == by.pk:
        raise Refused(_("This is a review of your own letter: another admin must assign it."))
    if not may_review(reviewer, review.release):
        raise Refused(_("A review needs another observer, not of the crew and not in conflict."))
    review.reviewer = reviewer
    review.assigned_at = now
    review.full_clean()
    review.save()
    _record(review, by, "review.assigned", now)
    return review


@dataclass(frozen=True, slots=True)
class ReviewInput:
    """A reviewer's finding for one line; `level` only with a correction."""

    criterion: str
    outcome: ReviewLine.Outcome
    note: str
    level: int | None = None


@transaction.atomic
def close_review(
    *, review: Review, lines: Sequence[ReviewInput], by: Membership, now: datetime
) -> Review:
    """Store what the review found. Corrected and removed lines go into the evaluation, which
    then waits for the release of its amended letter; nothing else in it is touched.

    Raises:
        Refused: not the reviewer, closed, or the evaluation is being amended already.
    """
    if review.reviewer_id != by.pk or review.closed_at is not None:
        raise Refused(_("Only its reviewer can close an open review."))
    if not lines:
        raise Refused(_("Say for at least one line whether it stands."))
    levels = snapshot_of(review.release).rubric.levels
    for found in lines:
        if found.level is not None and not 1 <= found.level <= levels:
            raise Refused(_("A level must be 1 to %(levels)s.") % {"levels": levels})
        line = ReviewLine(
            review=review,
            criterion=found.criterion,
            outcome=found.outcome,
            level=found.level,
            note=found.note.strip(),
        )
        line.full_clean()
        line.save()
    review.closed_at = now
    review.save(update_fields=["closed_at"])
    changes = [f for f in lines if f.outcome != ReviewLine.Outcome.STANDS]
    if changes:
        _amend(review.release.evaluation, changes, now)
    _record(review, by, "review.closed", now)
    return review


def _amend(evaluation: Evaluation, changes: Sequence[ReviewInput], now: datetime) -> None:
    won = Evaluation.objects.filter(pk=evaluation.pk, state=State.RELEASED).update(
        version=F("version") + 1, state=State.SUBMITTED, submitted_at=now, saved_at=now
    )
    if not won:
        raise Refused(_("The evaluation is being amended already. Ask the admin first."))
    for change in changes:
        row = evaluation.ratings.get(criterion__key=change.criterion)
        row.level = change.level
        row.not_seen = change.level is None
        if change.note.strip():
            row.evidence = change.note.strip()
        row.full_clean(validate_unique=False)
        row.save()
    removed = [c.criterion for c in changes if c.level is None]
    evaluation.strengths.filter(criterion__key__in=removed).delete()
    evaluation.next_steps.filter(criterion__key__in=removed).delete()


def _may(action: Action, release: Release, by: Membership, now: datetime) -> None:
    if not allowed(action, state_of(release), stands_to(by, release.evaluation)):
        raise Refused(_("This can't be done with this letter now."))
    if now < release.opens_at:
        raise Refused(_("This letter is not open yet."))
    if action is Action.RESPOND and now.date() > release.respond_until:
        raise Refused(_("The time to respond has passed. Write to the association."))


def _record(review: Review, by: Membership, action: str, now: datetime) -> None:
    record(actor=by.user, association=by.association, action=action, target=review, now=now)
