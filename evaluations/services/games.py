"""Games: entering, changing, moving, cancelling one, and changing its crew."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import Q
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from accounts.models import Membership, Role
from accounts.services.audit import record
from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.release import State
from evaluations.models import CrewMember, Evaluation, Game, Observation, Season
from evaluations.queries.assignments import obstacles
from evaluations.queries.games import game_day
from evaluations.services.crew_forms import follow_crew, remove_empty_forms
from evaluations.services.errors import Refused
from evaluations.services.observations import due_at, lock_game

Crew = Mapping[CrewPosition, Membership]


@transaction.atomic
def enter_game(
    *,
    season: Season,
    plays_at: datetime,
    level_of_play: str,
    home: str,
    visitors: str,
    site: str,
    crew: Crew,
    by: Membership,
    now: datetime,
) -> Game:
    """Put a game into the season; whether two or three officiate follows from `crew`.

    Raises:
        Refused: a crew that isn't one, or a day outside the season.
        django.core.exceptions.ValidationError: a name that is missing or too long.
    """
    _refuse_broken_crew(crew)
    _refuse_strangers(season, crew.values())
    game = Game(
        season=season,
        plays_at=plays_at,
        level_of_play=level_of_play.strip(),
        home=home.strip(),
        visitors=visitors.strip(),
        site=site.strip(),
        crew_size=len(crew),
    )
    _refuse_outside_season(game)
    _store(game, by, "game.entered", now, crew=_keys(crew))
    _seat(game, crew)
    return game


@transaction.atomic
def change_game(
    *,
    game: Game,
    level_of_play: str,
    home: str,
    visitors: str,
    site: str,
    by: Membership,
    now: datetime,
) -> Game:
    """Correct what the game is called. Letters that are out keep what they said."""
    stored = lock_game(game)
    stored.level_of_play, stored.site = level_of_play.strip(), site.strip()
    stored.home, stored.visitors = home.strip(), visitors.strip()
    _store(stored, by, "game.changed", now)
    return stored


@transaction.atomic
def move_game(*, game: Game, plays_at: datetime, by: Membership, now: datetime) -> Game:
    """Put the game at another time; `moved_from` keeps the time before.

    The forms of observations of which nothing is submitted are due anew.

    Raises:
        Refused: cancelled, the same time, or a day outside the season.
    """
    stored = lock_game(game)
    _refuse_cancelled(stored)
    if plays_at == stored.plays_at:
        raise Refused(_("The game is at this time already. Choose another day or time."))
    stored.moved_from, stored.plays_at = stored.plays_at, plays_at
    _refuse_outside_season(stored)
    _store(stored, by, "game.moved", now, moved_from=stored.moved_from, plays_at=plays_at)
    for observation in _without_submitted(stored):
        observation.due_at = due_at(stored, assigned_at=observation.assigned_at)
        observation.save(update_fields=["due_at"])
    return stored


@transaction.atomic
def change_crew(*, game: Game, crew: Crew, by: Membership, now: datetime) -> Game:
    """Put another crew on the game. In opened observations the empty form of who leaves is
    removed and one is begun for who comes.

    Raises:
        Refused: cancelled, a crew that isn't one, something was written about who leaves, or an
            observer of the game belongs to the new crew or is in conflict with it.
    """
    stored = lock_game(game)
    _refuse_cancelled(stored)
    _refuse_broken_crew(crew)
    before = set(stored.crew.values_list("official_id", flat=True))
    coming = [official for official in crew.values() if official.pk not in before]
    _refuse_strangers(stored.season, coming)
    leaving = before - {official.pk for official in crew.values()}
    remove_empty_forms(stored, leaving)
    stored.crew.all().delete()
    stored.crew_size = len(crew)
    _store(stored, by, "game.crew_changed", now, crew_before=sorted(before), crew=_keys(crew))
    _seat(stored, crew)
    _refuse_unfit_observers(stored)
    follow_crew(stored)
    return stored


@transaction.atomic
def cancel_game(*, game: Game, reason: str, by: Membership, now: datetime) -> Game:
    """Cancel a game and close its observations of which nothing is submitted, for `reason`.

    Undone by `restore_game`.

    Raises:
        Refused: cancelled already, or no reason.
    """
    stored = lock_game(game)
    _refuse_cancelled(stored)
    if not reason.strip():
        raise Refused(_("Say why the game is cancelled. Its observers read it."))
    stored.cancelled_at = now
    closed = list(_without_submitted(stored))
    for observation in closed:
        observation.closed_at, observation.closed_reason = now, reason.strip()
        observation.full_clean()
        observation.save(update_fields=["closed_at", "closed_reason"])
    _store(stored, by, "game.cancelled", now, observations_closed=[o.pk for o in closed])
    return stored


@transaction.atomic
def restore_game(*, game: Game, by: Membership, now: datetime) -> Game:
    """Put a cancelled game on again, with the observations that were closed with it.

    Raises:
        Refused: the game isn't cancelled.
    """
    stored = lock_game(game)
    if stored.cancelled_at is None:
        raise Refused(_("The game isn't cancelled."))
    closed_with_it = stored.observations.filter(closed_at=stored.cancelled_at)
    reopened = list(closed_with_it.values_list("pk", flat=True))
    closed_with_it.update(closed_at=None, closed_reason="")
    stored.cancelled_at = None
    _store(stored, by, "game.restored", now, observations_reopened=reopened)
    return stored


def _without_submitted(game: Game) -> list[Observation]:
    """Observations that are open and of which no form ever left the observer's desk."""
    handed_in = Evaluation.objects.filter(observation__game=game).exclude(state=State.DRAFT)
    return list(
        game.observations.filter(closed_at__isnull=True).exclude(
            pk__in=handed_in.values("observation")
        )
    )


