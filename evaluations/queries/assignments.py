"""Who may be sent to a game, and why somebody can't be."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.db.models import Count, Q
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from accounts.models import Conflict, Membership, Role
from accounts.queries.people import people
from evaluations.core.release import State
from evaluations.models import Game, Observation
from evaluations.queries.games import game_day


@dataclass(frozen=True, slots=True)
class Candidate:
    """An observer, how often sent this season, and what is in the way ("": nothing)."""

    observer: Membership
    sent: int
    obstacle: str


def candidates(
    asker: Membership, game: Game, *, instead_of: Observation | None = None
) -> list[Candidate]:
    """Every active observer of the association, by name.

    To reassign `instead_of`, its own observer is asked as well as long as it isn't opened.
    """
    this_season = Q(
        observations__game__season=game.season,
        observations__game__cancelled_at__isnull=True,
        observations__closed_at__isnull=True,
    )
    observers = list(
        people(asker, role=Role.OBSERVER).annotate(sent=Count("observations", filter=this_season))
    )
    # What was closed can be opened again, so that it counts as assigned.
    counted = game.observations.all()
    if instead_of is not None and instead_of.opened_at is None:
        counted = counted.exclude(pk=instead_of.pk)
    assigned = set(counted.values_list("observer_id", flat=True))
    unfit = obstacles(game, observers)
    return [
        Candidate(
            observer=observer,
            sent=observer.sent,
            obstacle=unfit.get(observer.pk)
            or (_("is assigned to this game already") if observer.pk in assigned else ""),
        )
        for observer in observers
    ]


def obstacles(game: Game, observers: Iterable[Membership]) -> dict[int, str]:
    """For each observer's key, why he or she can't evaluate this crew on that day.

    Those who can are left out. The words follow a name: "belongs to this crew".
    """
    asked = list(observers)
    crew = {c.official_id: str(c.official) for c in game.crew.select_related("official__user")}
    conflicts = _conflicts(crew, asked)
    found = {o.pk: _obstacle(game, o, crew, conflicts) for o in asked}
    return {pk: reason for pk, reason in found.items() if reason}


def _obstacle(
    game: Game, observer: Membership, crew: Mapping[int, str], conflicts: Mapping[int, int]
) -> str:
    elsewhere = observer.association_id != game.season.association_id
    if elsewhere or Role.OBSERVER not in observer.roles:
        return _("is no active observer of the association")
    if observer.pk in crew:
        return _("belongs to this crew")
    if observer.pk in conflicts:
        return _("is in declared conflict with %(name)s") % {"name": crew[conflicts[observer.pk]]}
    day = game_day(game)
    if not observer.cleared_on(day):
        return _("is not cleared for %(day)s") % {"day": date_format(day, "DATE_FORMAT")}
    return ""


def _conflicts(crew: Mapping[int, str], observers: Iterable[Membership]) -> dict[int, int]:
    """Observer -> one of the crew. A conflict holds both ways, whoever declared it."""
    asked = [o.pk for o in observers]
    pairs = Conflict.objects.filter(
        Q(observer__in=asked, official__in=crew) | Q(official__in=asked, observer__in=crew)
    ).values_list("observer_id", "official_id")
    return {
        one: other
        for pair in pairs
        for one, other in (pair, pair[::-1])
        if one in asked and other in crew
    }


@dataclass(frozen=True, slots=True)
class Assigned:
    """An observation as the game's page lists it.

    `obstacle` came up after the assignment ("": none); `sent` of its `forms` are submitted.
    `stays` says that a form was submitted once, so that a cancelled game doesn't close it.
    """

    observation: Observation
    obstacle: str
    sent: int
    forms: int
    stays: bool


def assigned(game: Game) -> list[Assigned]:
    """The observations of a game, closed ones included, in the order of assignment."""
    state = "evaluations__state__in"
    now_in = Q(**{state: [State.SUBMITTED, State.RELEASED]})
    ever_in = Q(**{state: [State.SUBMITTED, State.RETURNED, State.RELEASED]})
    observations = list(
        game.observations.select_related("observer__user")
        .annotate(
            forms=Count("evaluations"),
            sent=Count("evaluations", filter=now_in),
            ever=Count("evaluations", filter=ever_in),
        )
        .order_by("assigned_at", "pk")
    )
    unfit = obstacles(game, [o.observer for o in observations if o.closed_at is None])
    return [
        Assigned(
            observation=o,
            obstacle=unfit.get(o.observer_id, "") if o.closed_at is None else "",
            sent=o.sent,
            forms=o.forms,
            stays=o.ever > 0,
        )
        for o in observations
    ]
