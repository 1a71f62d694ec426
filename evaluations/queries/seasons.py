"""A season as a whole: which one it is, who was seen, an official's own line."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Count, Max, QuerySet

from accounts.models import Association, Membership
from evaluations.core.release import SeasonValue
from evaluations.core.season import SeasonPoint, season_value
from evaluations.models import CrewMember, Release, Season
from evaluations.queries.releases import current, season_point, season_snapshots


def current_season(association: Association, today: date) -> Season | None:
    """The season that `today` lies in, else the last that has begun, else the first to come."""
    seasons = Season.objects.filter(association=association)
    begun = seasons.filter(starts_on__lte=today).order_by("-starts_on").first()
    return begun or seasons.order_by("starts_on").first()


def seasons_for(member: Membership) -> QuerySet[Season]:
    return Season.objects.filter(association=member.association)


@dataclass(frozen=True, slots=True)
class OwnSeason:
    """An official's season: its scored evaluations in order, and their mean with its margin.

    `area_labels` names the areas, by key, in the language of the latest letter.
    """

    season: Season
    points: tuple[SeasonPoint, ...]
    value: SeasonValue
    area_labels: dict[str, str]


def own_season(member: Membership, season: Season, now: datetime) -> OwnSeason:
    """What an official sees of the own season by now; nothing is compared with anybody."""
    snapshots = season_snapshots(member, season, open_by=now)
    points = tuple(season_point(s) for s in snapshots)
    labels = {key: label for s in snapshots for key, label in s.wording.areas.items()}
    return OwnSeason(season, points, season_value(points), labels)


@dataclass(frozen=True, slots=True)
class OfficialSeen:
    """How often an official was seen in a season: games whistled or to come, current letters."""

    official: Membership
    games: int
    letters: int
    last_seen_at: datetime | None


def officials_seen(member: Membership, season: Season) -> list[OfficialSeen]:
    """The association's officials, who was seen least first.

    Games and letters are counted apart and put together here: joined in one question to the
    database, each game of an official would be looked at once for each letter.
    """
    officials = Membership.objects.filter(
        association=member.association, is_official=True, active=True
    ).select_related("user")
    # A letter that is being amended holds until the amended one is released.
    of_season = current(Release.objects.filter(evaluation__observation__game__season=season))
    letters = {
        official: (count, last)
        for official, count, last in of_season.order_by()
        .values_list("evaluation__official")
        .annotate(Count("pk"), Max("evaluation__observation__game__plays_at"))
    }
    games = dict(
        CrewMember.objects.filter(game__season=season, game__cancelled_at__isnull=True)
        .order_by()
        .values_list("official")
        .annotate(Count("pk"))
    )
    seen = [OfficialSeen(o, games.get(o.pk, 0), *letters.get(o.pk, (0, None))) for o in officials]
    return sorted(seen, key=lambda one: (one.letters, one.official.user.name))


def chosen_season(member: Membership, asked: str, today: date) -> Season | None:
    """The season that was asked for by key, or the current one."""
    if asked.isdecimal():
        found = seasons_for(member).filter(pk=int(asked)).first()
        if found is not None:
            return found
    return current_season(member.association, today)
