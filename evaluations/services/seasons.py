"""Seasons: entering one, changing its name or its days."""

from __future__ import annotations

from datetime import date, datetime

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from accounts.models import Association, Membership
from accounts.services.audit import record
from evaluations.models import Season
from evaluations.queries.games import local_day
from evaluations.services.errors import Refused


@transaction.atomic
def enter_season(
    *,
    association: Association,
    name: str,
    starts_on: date,
    ends_on: date,
    by: Membership,
    now: datetime,
) -> Season:
    """Begin a season of an association.

    Raises:
        Refused: there is a season of this name.
        django.core.exceptions.ValidationError: it ends before it starts, or a name too long.
    """
    season = Season(
        association=association, name=name.strip(), starts_on=starts_on, ends_on=ends_on
    )
    _store(season, by, "season.entered", now)
    return season


@transaction.atomic
def change_season(
    *, season: Season, name: str, starts_on: date, ends_on: date, by: Membership, now: datetime
) -> Season:
    """Rename a season or move its days; every game of it must stay within.

    Raises as `enter_season` does, and Refused for games that would be outside.
    """
    kept = Season.objects.select_for_update(of=("self",)).select_related("association")
    changed = kept.get(pk=season.pk)
    changed.name = name.strip()
    changed.starts_on, changed.ends_on = starts_on, ends_on
    _refuse_games_outside(changed)
    _store(changed, by, "season.changed", now)
    return changed


def _refuse_games_outside(season: Season) -> None:
    zone = season.association.time_zone
    days = (local_day(moment, zone) for moment in season.games.values_list("plays_at", flat=True))
    outside = sum(not season.starts_on <= day <= season.ends_on for day in days)
    if outside:
        raise Refused(
            ngettext(
                "%(count)s game of the season would be outside of these days. Move it first.",
                "%(count)s games of the season would be outside of these days. Move them first.",
                outside,
            )
            % {"count": outside}
        )


def _store(season: Season, by: Membership, action: str, now: datetime) -> None:
    namesakes = Season.objects.filter(association=season.association, name=season.name)
    if namesakes.exclude(pk=season.pk).exists():
        raise Refused(_("There is a season of this name already. Choose another name."))
    season.full_clean()
    season.save()
    record(
        actor=by.user,
        association=season.association,
        action=action,
        target=season,
        now=now,
        details={"starts_on": season.starts_on, "ends_on": season.ends_on},
    )
