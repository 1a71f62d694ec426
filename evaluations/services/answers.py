"""What an official does with a letter, and the one review by another observer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.db.models import F
from django.urls import reverse
from django.utils.translation import gettext as _

from accounts.models import Membership
from accounts.services.audit import record
from evaluations.core.release import Action, State, Who, allowed
from evaluations.models import (
    Evaluation,
    Release,
    ReleaseEvent,
    Response,
    ResponseLine,
    Review,
    ReviewLine,
)
from evaluations.queries.evaluations import stands_to
from evaluations.queries.releases import (
    correction_open,
    is_current,
    respond_open,
    review_open,
    snapshot_of,
    state_of,
)
from evaluations.queries.reviews import lines_under_review, review_obstacles
from evaluations.services.errors import Refused
from evaluations.services.evaluations import take_back_to_work
from evaluations.services.mail import tell
from evaluations.services.releases import add_event, letter_path, lock_release


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

    The observer is told.

    Raises:
        Refused: answered before, too late, nothing said, or a criterion the letter lacks.
        django.core.exceptions.ValidationError: more than 2,000 characters, 500 of them a line.
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
    tell(
        member=release.evaluation.observation.observer,
        key=f"response-{release.pk}",
        path=letter_path(release),
        now=now,
    )
    return response


@transaction.atomic
def amend(*, release: Release, reason: str, by: Membership, now: datetime) -> Evaluation:
    """Give the evaluation of a letter back to its author, to amend it; see `take_back_to_work`.

    An admin may do so at any time, the author for 48 hours from the official's answer.

    Raises:
        Refused: no reason, not the newest letter of its evaluation, being amended already, or the
            author's 48 hours are not running.
    """
    evaluation = release.evaluation
    if evaluation.releases.filter(serial__gt=release.serial).exists():
        raise Refused(_("An amended letter has taken this one's place. Amend that one."))
    may_always = Who.ADMIN in stands_to(by, evaluation)
    if not may_always and not correction_open(release, now):
        raise Refused(
            _("You may correct within 48 hours of the official's answer. Ask an admin to amend it.")
        )
    taken = take_back_to_work(evaluation=evaluation, note=reason, by=by, now=now)
    author = evaluation.observation.observer
    if author.pk != by.pk:
        slug = author.association.slug
        tell(
            member=author,
            key=f"amend-{taken.pk}-{taken.version}",
            path=reverse("evaluations:evaluation_form", args=[slug, taken.pk]),
            now=now,
        )
    return taken


@transaction.atomic
def ask_review(*, release: Release, reason: str, by: Membership, now: datetime) -> Review:
    """Ask, once and within seven days, that another observer looks at the letter.

    Raises:
        Refused: asked before, too late, or the letter is not current.
        django.core.exceptions.ValidationError: no reason, or one of more than 500 characters.
    """
    _may(Action.ASK_REVIEW, release, by, now)
    if not review_open(release, now):
        raise Refused(_("A review can be asked for once, within seven days of the letter."))
    review = Review(release=release, reason=reason.strip(), asked_at=now)
    review.full_clean()
    review.save()
    _record(review, by, "review.asked", now)
    return review


@transaction.atomic
def assign_reviewer(
    *, review: Review, reviewer: Membership, by: Membership, now: datetime
) -> Review:
    """Give an open review to an observer, who is told.

    Raises:
        Refused: closed, not an admin or one of this crew, or the reviewer wrote the letter, is of
            the crew, in conflict or not cleared.
    """
    review = _locked(review)
    if review.closed_at is not None:
        raise Refused(_("This review is closed."))
    if Who.ADMIN not in stands_to(by, review.release.evaluation):
        raise Refused(_("This is a review of your own crew: another admin must assign it."))
    obstacle = review_obstacles(review.release, [reviewer], now).get(reviewer.pk)
    if obstacle:
        raise Refused(
            _("%(name)s can't review this letter: %(name)s %(reason)s.")
            % {"name": reviewer, "reason": obstacle}
        )
    review.reviewer, review.assigned_at = reviewer, now
    review.full_clean()
    review.save()
    _record(review, by, "review.assigned", now)
    tell(
        member=reviewer,
        key=f"review-{review.pk}-{reviewer.pk}",
        path=reverse("evaluations:review", args=[reviewer.association.slug, review.pk]),
        now=now,
    )
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
    """Store what the review found; the official is told.

    Corrected and removed lines of a letter that is still current go into the evaluation, which
    then waits for the release of its amended letter; nothing else in it is touched.

    Raises:
        Refused: not the reviewer, closed, lines that are not under review or left out, or the
            evaluation is being amended already.
        django.core.exceptions.ValidationError: no note, a level without a correction or the other
            way round.
    """
    review = _locked(review)
    if review.reviewer_id != by.pk or review.closed_at is not None:
        raise Refused(_("Only its reviewer can close an open review."))
    _refuse_other_lines(review, lines)
    for found in lines:
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
    if changes and is_current(review.release):
        _correct(review.release.evaluation, changes, by, now)
    _record(review, by, "review.closed", now)
    tell(
        member=review.release.evaluation.official,
        key=f"review-{review.pk}-closed",
        path=letter_path(review.release),
        now=now,
    )
    return review


def _refuse_other_lines(review: Review, lines: Sequence[ReviewInput]) -> None:
    under_review = {line.criterion: line for line in lines_under_review(review)}
    levels = snapshot_of(review.release).rubric.levels
    found = [line.criterion for line in lines]
    if len(set(found)) < len(found) or not set(found) <= set(under_review):
        raise Refused(_("This review does not fit the letter. Load the page again."))
    if any(line.level is not None and not 1 <= line.level <= levels for line in lines):
        raise Refused(_("A level must be 1 to %(levels)s.") % {"levels": levels})
    left_out = [line.label for key, line in under_review.items() if line.said and key not in found]
    if left_out:
        raise Refused(
            _("Say for each line that the official marked whether it stands: %(lines)s.")
            % {"lines": "; ".join(left_out)}
        )
    if not lines:
        raise Refused(_("Say for at least one line whether it stands."))


def _correct(
    evaluation: Evaluation, changes: Sequence[ReviewInput], by: Membership, now: datetime
) -> None:
    won = Evaluation.objects.filter(pk=evaluation.pk, state=State.RELEASED).update(
        version=F("version") + 1, state=State.SUBMITTED, submitted_at=now, saved_at=now
    )
    if not won:
        raise Refused(_("The evaluation is being amended already. Ask the admin first."))
    for change in changes:
        row = evaluation.ratings.get(criterion__key=change.criterion)
        row.level = change.level
        row.not_seen = change.level is None
        row.evidence = change.note.strip()
        row.reason = ""  # the author's, for the author's level
        row.full_clean(validate_unique=False)
        row.save()
    removed = [c.criterion for c in changes if c.level is None]
    evaluation.strengths.filter(criterion__key__in=removed).delete()
    evaluation.next_steps.filter(criterion__key__in=removed).delete()
    record(
        actor=by.user,
        association=by.association,
        action="evaluation.corrected",
        target=evaluation,
        now=now,
        details={"criteria": [c.criterion for c in changes]},
    )


def _may(action: Action, release: Release, by: Membership, now: datetime) -> None:
    """Refuse what can't be done with the letter; what can is nobody else's until it is done."""
    lock_release(release)
    if now < release.opens_at:
        raise Refused(_("This letter is not open yet."))
    if not allowed(action, state_of(release), stands_to(by, release.evaluation)):
        raise Refused(_("This can't be done with this letter now."))
    if action is Action.RESPOND and not respond_open(release, now):
        raise Refused(_("The time to respond has passed. Write to the association."))


def _locked(review: Review) -> Review:
    """The review as it is now; nobody else changes it until the transaction ends."""
    return (
        Review.objects.select_for_update(of=("self",))
        .select_related(
            "release__evaluation__observation__game__season__association",
            "release__evaluation__official__user",
            "release__evaluation__official__association",
        )
        .get(pk=review.pk)
    )


def _record(review: Review, by: Membership, action: str, now: datetime) -> None:
    record(actor=by.user, association=by.association, action=action, target=review, now=now)
