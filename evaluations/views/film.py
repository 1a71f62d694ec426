"""Seconds from film: whose film it is, the video desk, and the same as a form without scripts."""

from __future__ import annotations

from csp.constants import NONE
from csp.decorators import csp_replace, csp_update
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from accounts.http import MemberRequest, posted
from evaluations.forms.eyes import EyesForm, FilmForm
from evaluations.models import FilmStatement, FloorSketch
from evaluations.queries.film import desk_data, film_sheet, statement_of
from evaluations.queries.log_pages import is_writable
from evaluations.services.errors import Refused
from evaluations.services.floor import keep_eyes, state_film
from evaluations.views.logs import LOG, own_log
from evaluations.views.refusals import sentences
from evaluations.voice import SiteVoice

FILM, DESK, EYES = "evaluations:film", "evaluations:film_desk", "evaluations:eyes"


def film(request: MemberRequest, pk: int) -> HttpResponse:
    """Whose film it is and with what permission, said before it is opened."""
    log = own_log(request, pk)
    initial = FilmForm.initial_from(statement_of(log), request.GET.get("ball"))
    form = FilmForm(posted(request), initial=initial)
    if form.is_valid():
        said, now = form.cleaned_data, timezone.now()
        owner = FilmStatement.Owner(said["owner"])
        permission, by = said["permission"], request.member
        try:
            state_film(log=log, owner=owner, permission=permission, by=by, now=now)
            messages.success(request, _("Saved: whose film it is."))
            if said["ball"]:
                return redirect(DESK, request.association.slug, pk, said["ball"])
            return redirect(LOG, request.association.slug, pk)
        except (Refused, ValidationError) as refusal:
            form.add_error(None, sentences(refusal))
    writable = is_writable(log.observation)
    context = {"form": form, "observation": log.observation, "writable": writable}
    return render(request, "evaluations/floor/film.html", context)


# A film is an address that the browser made for a file on this device. While it is open nothing is
# to leave, and the policy leaves scripts no way out. The decorators' annotations know no arguments
# but the request.
@csp_replace({"connect-src": [NONE]})
@csp_update({"media-src": ["blob:"]})  # type: ignore[arg-type]
def film_desk(request: MemberRequest, pk: int, number: int) -> HttpResponse:
    """Mark a film that stays on this device."""
    return _eyes(request, pk, number, DESK)


def eyes(request: MemberRequest, pk: int, number: int) -> HttpResponse:
    """The same times and spans, typed."""
    return _eyes(request, pk, number, EYES)


def _eyes(request: MemberRequest, pk: int, number: int, page: str) -> HttpResponse:
    log, voice = own_log(request, pk), SiteVoice(request.user.language)
    row = get_object_or_404(log.dead_balls, number=number, removed_at=None)
    sheet, slug = film_sheet(log, row, voice), request.association.slug
    if sheet.writable and sheet.statement is None and request.method == "GET":
        return redirect(f"{reverse(FILM, args=[slug, pk])}?ball={number}")
    form = EyesForm(sheet, posted(request))
    if form.is_valid():
        try:
            keep_eyes(dead_ball=row, by=request.member, now=timezone.now(), **form.times)
            messages.success(request, _("The times are saved."))
            return redirect(page, slug, pk, number)
        except (Refused, ValidationError) as refusal:
            form.add_error(None, sentences(refusal))
    desk = desk_data(sheet, voice) if page == DESK and sheet.writable else None
    context = {"form": form, "sheet": sheet, "observation": log.observation, "desk": desk}
    context["moments"] = FloorSketch.Moment.choices
    return render(request, "evaluations/floor/eyes.html", context)
