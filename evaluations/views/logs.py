"""The dead-ball log of an observation: begin it, read it, change how it is kept, end it."""

from __future__ import annotations

import json
from functools import partial

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from accounts.http import MemberRequest, posted
from evaluations.core.log_document import log_document
from evaluations.forms.logs import ExchangeForm, TermsForm
from evaluations.forms.versions import posted_version
from evaluations.models import DeadBallLog
from evaluations.queries.film import film_documents
from evaluations.queries.log_pages import (
    crew_of,
    is_writable,
    log_sheet,
    options_to_agree,
    own_logs,
    talk_sheet,
)
from evaluations.queries.logs import log_of, log_value, logs_for
from evaluations.queries.observations import own_observations
from evaluations.services.errors import Refused
from evaluations.services.log_edits import change_terms, end_log, exchange_officials, resume_log
from evaluations.services.logs import begin_log
from evaluations.views.refusals import attempt, sentences
from evaluations.voice import SiteVoice

LOG, OBSERVATION = "evaluations:log", "evaluations:observation"


def log(request: MemberRequest, pk: int) -> HttpResponse:
    """The table of dead balls; to somebody who has none yet, the way to begin it."""
    found = logs_for(request.member).filter(observation=pk).first()
    if found is None:
        if not own_observations(request.member).filter(pk=pk).exists():
            raise Http404
        return redirect("evaluations:log_begin", request.association.slug, pk)
    sheet = log_sheet(found, request.member, SiteVoice(request.user.language))
    undo = ExchangeForm(sheet.crew, request.GET)
    just_now = sheet.changeable and posted_version(request.GET) == found.version
    exchanged = undo if just_now and undo.is_valid() else None
    context = {"sheet": sheet, "observation": found.observation, "exchanged": exchanged}
    return render(request, "evaluations/log/log.html", context)


def log_file(request: MemberRequest, pk: int) -> HttpResponse:
    """The log in the documented format, with what was drawn and marked on film beside it."""
    found = own_log(request, pk)
    document = {**log_document(log_value(found)), "floor": film_documents(found)}
    text = json.dumps(document, indent=1, ensure_ascii=False)
    day = found.observation.game.plays_at
    name = f'attachment; filename="log-{day:%Y-%m-%d}-{pk}.json"'
    return HttpResponse(
        text, content_type="application/json", headers={"Content-Disposition": name}
    )


def log_begin(request: MemberRequest, pk: int) -> HttpResponse:
    """Ask once how the log is kept, then log."""
    observation = get_object_or_404(own_observations(request.member), pk=pk)
    if log_of(observation) is not None:
        return redirect(LOG, request.association.slug, pk)
    if observation.opened_at is None or not is_writable(observation):
        messages.error(request, _("A log is begun while the observation is open."))
        return redirect(OBSERVATION, request.association.slug, pk)
    voice = SiteVoice(request.user.language)
    options = options_to_agree(observation)
    form = TermsForm(crew_of(observation), options, voice, posted(request))
    if form.is_valid():
        try:
            begin_log(observation=observation, by=request.member, now=timezone.now(), **form.terms)
            return redirect("evaluations:live_log", request.association.slug, pk)
        except (Refused, ValidationError) as refusal:
            form.add_error(None, sentences(refusal))
    context = {"form": form, "observation": observation}
    return render(request, "evaluations/log/begin.html", context)


def log_terms(request: MemberRequest, pk: int) -> HttpResponse:
    """Keep the log differently."""
    found = own_log(request, pk)
    voice, observation = SiteVoice(request.user.language), found.observation
    options = options_to_agree(observation, agreed=found.agreed or ())
    initial = TermsForm.initial_from(found)
    form = TermsForm(crew_of(observation), options, voice, posted(request), initial=initial)
    if form.is_valid():
        try:
            change_terms(log=found, by=request.member, now=timezone.now(), **form.terms)
            messages.success(request, _("Saved. What is logged is judged anew."))
            return redirect(LOG, request.association.slug, pk)
        except (Refused, ValidationError) as refusal:
            form.add_error(None, sentences(refusal))
    context = {"form": form, "observation": observation, "writable": is_writable(observation)}
    return render(request, "evaluations/log/terms.html", context)


def log_exchange(request: MemberRequest, pk: int) -> HttpResponse:
    """I had the two mixed up from dead ball n on; the same again undoes it."""
    found = own_log(request, pk)
    form = ExchangeForm(crew_of(found.observation), posted(request))
    if form.is_valid():
        version, by, now = posted_version(request.POST), request.member, timezone.now()
        try:
            done = exchange_officials(log=found, version=version, by=by, now=now, **form.exchange)
            return redirect(f"{log_address(request, pk)}?{form.as_query(done.version)}")
        except Refused as refusal:
            form.add_error(None, str(refusal))
            found.refresh_from_db()
    context = {"form": form, "log": found, "observation": found.observation}
    return render(request, "evaluations/log/exchange.html", context)


def log_end(request: MemberRequest, pk: int) -> HttpResponse:
    """The final whistle, and on to the talk."""
    found = own_log(request, pk)
    if request.method == "POST":
        try:
            end_log(log=found, by=request.member, now=timezone.now())
            return redirect("evaluations:talk_card", request.association.slug, pk)
        except Refused as refusal:
            messages.error(request, str(refusal))
            return redirect(LOG, request.association.slug, pk)
    context = {"log": found, "observation": found.observation}
    return render(request, "evaluations/log/end.html", context)


def log_end_undo(request: MemberRequest, pk: int) -> HttpResponse:
    """Take the final whistle back."""
    write = partial(resume_log, log=own_log(request, pk), by=request.member, now=timezone.now())
    attempt(request, write, _("The log goes on."))
    return redirect(LOG, request.association.slug, pk)


def talk_card(request: MemberRequest, pk: int) -> HttpResponse:
    """One strength and two changes, to be read at arm's length."""
    found = own_log(request, pk)
    sheet = talk_sheet(found, SiteVoice(request.user.language))
    context = {"log": found, "observation": found.observation, "sheet": sheet}
    return render(request, "evaluations/log/talk.html", context)


def own_log(request: MemberRequest, pk: int) -> DeadBallLog:
    """The log that the asker keeps of this observation."""
    return get_object_or_404(own_logs(request.member), observation=pk)


def log_address(request: MemberRequest, pk: int) -> str:
    return reverse(LOG, args=[request.association.slug, pk])
