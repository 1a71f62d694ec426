"""Seasons and games as those who ask may see them."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

from django.db.models import Count, Exists, OuterRef, Prefetch, Q, QuerySet

from accounts.models import Membership, Role
from evaluations.models import CrewMember, Game, Observation, Season
from evaluations.queries.seasons import seasons_for

RUNS_ALL = frozenset({Role.ADMIN, Role.BOARD})


def season_list(member: Membership) -> QuerySet[Season]:
    """The seasons, the newest first, each with `games_on`: its games that aren't cancelled."""
    standing = Q(games__cancelled_at__isnull=True)
    return seasons_for(member).annotate(games_on=Count("games", filter=standing))


def games_for(member: Membership) -> QuerySet[Game]:
    """Admins and board members see every game, others those that they observe or whistle."""
    games = Game.objects.filter(season__association=member.association)
    if not member.roles & RUNS_ALL:
        observed = Observation.objects.filter(game=OuterRef("pk"), observer=member)
        whistled = CrewMember.objects.filter(game=OuterRef("pk"), official=member)
        games = games.filter(Exists(observed) | Exists(whistled))
    return games.select_related("season__association")


def crew_of(game: Game) -> list[CrewMember]:
    """The crew with its people, the referee first."""
    return list(game.crew.select_related("official__user"))


def officiates(member: Membership, game: Game) -> bool:
    """Whether the member belongs to the crew, and so reads nothing that is said about it."""
    return game.crew.filter(official=member).exists()


def find_games(
    member: Membership,
    *,
    season: Season | None,
    since: date | None = None,
    text: str = "",
    unobserved: bool = False,
) -> QuerySet[Game]:
    """Games in the order of play, with crew and observers loaded (`watchers`, none closed).

    `since` is a day of the association's calendar, `text` stands in a team, the site, the level
    of play or an official's name; `unobserved` leaves games that are on and have no observer.
    """
    open_ones = Observation.objects.filter(closed_at__isnull=True).select_related("observer__user")
    games = games_for(member).prefetch_related(
        Prefetch("crew", CrewMember.objects.select_related("official__user")),
        Prefetch("observations", open_ones, to_attr="watchers"),
    )
    if season is not None:
        games = games.filter(season=season)
    if since is not None:
        games = games.filter(plays_at__gte=day_begins(since, member.association.time_zone))
    if unobserved:
        watched = Observation.objects.filter(game=OuterRef("pk"), closed_at__isnull=True)
        games = games.filter(~Exists(watched), cancelled_at__isnull=True)
    return games.filter(_mentions(text)) if text else games


def _mentions(text: str) -> Q:
    named = CrewMember.objects.filter(game=OuterRef("pk"), official__user__name__icontains=text)
    columns = ("home", "visitors", "site", "level_of_play")
    found = Q(Exists(named))
    for column in columns:
        found |= Q(**{f"{column}__icontains": text})
    return found


def day_begins(day: date, time_zone: str) -> datetime:
    """Midnight, as a day begins where the association is, in UTC."""
    return datetime.combine(day, time(), tzinfo=ZoneInfo(time_zone)).astimezone(UTC)


def local_day(moment: datetime, time_zone: str) -> date:
    """The day of the calendar where the association is."""
    return moment.astimezone(ZoneInfo(time_zone)).date()


def game_day(game: Game) -> date:
    """The day that the game is played on, where it is played."""
    return local_day(game.plays_at, game.season.association.time_zone)
