"""The live page of a dead-ball log: one whistle after another, by its forms or by its script."""

from __future__ import annotations

import uuid
from datetime import datetime
from typing import Protocol

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.forms import Form
from django.http import HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.template.loader import render_to_string
from django.utils import timezone

from accounts.http import MemberRequest
from accounts.models import Membership
from evaluations.forms.live_log import NoteForm, WhistleForm, WhistleIdForm
from evaluations.models import DeadBall, DeadBallLog
from evaluations.queries.live_log import LiveSheet, live_sheet
from evaluations.queries.live_readings import readings, standing
from evaluations.queries.log_pages import own_logs
from evaluations.queries.logs import log_of
from evaluations.queries.observations import own_observations
from evaluations.services.errors import Refused
from evaluations.services.live_log import log_tap, note, put_back, take_back
from evaluations.voice import SiteVoice

UNPROCESSABLE = 422
PARTS = ("last", "details")


class Deed(Protocol):
    """What can be done to one whistle of a log."""

    def __call__(
        self, *, log: DeadBallLog, client_id: uuid.UUID, by: Membership, now: datetime
    ) -> DeadBall: ...


def live_log(request: MemberRequest, pk: int) -> HttpResponse:
    """The page; without a log it leads to where one is begun."""
    observation = get_object_or_404(own_observations(request.member), pk=pk)
    log = log_of(observation)
    if log is None:
        return redirect("evaluations:log_begin", request.association.slug, pk)
    voice = SiteVoice(request.user.language)
    return _page(request, WhistleForm(live_sheet(log, voice), voice))


def live_whistle(request: MemberRequest, pk: int) -> HttpResponse:
    """Log one whistle."""
    log, voice = _own(request, pk), SiteVoice(request.user.language)
    form = WhistleForm(live_sheet(log, voice), voice, request.POST)
    if form.is_valid():
        client_id, now = form.cleaned_data["client_id"], timezone.now()
        try:
            log_tap(log=log, tap=form.tap, client_id=client_id, by=request.member, now=now)
            return _done(request, log, now)
        except (Refused, ValidationError) as refusal:
            form.add_error(None, _reason(refusal))
    if _by_script(request):
        return _unprocessable(_errors(form))
    return _page(request, form)


def live_undo(request: MemberRequest, pk: int) -> HttpResponse:
    """Take the last whistle back."""
    return _do(request, pk, take_back)


def live_put_back(request: MemberRequest, pk: int) -> HttpResponse:
    """Put the whistle that was taken back into the log again."""
    return _do(request, pk, put_back)


def live_note(request: MemberRequest, pk: int) -> HttpResponse:
    """Write a note to the last whistle."""
    log, form = _own(request, pk), NoteForm(request.POST, auto_id="note_%s")
    if not form.is_valid():
        if _by_script(request):
            return _unprocessable(_errors(form))
        voice = SiteVoice(request.user.language)
        return _page(request, WhistleForm(live_sheet(log, voice), voice), form)

    def noted(*, log: DeadBallLog, client_id: uuid.UUID, by: Membership, now: datetime) -> DeadBall:
        text = form.cleaned_data["note"]
        return note(log=log, client_id=client_id, text=text, by=by, now=now)

    return _do(request, pk, noted)


def _do(request: MemberRequest, pk: int, deed: Deed) -> HttpResponse:
    log, form = _own(request, pk), WhistleIdForm(request.POST)
    now = timezone.now()
    try:
        if form.is_valid():
            client_id = form.cleaned_data["client_id"]
            deed(log=log, client_id=client_id, by=request.member, now=now)
    except Refused as refusal:
        if _by_script(request):
            return _unprocessable(str(refusal))
        messages.error(request, str(refusal))
    return _done(request, log, now)


def _own(request: MemberRequest, pk: int) -> DeadBallLog:
    return get_object_or_404(own_logs(request.member), observation=pk)


def _by_script(request: MemberRequest) -> bool:
    return request.headers.get("Accept") == "application/json"


def _reason(refusal: Refused | ValidationError) -> str:
    return " ".join(refusal.messages) if isinstance(refusal, ValidationError) else str(refusal)


def _errors(form: Form) -> str:
    return " ".join(str(error) for errors in form.errors.values() for error in errors)


def _unprocessable(message: str) -> JsonResponse:
    return JsonResponse({"message": message}, status=UNPROCESSABLE)


def _done(request: MemberRequest, log: DeadBallLog, now: datetime) -> HttpResponse:
    """Back to the page; its script gets what is new on it."""
    if not _by_script(request):
        return redirect("evaluations:live_log", request.association.slug, log.observation_id)
    sheet = live_sheet(log, SiteVoice(request.user.language))
    context = {"sheet": sheet, "note_form": _note_form(sheet)}
    parts = {
        part: render_to_string(f"evaluations/live/{part}.html", context, request) for part in PARTS
    }
    return JsonResponse({"saved_at": now, "standing": standing(sheet), "parts": parts})


def _page(
    request: MemberRequest, form: WhistleForm, note_form: NoteForm | None = None
) -> HttpResponse:
    sheet, voice = form.sheet, SiteVoice(request.user.language)
    context = {
        "form": form,
        "sheet": sheet,
        "observation": sheet.log.observation,
        "note_form": note_form or _note_form(sheet),
        "readings": readings(sheet, voice),
        "standing": standing(sheet),
    }
    return render(request, "evaluations/live/page.html", context)


def _note_form(sheet: LiveSheet) -> NoteForm | None:
    if sheet.last is None:
        return None
    initial = {"client_id": sheet.last.row.client_id, "note": sheet.last.note}
    return NoteForm(initial=initial, auto_id="note_%s")