def _seat(game: Game, crew: Crew) -> None:
    for position, official in crew.items():
        member = CrewMember(game=game, official=official, position=position)
        member.full_clean()
        member.save()


def _refuse_unfit_observers(game: Game) -> None:
    """Whoever has written about this crew, or will, may not belong to it or be in conflict."""
    counted = game.observations.filter(Q(closed_at__isnull=True) | Q(opened_at__isnull=False))
    observers = {o.observer_id: o.observer for o in counted.select_related("observer__user")}
    for pk, reason in obstacles(game, observers.values()).items():
        raise Refused(
            _("%(name)s, who observes this game, %(reason)s. Reassign that observation first.")
            % {"name": observers[pk], "reason": reason}
        )


def _refuse_broken_crew(crew: Crew) -> None:
    if frozenset(crew) not in {frozenset(positions) for positions in POSITIONS.values()}:
        raise Refused(
            _("A crew is a referee and an umpire, or a referee, an umpire 1 and an umpire 2.")
        )
    if len({official.pk for official in crew.values()}) < len(crew):
        raise Refused(_("The same official stands in the crew twice."))


def _refuse_strangers(season: Season, officials: Iterable[Membership]) -> None:
    for official in officials:
        if official.association_id != season.association_id or Role.OFFICIAL not in official.roles:
            raise Refused(
                _("%(name)s is no active official of the association.") % {"name": official}
            )


def _refuse_outside_season(game: Game) -> None:
    season = game.season
    if not season.starts_on <= game_day(game) <= season.ends_on:
        raise Refused(
            _("The season %(season)s runs from %(first)s to %(last)s. Choose a day within it.")
            % {
                "season": season,
                "first": date_format(season.starts_on, "DATE_FORMAT"),
                "last": date_format(season.ends_on, "DATE_FORMAT"),
            }
        )


def _refuse_cancelled(game: Game) -> None:
    if game.cancelled_at is not None:
        raise Refused(_("The game is cancelled. Put it on again first."))


def _keys(crew: Crew) -> dict[str, int]:
    return {position.value: official.pk for position, official in crew.items()}


def _store(game: Game, by: Membership, action: str, now: datetime, **details: Any) -> None:
    game.full_clean()
    game.save()
    record(
        actor=by.user,
        association=by.association,
        action=action,
        target=game,
        now=now,
        details=details,
    )
