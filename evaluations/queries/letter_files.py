"""Which letters a folder of files should hold."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from django.db.models import QuerySet

from accounts.models import Association
from evaluations.models import Release, Season
from evaluations.queries.games import local_day
from evaluations.queries.releases import RELATED, current
from evaluations.queries.seasons import current_season

CURRENT = "current"
"""Names the season that today lies in, or the last that has begun."""

DASH = "\N{EN DASH}"


def seasons_named(name: str, associations: Iterable[Association], now: datetime) -> list[Season]:
    """The season of this name of each association that has one.

    A hyphen stands for a dash as well, which few keyboards have: 2026-27 finds 2026–27.
    """
    if name == CURRENT:
        found = (current_season(a, local_day(now, a.time_zone)) for a in associations)
        return [season for season in found if season is not None]
    spellings = {name, name.replace("-", DASH)}
    return list(Season.objects.filter(name__in=spellings, association__in=associations))


def letters_to_file(seasons: Sequence[Season], now: datetime) -> QuerySet[Release]:
    """The current letters that their officials can read by now, in the order of the games."""
    of_seasons = Release.objects.filter(
        evaluation__observation__game__season__in=seasons, opens_at__lte=now
    )
    return (
        current(of_seasons)
        .select_related(*RELATED)
        .order_by("evaluation__observation__game__plays_at", "pk")
    )


def count_closed(seasons: Sequence[Season], now: datetime) -> int:
    """How many current letters nobody but their writers and admins can read yet."""
    closed = Release.objects.filter(
        evaluation__observation__game__season__in=seasons, opens_at__gt=now
    )
    return current(closed).count()
