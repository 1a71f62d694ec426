"""Observations: who is sent, opening one, its facts, closing it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from django.db import transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from accounts.models import Membership
from accounts.services.audit import record
from evaluations.core.games import Difficulty, Kind, Seen, Talk
from evaluations.core.release import State
from evaluations.models import DeadBall, DeadBallLog, Game, Observation
from evaluations.queries.assignments import obstacles
from evaluations.queries.games import local_day
from evaluations.queries.observations import IN_WORK, OPENS_BEFORE, rubric_in_force
from evaluations.services.crew_forms import begin_forms
from evaluations.services.errors import Refused

# Before an observer has said anything about the game.
_NOTHING_SAID: Mapping[str, Any] = {
    "opened_at": None,
    "rubric": None,
    "seen": Seen.WHOLE,
    "part": "",
    "difficulty": Difficulty.ORDINARY,
    "talk": "",
    "raised": "",
    "note_to_admin": "",
}


@transaction.atomic
def assign_observer(
    *, game: Game, observer: Membership, kind: Kind, by: Membership, now: datetime
) -> Observation:
    """Send an observer to a game. The form is due a set time after the game or, for a game that
    was played already (seen on film), after the assignment.

    Raises:
        Refused: cancelled, assigned already, or the observer can't evaluate this crew that day.
    """
    game = lock_game(game)
    _refuse_cancelled(game)
    _refuse_unfit(game, observer)
    _refuse_assigned(game, observer)
    observation = Observation(
        game=game,
        observer=observer,
        kind=kind,
        assigned_at=now,
        due_at=due_at(game, assigned_at=now),
    )
    _store(observation, by, "observation.assigned", now, observer=observer.pk, kind=kind)
    return observation


@transaction.atomic
def reassign_observer(
    *, observation: Observation, observer: Membership, kind: Kind, by: Membership, now: datetime
) -> Observation:
    """Send another observer instead, or the same one on other terms before it is opened.

    What the first one had written, forms, log and facts, is removed: nobody signs another's words.

    Raises:
        Refused: a form was submitted, it is closed, or as `assign_observer` does.
    """
    stored = _locked(observation)
    _refuse_own_crew(stored, by)
    _refuse_cancelled(stored.game)
    _refuse_closed(stored)
    if stored.evaluations.exclude(state=State.DRAFT).exists():
        raise Refused(_("A form of this observation was submitted, so that its observer stays."))
    before = stored.observer_id
    if observer.pk != before:
        _refuse_assigned(stored.game, observer)
    elif stored.opened_at is not None:
        raise Refused(_("%(name)s has opened the observation already.") % {"name": observer})
    _refuse_unfit(stored.game, observer)
    dead_balls = DeadBall.objects.filter(log__observation=stored).count()
    log_rows, _by_model = DeadBallLog.objects.filter(observation=stored).delete()
    removed, _by_model = stored.evaluations.all().delete()
    for name, value in _NOTHING_SAID.items():
        setattr(stored, name, value)
    stored.observer, stored.kind, stored.assigned_at = observer, kind, now
    stored.due_at = due_at(stored.game, assigned_at=now)
    details = {
        "observer_before": before,
        "observer": observer.pk,
        "kind": kind,
        "rows_removed": removed + log_rows,
        "dead_balls_removed": dead_balls,
    }
    _store(stored, by, "observation.reassigned", now, **details)
    return stored


@transaction.atomic
def open_observation(*, observation: Observation, by: Membership, now: datetime) -> Observation:
    """Fix the rubric and begin a form for each of the crew; a second time changes nothing.

    It is opened against the edition that held on the game's day. If none was published by then,
    the newest one is taken and the observation becomes coaching.

    Raises:
        Refused: not the observer's, too early, closed, no rubric, or the observer can't evaluate
            this crew any more.
    """
    stored = _locked(observation)
    _refuse_others(stored, by)
    if stored.opened_at is not None:
        return stored
    game = stored.game
    _refuse_cancelled(game)
    _refuse_closed(stored)
    _refuse_unfit(game, stored.observer)
    _refuse_too_early(game, now)
    rubric = rubric_in_force(game)
    if rubric is None or rubric.published_at is None:
        raise Refused(_("The season has no published rubric yet. An admin must publish one first."))
    if rubric.published_at > game.plays_at:
        stored.kind = Kind.COACHING
    stored.rubric, stored.opened_at = rubric, now
    _store(stored, by, "observation.opened", now, rubric=rubric.pk, kind=stored.kind)
    begin_forms(stored)
    return stored


@transaction.atomic
def change_facts(
    *,
    observation: Observation,
    seen: Seen,
    part: str,
    difficulty: Difficulty,
    talk: Talk | None,
    raised: str,
    note_to_admin: str,
    by: Membership,
    now: datetime,
) -> Observation:
    """What the observer says about the game as a whole; `talk` None: not said yet.

    Raises:
        Refused: not the observer's, not open, every form submitted, or facts that don't agree.
        django.core.exceptions.ValidationError: a text over its limit.
    """
    stored = _locked(observation)
    _refuse_others(stored, by)
    _refuse_closed(stored)
    if stored.opened_at is None:
        raise Refused(_("Open the observation first."))
    if not stored.evaluations.filter(state__in=IN_WORK).exists():
        raise Refused(_("Every form of this observation is submitted, so that its facts stay."))
    if seen == Seen.PART and not part.strip():
        raise Refused(_("Say which part of the game you saw."))
    if talk in (Talk.DECLINED, Talk.IMPOSSIBLE) and raised.strip():
        raise Refused(_("Without a talk nothing was raised. Choose “held”, or empty that field."))
    stored.seen, stored.difficulty, stored.talk = seen, difficulty, talk or ""
    stored.part = part.strip() if seen == Seen.PART else ""
    stored.raised, stored.note_to_admin = raised.strip(), note_to_admin.strip()
    details = {"seen": seen, "difficulty": difficulty, "talk": stored.talk}
    _store(stored, by, "observation.facts_changed", now, **details)
    return stored


@transaction.atomic
def close_observation(
    *, observation: Observation, reason: str, by: Membership, now: datetime
) -> Observation:
    """Give up what isn't submitted; what is stays. Undone by `reopen_observation`.

    Raises:
        Refused: no reason, closed already, every form submitted, or the admin's own crew.
    """
    stored = _locked(observation)
    _refuse_own_crew(stored, by)
    _refuse_closed(stored)
    if not reason.strip():
        raise Refused(_("Say why the observation is closed. The observer reads it."))
    if stored.opened_at is not None and not stored.evaluations.filter(state__in=IN_WORK).exists():
        raise Refused(_("Every form of this observation is submitted; there is nothing to close."))
    stored.closed_at, stored.closed_reason = now, reason.strip()
    _store(stored, by, "observation.closed", now)
    return stored


@transaction.atomic
def reopen_observation(*, observation: Observation, by: Membership, now: datetime) -> Observation:
    """Take a closed observation up again, as it was.

    Raises:
        Refused: not closed, the game is cancelled, the observer can't evaluate this crew any
            more, or the admin's own crew.
    """
    stored = _locked(observation)
    _refuse_own_crew(stored, by)
    _refuse_cancelled(stored.game)
    if stored.closed_at is None:
        raise Refused(_("The observation isn't closed."))
    _refuse_unfit(stored.game, stored.observer)
    stored.closed_at, stored.closed_reason = None, ""
    _store(stored, by, "observation.reopened", now)
    return stored


def due_at(game: Game, *, assigned_at: datetime) -> datetime:
    """When the form of an observation is due."""
    hours = game.season.association.due_hours
    return max(game.plays_at, assigned_at) + timedelta(hours=hours)


def lock_game(game: Game) -> Game:
    """The row as it is now. It is the lock for its crew and its observations as well."""
    games = Game.objects.select_for_update(of=("self",)).select_related("season__association")
    return games.get(pk=game.pk)


def _locked(observation: Observation) -> Observation:
    game = lock_game(observation.game)
    stored = Observation.objects.select_related("observer__user").get(pk=observation.pk)
    stored.game = game
    return stored


def _refuse_cancelled(game: Game) -> None:
    if game.cancelled_at is not None:
        raise Refused(_("The game is cancelled."))


def _refuse_closed(observation: Observation) -> None:
    if observation.closed_at is not None:
        raise Refused(
            _("The observation is closed: %(reason)s") % {"reason": observation.closed_reason}
        )


def _refuse_unfit(game: Game, observer: Membership) -> None:
    reason = obstacles(game, [observer]).get(observer.pk)
    if reason:
        raise Refused(
            _("%(name)s can't observe this game: %(name)s %(reason)s.")
            % {"name": observer, "reason": reason}
        )


def _refuse_assigned(game: Game, observer: Membership) -> None:
    if game.observations.filter(observer=observer).exists():
        raise Refused(_("%(name)s is assigned to this game already.") % {"name": observer})


def _refuse_others(observation: Observation, by: Membership) -> None:
    if by.pk != observation.observer_id:
        raise Refused(_("Only the observer who was sent can do this."))


def _refuse_own_crew(observation: Observation, by: Membership) -> None:
    if observation.game.crew.filter(official=by).exists():
        raise Refused(_("You belong to this crew: another admin must do this."))


def _refuse_too_early(game: Game, now: datetime) -> None:
    opens_from = game.plays_at - OPENS_BEFORE
    if now < opens_from:
        day = local_day(opens_from, game.season.association.time_zone)
        raise Refused(
            _("The observation opens a day before the game, on %(day)s.")
            % {"day": date_format(day, "DATE_FORMAT")}
        )


def _store(
    observation: Observation, by: Membership, action: str, now: datetime, **details: Any
) -> None:
    observation.full_clean()
    observation.save()
    record(
        actor=by.user,
        association=by.association,
        action=action,
        target=observation,
        now=now,
        details=details,
    )
