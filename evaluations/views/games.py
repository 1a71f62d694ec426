"""The games of the association, for its admins."""

from __future__ import annotations

from functools import partial

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from accounts.http import MemberRequest
from evaluations.forms.games import (
    CrewForm,
    DetailsForm,
    GameFilter,
    NewGameForm,
    ReasonForm,
    WhenForm,
)
from evaluations.forms.observations import AssignForm
from evaluations.queries.assignments import assigned, candidates
from evaluations.queries.games import crew_of, games_for, local_day, officiates
from evaluations.queries.seasons import current_season
from evaluations.services.errors import Refused
from evaluations.services.games import (
    cancel_game,
    change_crew,
    change_game,
    enter_game,
    move_game,
    restore_game,
)
from evaluations.views.paging import page_of
from evaluations.views.refusals import attempt


def game_list(request: MemberRequest) -> HttpResponse:
    """The games in the order of play, narrowed down."""
    today = local_day(timezone.now(), request.association.time_zone)
    season = current_season(request.association, today)
    form = GameFilter(request.member, request.GET, season=season)
    context = {
        "form": form,
        "page": page_of(request, form.narrow()),
        "today": today,
        "season": season,
    }
    return render(request, "evaluations/games/game_list.html", context)


def game_new(request: MemberRequest) -> HttpResponse:
    """Enter a game with its crew."""
    today = local_day(timezone.now(), request.association.time_zone)
    season = current_season(request.association, today)
    form = NewGameForm(request.member, request.POST or None, initial={"season": season})
    if form.is_valid():
        try:
            game = enter_game(**form.game, by=request.member, now=timezone.now())
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The game is entered. Send an observer, if you like."))
            return redirect("evaluations:game", request.association.slug, game.pk)
    return render(request, "evaluations/games/game_new.html", {"form": form, "season": season})


def game(request: MemberRequest, pk: int) -> HttpResponse:
    """One game: its crew, who observes it, whom to send."""
    game = get_object_or_404(games_for(request.member), pk=pk)
    context = {
        "game": game,
        "crew": crew_of(game),
        "own_crew": officiates(request.member, game),
        "assigned": assigned(game),
        "form": AssignForm(candidates(request.member, game)),
    }
    return render(request, "evaluations/games/game.html", context)


def game_edit(request: MemberRequest, pk: int) -> HttpResponse:
    """Correct what a game is called."""
    game = get_object_or_404(games_for(request.member), pk=pk)
    form = DetailsForm(request.POST or None, initial=DetailsForm.initial_from(game))
    if form.is_valid():
        change_game(game=game, by=request.member, now=timezone.now(), **form.cleaned_data)
        messages.success(request, _("The game is changed."))
        return redirect("evaluations:game", request.association.slug, pk)
    return render(request, "evaluations/games/game_edit.html", {"form": form, "game": game})


def game_move(request: MemberRequest, pk: int) -> HttpResponse:
    """Put a game at another time."""
    game = get_object_or_404(games_for(request.member), pk=pk)
    initial = WhenForm.initial_from(game)
    form = WhenForm(request.member, request.POST or None, initial=initial)
    if form.is_valid():
        try:
            move_game(game=game, plays_at=form.plays_at, by=request.member, now=timezone.now())
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The game is moved."))
            return redirect("evaluations:game", request.association.slug, pk)
    return render(request, "evaluations/games/game_move.html", {"form": form, "game": game})


def game_crew(request: MemberRequest, pk: int) -> HttpResponse:
    """Put another crew on a game."""
    game = get_object_or_404(games_for(request.member), pk=pk)
    initial = CrewForm.initial_from(game)
    form = CrewForm(request.member, request.POST or None, game=game, initial=initial)
    if form.is_valid():
        try:
            change_crew(game=game, crew=form.crew, by=request.member, now=timezone.now())
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The crew is changed."))
            return redirect("evaluations:game", request.association.slug, pk)
    return render(request, "evaluations/games/game_crew.html", {"form": form, "game": game})


def game_cancel(request: MemberRequest, pk: int) -> HttpResponse:
    """Say what cancelling does, and do it."""
    game = get_object_or_404(games_for(request.member), pk=pk)
    form = ReasonForm(request.POST or None)
    if form.is_valid():
        try:
            reason = form.cleaned_data["reason"]
            cancel_game(game=game, reason=reason, by=request.member, now=timezone.now())
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The game is cancelled. It can be put on again below."))
            return redirect("evaluations:game", request.association.slug, pk)
    context = {"form": form, "game": game, "assigned": assigned(game)}
    return render(request, "evaluations/games/game_cancel.html", context)


def game_restore(request: MemberRequest, pk: int) -> HttpResponse:
    """Put a cancelled game on again."""
    game = get_object_or_404(games_for(request.member), pk=pk)
    write = partial(restore_game, game=game, by=request.member, now=timezone.now())
    attempt(request, write, _("The game is on again."))
    return redirect("evaluations:game", request.association.slug, pk)
