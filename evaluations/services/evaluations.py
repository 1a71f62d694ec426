"""An evaluation while it is worked on: save, submit, return."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from accounts.models import Membership
from accounts.services.audit import record
from evaluations.core import next_steps as core
from evaluations.core.games import Kind
from evaluations.core.release import RULES, Action, State, allowed
from evaluations.models import Criterion, Evaluation, NextStep, Rating, Strength
from evaluations.queries.evaluations import stands_to, worksheet
from evaluations.services.errors import NotReady, Refused, StaleVersion

LATE_AFTER = timedelta(days=7)
"""From then on a form can only become coaching, be reassigned, or be closed with a reason."""


@dataclass(frozen=True, slots=True)
class RatingInput:
    """What the form holds for one criterion; with neither level nor `not_seen` it is open."""

    criterion: str
    level: int | None = None
    not_seen: bool = False
    comment: str = ""
    dead_ball: int | None = None
    evidence: str = ""


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
        django.core.exceptions.ValidationError: text over its limit, a level the rubric lacks.
    """
    saved = _claim(evaluation, version, Action.SAVE, by, now)
    criteria = _criteria(saved)
    saved.flagged = criteria.get(flagged) if flagged else None
    saved.save(update_fields=["flagged"])
    known = {r.criterion.key: r for r in saved.ratings.select_related("criterion")}
    for answer in ratings:
        _store(saved, criteria, known, answer)
    return saved


def _store(
    evaluation: Evaluation,
    criteria: Mapping[str, Criterion],
    known: Mapping[str, Rating],
    answer: RatingInput,
) -> None:
    criterion = criteria.get(answer.criterion)
    rubric = evaluation.observation.rubric
    if criterion is None or rubric is None or (answer.level or 1) > rubric.levels:
        raise Refused(_("This answer does not fit the rubric of the form. Load the page again."))
    row = known.get(answer.criterion) or Rating(evaluation=evaluation, criterion=criterion)
    row.level = answer.level
    row.not_seen = answer.not_seen
    row.comment = answer.comment
    row.dead_ball = answer.dead_ball
    row.evidence = answer.evidence
    row.full_clean(validate_unique=row.pk is None, validate_constraints=True)
    row.save()


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
    criteria = _criteria(saved)
    saved.summary = summary
    saved.full_clean(validate_unique=False, validate_constraints=False)
    saved.save(update_fields=["summary"])
    saved.strengths.all().delete()
    saved.next_steps.all().delete()
    for order, strength in enumerate(strengths, start=1):
        _store_strength(saved, criteria, order, strength)
    for order, step in enumerate(next_steps, start=1):
        _store_step(saved, criteria, order, step)
    return saved


def _store_strength(
    evaluation: Evaluation, criteria: Mapping[str, Criterion], order: int, value: core.Strength
) -> None:
    row = Strength(
        evaluation=evaluation,
        order=order,
        criterion=criteria[value.criterion],
        seen=value.seen,
        dead_ball=value.dead_ball,
        raised=value.raised,
    )
    row.full_clean()
    row.save()


def _store_step(
    evaluation: Evaluation, criteria: Mapping[str, Criterion], order: int, value: core.NextStep
) -> None:
    row = NextStep(
        evaluation=evaluation,
        order=order,
        criterion=criteria[value.criterion],
        seen=value.seen,
        standard=value.standard,
        why=value.why,
        try_this=value.try_this,
        how_we_check=value.check,
        dead_ball=value.dead_ball,
        raised=value.raised,
    )
    row.full_clean()
    row.save()


@transaction.atomic
def submit(*, evaluation: Evaluation, version: int, by: Membership, now: datetime) -> Evaluation:
    """Hand the form to the admins.

    Raises:
        NotReady: with every problem, from top to bottom.
        Refused: later than seven days after the game, unless the evaluation is coaching.
    """
    saved = _claim(evaluation, version, Action.SUBMIT, by, now)
    found = worksheet(saved).problems
    if found or not saved.observation.talk:
        raise NotReady(_("The form can't be submitted yet."), found)
    if saved.kind == Kind.SCORED and now > saved.observation.game.plays_at + LATE_AFTER:
        raise Refused(
            _(
                "More than seven days after the game a form can only be submitted as coaching. "
                "Ask an admin to reassign or close it, or make it coaching."
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
    """Take the total out of an unfinished evaluation: it becomes coaching and stays so."""
    saved = _claim(evaluation, version, Action.SAVE, by, now)
    saved.kind = Evaluation.Kind.COACHING
    saved.save(update_fields=["kind"])
    _record(saved, by, "evaluation.made_coaching", now)
    return saved


@transaction.atomic
def return_to_observer(
    *, evaluation: Evaluation, note: str, by: Membership, now: datetime
) -> Evaluation:
    """Give a submitted form back with a note that says what is missing.

    Raises:
        Refused: no note, or the form is not waiting for release.
    """
    if not note.strip():
        raise Refused(_("Say in the note what the observer should change."))
    saved = _claim(evaluation, evaluation.version, Action.RETURN, by, now, note=note.strip())
    _record(saved, by, "evaluation.returned", now)
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


def _criteria(evaluation: Evaluation) -> dict[str, Criterion]:
    of_rubric = Criterion.objects.filter(area__rubric=evaluation.observation.rubric)
    return {c.key: c for c in of_rubric}


def _record(evaluation: Evaluation, by: Membership, action: str, now: datetime) -> None:
    record(
        actor=by.user,
        association=by.association,
        action=action,
        target=evaluation,
        now=now,
        details={"version": evaluation.version, "state": evaluation.state},
    )
