"""The association's seasons, for its admins."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from accounts.http import MemberRequest
from evaluations.forms.games import SeasonForm
from evaluations.queries.games import season_list as all_seasons
from evaluations.queries.seasons import seasons_for
from evaluations.services.errors import Refused
from evaluations.services.seasons import change_season, enter_season


def season_list(request: MemberRequest) -> HttpResponse:
    """The seasons, the newest first."""
    seasons = all_seasons(request.member)
    return render(request, "evaluations/games/season_list.html", {"seasons": seasons})


def season_new(request: MemberRequest) -> HttpResponse:
    """Begin a season."""
    form = SeasonForm(request.POST or None)
    if form.is_valid():
        try:
            enter_season(
                association=request.association,
                by=request.member,
                now=timezone.now(),
                **form.cleaned_data,
            )
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The season is entered."))
            return redirect("evaluations:season_list", request.association.slug)
    return render(request, "evaluations/games/season.html", {"form": form})


def season_edit(request: MemberRequest, pk: int) -> HttpResponse:
    """Rename a season, or move its days."""
    season = get_object_or_404(seasons_for(request.member), pk=pk)
    name = season.name
    form = SeasonForm(request.POST or None, instance=season)
    if form.is_valid():
        try:
            change_season(season=season, by=request.member, now=timezone.now(), **form.cleaned_data)
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The season is changed."))
            return redirect("evaluations:season_list", request.association.slug)
    return render(request, "evaluations/games/season.html", {"form": form, "name": name})
