"""A crew side by side with its log, and moving a miss to another of the crew."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from accounts.http import MemberRequest, posted
from evaluations.forms.misses import MoveMissForm
from evaluations.queries.crew_view import crew_view as side_by_side
from evaluations.queries.crew_view import move_sheet
from evaluations.queries.logs import logs_for
from evaluations.queries.observations import observations_for, own_observations
from evaluations.services.errors import Refused
from evaluations.services.misses import move_miss, take_back
from evaluations.voice import SiteVoice


def crew_view(request: MemberRequest, pk: int) -> HttpResponse:
    """The crew's evaluations in columns, and below them the misses of the log that they share."""
    found = get_object_or_404(observations_for(request.member), pk=pk)
    view = side_by_side(found, request.member, SiteVoice(request.user.language))
    return render(request, "evaluations/crew/view.html", {"observation": found, "view": view})


def miss_move(request: MemberRequest, pk: int, number: int, rule: str) -> HttpResponse:
    """Say, with a reason, whose a crew's miss was."""
    found = get_object_or_404(own_observations(request.member), pk=pk)
    sheet = move_sheet(found, number, rule, SiteVoice(request.user.language))
    if sheet is None:
        raise Http404
    form = MoveMissForm(sheet.others, posted(request))
    if form.is_valid():
        place: dict[str, Any] = {"log": sheet.log, "number": number, "rule": rule}
        try:
            move_miss(**place, **form.move, by=request.member, now=timezone.now())
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The miss is moved, and counted anew."))
            return redirect("evaluations:crew_view", request.association.slug, pk)
    context = {"form": form, "observation": found, "sheet": sheet}
    return render(request, "evaluations/crew/move.html", context)


def miss_take_back(request: MemberRequest, pk: int, number: int, rule: str) -> HttpResponse:
    """Let a moved miss belong again to whom it belonged before."""
    log = get_object_or_404(logs_for(request.member), observation=pk)
    try:
        take_back(log=log, number=number, rule=rule, by=request.member, now=timezone.now())
    except Refused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, _("The move is taken back, and counted anew."))
    return redirect("evaluations:crew_view", request.association.slug, pk)
