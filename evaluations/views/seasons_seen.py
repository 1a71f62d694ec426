"""A season seen by an official (the own one) and by admins and the board (who was seen)."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from accounts.http import MemberRequest
from accounts.models import Membership
from evaluations.models import Season
from evaluations.queries.games import local_day
from evaluations.queries.releases import letters_to, releases_for
from evaluations.queries.season_pictures import season_picture
from evaluations.queries.seasons import (
    chosen_season,
    officials_seen,
    own_season,
    seasons_for,
)
from evaluations.views.paging import page_of
from evaluations.voice import SiteVoice


def own(request: MemberRequest) -> HttpResponse:
    """All own letters of a season, the line of totals, the areas over time."""
    now = timezone.now()
    season = _season(request, now)
    context: dict[str, Any] = {"seasons": seasons_for(request.member), "season": season}
    if season is not None:
        mine = own_season(request.member, season, now)
        letters = letters_to(request.member, now).filter(
            evaluation__observation__game__season=season
        )
        context |= {"own": mine, "page": page_of(request, letters)}
        if mine.points:
            context["picture"] = season_picture(mine, SiteVoice(request.user.language))
    return render(request, "evaluations/season/own.html", context)


def officials(request: MemberRequest) -> HttpResponse:
    """Who was seen how often, the least seen first."""
    season = _season(request, timezone.now())
    seen = officials_seen(request.member, season) if season else []
    context = {
        "seasons": seasons_for(request.member),
        "season": season,
        "page": page_of(request, seen),
    }
    return render(request, "evaluations/season/officials.html", context)


def official(request: MemberRequest, pk: int) -> HttpResponse:
    """The letters of one official, for those who may read them."""
    now = timezone.now()
    members = Membership.objects.filter(association=request.association, is_official=True)
    person = get_object_or_404(members.select_related("user"), pk=pk)
    letters = releases_for(request.member, now).filter(evaluation__official=person)
    context = {"person": person, "page": page_of(request, letters.order_by("-released_at", "-pk"))}
    return render(request, "evaluations/season/official.html", context)


def _season(request: MemberRequest, now: datetime) -> Season | None:
    """The season that was asked for, else the one under way where the association is."""
    today = local_day(now, request.association.time_zone)
    return chosen_season(request.member, request.GET.get("season", ""), today)
