"""An evaluation while it is worked on: save, submit, return."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from django.db import transaction
from django.db.models import F
from django.urls import reverse
from django.utils.translation import gettext as _

from accounts.models import Membership
from accounts.services.audit import record
from evaluations.core import next_steps as core
from evaluations.core.release import RULES, Action, State, allowed
from evaluations.models import Evaluation
from evaluations.queries.evaluations import only_coaching_left, stands_to, worksheet
from evaluations.services.errors import NotReady, Refused, StaleVersion
from evaluations.services.evaluation_rows import CrewAnswers, RatingInput, Rows
from evaluations.services.mail import tell


@transaction.atomic
def save_ratings(
    *,
    evaluation: Evaluation,
    version: int,
    ratings: Sequence[RatingInput],
    flagged: str | None,
    by: Membership,
    now: datetime,
) -> Evaluation:
    """Store the given criteria's answers; the others stay as they are. Returns the new version.

    Raises:
        StaleVersion: `version` is not the stored one.
        Refused: not the author's, or not in a state to be written.
        django.core.exceptions.ValidationError: text over its limit.
    """
    saved = _claim(evaluation, version, Action.SAVE, by, now)
    rows = Rows(saved)
    rows.flag(flagged)
    rows.rate({answer.criterion: answer for answer in ratings})
    return saved


@transaction.atomic
def save_crew_ratings(
    *, answers: Sequence[CrewAnswers], by: Membership, now: datetime
) -> list[Evaluation]:
    """Store the answers about several officials, all of them or none; see `save_ratings`."""
    return [
        save_ratings(
            evaluation=one.evaluation,
            version=one.version,
            ratings=one.ratings,
            flagged=one.flagged,
            by=by,
            now=now,
        )
        for one in answers
    ]


@transaction.atomic
def save_words(
    *,
    evaluation: Evaluation,
    version: int,
    summary: str,
    strengths: Iterable[core.Strength],
    next_steps: Iterable[core.NextStep],
    by: Membership,
    now: datetime,
) -> Evaluation:
    """Store summary, strengths and next steps, in the given order, in place of what was there.

    Raises as `save_ratings` does.
    """
    saved = _claim(evaluation, version, Action.SAVE, by, now)
    saved.summary = summary
    saved.full_clean(validate_unique=False, validate_constraints=False)
    saved.save(update_fields=["summary"])
    saved.strengths.all().delete()
    saved.next_steps.all().delete()
    rows = Rows(saved)
    for order, strength in enumerate(strengths, start=1):
        rows.add_strength(order, strength)
    for order, step in enumerate(next_steps, start=1):
        rows.add_step(order, step)
    return saved


@transaction.atomic
def submit(*, evaluation: Evaluation, version: int, by: Membership, now: datetime) -> Evaluation:
    """Hand the form to the admins.

    Raises:
        NotReady: with every problem, from top to bottom.
        Refused: too late for a total (see `only_coaching_left`).
    """
    saved = _claim(evaluation, version, Action.SUBMIT, by, now)
    found = worksheet(saved).problems
    if found or not saved.observation.talk:
        raise NotReady(_("The form can't be submitted yet."), found)
    if only_coaching_left(saved, now):
        raise Refused(
            _(
                "The seven days for a form with a total are over: it can only be submitted as "
                "coaching. Make it coaching, or ask an admin to reassign or close it."
            )
        )
    saved.submitted_at = now
    saved.save(update_fields=["submitted_at"])
    _record(saved, by, "evaluation.submitted", now)
    return saved


@transaction.atomic
def make_coaching(
    *, evaluation: Evaluation, version: int, by: Membership, now: datetime
) -> Evaluation:
    """Take the total out of an evaluation that is too late for one: it is coaching and stays so.

    Raises:
        Refused: the form is in time, so that its total is due.
    """
    if not only_coaching_left(evaluation, now):
        raise Refused(_("This form is in time. It is submitted with its total."))
    saved = _claim(evaluation, version, Action.SAVE, by, now)
    saved.kind = Evaluation.Kind.COACHING
    saved.save(update_fields=["kind"])
    _record(saved, by, "evaluation.made_coaching", now)
    return saved


@transaction.atomic
def return_to_observer(
    *, evaluation: Evaluation, note: str, by: Membership, now: datetime
) -> Evaluation:
    """Give a submitted form back with a note that says what is missing; its observer is told.

    Raises:
        Refused: no note, or the form is not waiting for release.
    """
    if not note.strip():
        raise Refused(_("Say in the note what the observer should change."))
    saved = _claim(evaluation, evaluation.version, Action.RETURN, by, now, note=note.strip())
    _record(saved, by, "evaluation.returned", now)
    author = saved.observation.observer
    tell(
        member=author,
        key=f"returned-{saved.pk}-{saved.version}",
        path=reverse("evaluations:evaluation_form", args=[author.association.slug, saved.pk]),
        now=now,
    )
    return saved


@transaction.atomic
def take_back_to_work(
    *, evaluation: Evaluation, note: str, by: Membership, now: datetime
) -> Evaluation:
    """Open a released evaluation again, to amend it. Its letter stays current until then.

    Raises:
        Refused: no note, or not released.
    """
    if not note.strip():
        raise Refused(_("Say in the note why the letter is amended."))
    saved = _claim(evaluation, evaluation.version, Action.AMEND, by, now, note=note.strip())
    _record(saved, by, "evaluation.amending", now)
    return saved


def _claim(
    evaluation: Evaluation,
    version: int,
    action: Action,
    by: Membership,
    now: datetime,
    note: str | None = None,
) -> Evaluation:
    """Move version and state on in one conditional update; whoever comes second is refused."""
    stored = Evaluation.objects.select_related(
        "observation__game", "observation__rubric__season__association", "official__user"
    ).get(pk=evaluation.pk)
    if not allowed(action, State(stored.state), stands_to(by, stored)):
        raise Refused(
            _("This can't be done: the evaluation is %(state)s.")
            % {"state": stored.get_state_display()}
        )
    # Closing gives up what was not submitted; a letter that went out can still be amended.
    if stored.observation.closed_at is not None and not stored.releases.exists():
        raise Refused(_("This can't be done: an admin has closed the observation."))
    rule = RULES[action]
    changes = {"version": F("version") + 1, "saved_at": now}
    if rule.after is not None:
        changes["state"] = rule.after
    if note is not None:
        changes["returned_note"] = note
    won = Evaluation.objects.filter(
        pk=stored.pk, version=version, state__in=[s.value for s in rule.before]
    ).update(**changes)
    if not won:
        raise StaleVersion(
            _("This form was saved elsewhere in the meantime. What you typed is kept here.")
        )
    stored.refresh_from_db(fields=["version", "saved_at", "state", "returned_note"])
    return stored


def _record(evaluation: Evaluation, by: Membership, action: str, now: datetime) -> None:
    record(
        actor=by.user,
        association=by.association,
        action=action,
        target=evaluation,
        now=now,
        details={"version": evaluation.version, "state": evaluation.state},
    )
