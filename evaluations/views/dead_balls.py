"""One dead ball of a log at the table: add, change, remove, put back."""

from __future__ import annotations

from functools import partial

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from accounts.http import MemberRequest, posted
from evaluations.forms.dead_balls import DeadBallForm
from evaluations.models import FloorSketch
from evaluations.queries.log_pages import ball_facts, crew_of, facts_mark, is_writable, last_period
from evaluations.services.errors import Refused, StaleVersion
from evaluations.services.log_edits import (
    change_dead_ball,
    remove_dead_ball,
    restore_dead_ball,
)
from evaluations.services.logs import log_dead_ball
from evaluations.views.logs import LOG, log_address, own_log
from evaluations.views.refusals import attempt
from evaluations.voice import SiteVoice


def dead_ball_add(request: MemberRequest, pk: int) -> HttpResponse:
    """Log one whistle by hand, all facts at once."""
    log = own_log(request, pk)
    if not is_writable(log.observation):
        return _stays(request, pk)
    crew, voice = crew_of(log.observation), SiteVoice(request.user.language)
    form = DeadBallForm(log, crew, voice, posted(request), initial={"period": last_period(log)})
    if form.is_valid():
        try:
            row = log_dead_ball(log=log, ball=form.ball, by=request.member, now=timezone.now())
            messages.success(request, _("Dead ball %(n)s is logged.") % {"n": row.number})
            if "another" in request.POST:
                return redirect("evaluations:dead_ball_add", request.association.slug, pk)
            return redirect(f"{log_address(request, pk)}#ball-{row.number}")
        except Refused as refusal:
            form.add_error(None, str(refusal))
    context = {"form": form, "log": log, "observation": log.observation}
    return render(request, "evaluations/log/add.html", context)


def dead_ball(request: MemberRequest, pk: int, number: int) -> HttpResponse:
    """All facts of a dead ball, to be changed."""
    log = own_log(request, pk)
    row = get_object_or_404(log.dead_balls, number=number, removed_at=None)
    if not is_writable(log.observation):
        return _stays(request, pk)
    crew, voice, ball = crew_of(log.observation), SiteVoice(request.user.language), ball_facts(row)
    initial = {"mark": facts_mark(row)}
    form = DeadBallForm(log, crew, voice, posted(request), ball=ball, initial=initial)
    if form.is_valid():
        mark, by, now = form.cleaned_data["mark"], request.member, timezone.now()
        try:
            change_dead_ball(dead_ball=row, mark=mark, ball=form.ball, by=by, now=now)
            messages.success(request, _("Dead ball %(n)s is changed.") % {"n": number})
            return redirect(f"{log_address(request, pk)}#ball-{number}")
        except Refused as refusal:
            form.add_error(None, str(refusal))
            if isinstance(refusal, StaleVersion):
                form.know_newest(facts_mark(row))
    context = {
        "form": form,
        "log": log,
        "observation": log.observation,
        "number": number,
        "moments": FloorSketch.Moment.choices,
    }
    return render(request, "evaluations/log/dead_ball.html", context)


def dead_ball_remove(request: MemberRequest, pk: int, number: int) -> HttpResponse:
    """Take a dead ball out; the log's page puts it back."""
    row = get_object_or_404(own_log(request, pk).dead_balls, number=number)
    write = partial(remove_dead_ball, dead_ball=row, by=request.member, now=timezone.now())
    text = _("Dead ball %(n)s is removed. It can be put back below the table.")
    attempt(request, write, text % {"n": number})
    return redirect(LOG, request.association.slug, pk)


def dead_ball_restore(request: MemberRequest, pk: int, number: int) -> HttpResponse:
    """Put a removed dead ball back under its number."""
    row = get_object_or_404(own_log(request, pk).dead_balls, number=number)
    write = partial(restore_dead_ball, dead_ball=row, by=request.member, now=timezone.now())
    attempt(request, write, _("Dead ball %(n)s is back in the log.") % {"n": number})
    return redirect(LOG, request.association.slug, pk)


def _stays(request: MemberRequest, pk: int) -> HttpResponse:
    text = _("All forms of this observation are in, or it is closed: its log stays as it is.")
    messages.error(request, text)
    return redirect(LOG, request.association.slug, pk)
