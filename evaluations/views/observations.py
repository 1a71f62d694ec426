"""Observations: sending observers, for admins; opening one and its facts, for its observer."""

from __future__ import annotations

from functools import partial

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from accounts.http import MemberRequest
from evaluations.forms.games import ReasonForm
from evaluations.forms.observations import AssignForm, FactsForm
from evaluations.queries.assignments import candidates
from evaluations.queries.games import games_for
from evaluations.queries.observations import (
    observation_sheet,
    observations_for,
    own_observations,
)
from evaluations.queries.work import observed
from evaluations.services.errors import Refused
from evaluations.services.observations import (
    assign_observer,
    change_facts,
    close_observation,
    open_observation,
    reassign_observer,
    reopen_observation,
)
from evaluations.views.paging import page_of
from evaluations.views.refusals import attempt


def observation_assign(request: MemberRequest, pk: int) -> HttpResponse:
    """Send an observer to a game."""
    game = get_object_or_404(games_for(request.member), pk=pk)
    form = AssignForm(candidates(request.member, game), request.POST or None)
    if form.is_valid():
        observer, kind = form.observer_chosen, form.kind_chosen
        now = timezone.now()
        try:
            assign_observer(game=game, observer=observer, kind=kind, by=request.member, now=now)
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("%(name)s is sent to this game.") % {"name": observer})
            return redirect("evaluations:game", request.association.slug, pk)
    context = {"form": form, "game": game}
    return render(request, "evaluations/observations/assign.html", context)


def own(request: MemberRequest) -> HttpResponse:
    """All that an observer was sent to, to do or done."""
    context = {"page": page_of(request, observed(request.member))}
    return render(request, "evaluations/observations/own.html", context)


def observation(request: MemberRequest, pk: int) -> HttpResponse:
    """One observation: what comes next, its facts, and the crew's forms."""
    found = get_object_or_404(observations_for(request.member), pk=pk)
    sheet = observation_sheet(found, request.member, timezone.now())
    context = {"observation": found, "sheet": sheet}
    return render(request, "evaluations/observations/observation.html", context)


def observation_open(request: MemberRequest, pk: int) -> HttpResponse:
    """Fix the rubric and begin the crew's forms."""
    found = get_object_or_404(own_observations(request.member), pk=pk)
    try:
        open_observation(observation=found, by=request.member, now=timezone.now())
    except Refused as refusal:
        messages.error(request, str(refusal))
    return redirect("evaluations:observation", request.association.slug, pk)


def observation_facts(request: MemberRequest, pk: int) -> HttpResponse:
    """What the observer says of the game as a whole."""
    found = get_object_or_404(own_observations(request.member), pk=pk)
    form = FactsForm(request.POST or None, initial=FactsForm.initial_from(found))
    if form.is_valid():
        try:
            change_facts(observation=found, by=request.member, now=timezone.now(), **form.facts)
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("Saved."))
            return redirect("evaluations:observation", request.association.slug, pk)
    sheet = observation_sheet(found, request.member, timezone.now())
    context = {"form": form, "observation": found, "sheet": sheet}
    return render(request, "evaluations/observations/facts.html", context)


def observation_close(request: MemberRequest, pk: int) -> HttpResponse:
    """Say what closing does, and do it."""
    found = get_object_or_404(observations_for(request.member), pk=pk)
    form = ReasonForm(request.POST or None)
    if form.is_valid():
        try:
            reason = form.cleaned_data["reason"]
            now = timezone.now()
            close_observation(observation=found, reason=reason, by=request.member, now=now)
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The observation is closed."))
            return redirect("evaluations:observation", request.association.slug, pk)
    sheet = observation_sheet(found, request.member, timezone.now())
    context = {"form": form, "observation": found, "sheet": sheet}
    return render(request, "evaluations/observations/close.html", context)


def observation_reopen(request: MemberRequest, pk: int) -> HttpResponse:
    """Take a closed observation up again."""
    found = get_object_or_404(observations_for(request.member), pk=pk)
    write = partial(reopen_observation, observation=found, by=request.member, now=timezone.now())
    attempt(request, write, _("The observation is open again."))
    return redirect("evaluations:observation", request.association.slug, pk)


def observation_reassign(request: MemberRequest, pk: int) -> HttpResponse:
    """Send another observer instead."""
    found = get_object_or_404(observations_for(request.member), pk=pk)
    observers = candidates(request.member, found.game, instead_of=found)
    form = AssignForm(observers, request.POST or None, initial={"kind": found.kind})
    if form.is_valid():
        observer, kind, by = form.observer_chosen, form.kind_chosen, request.member
        now = timezone.now()
        try:
            reassign_observer(observation=found, observer=observer, kind=kind, by=by, now=now)
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("%(name)s is sent to this game.") % {"name": observer})
            return redirect("evaluations:observation", request.association.slug, pk)
    sheet = observation_sheet(found, request.member, timezone.now())
    context = {"form": form, "observation": found, "sheet": sheet}
    return render(request, "evaluations/observations/reassign.html", context)
