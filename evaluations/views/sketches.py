"""Who stood where at one moment of a dead ball: drawn, measured, taken away."""

from __future__ import annotations

from functools import partial

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from accounts.http import MemberRequest, posted
from evaluations.core.floor.sketch import Instant
from evaluations.forms.sketches import ShapeForm, SketchForm
from evaluations.models import FloorSketch
from evaluations.queries.floor import SketchSheet, pad_data, sketch_sheet
from evaluations.services.errors import Refused
from evaluations.services.floor import keep_sketch, remove_sketch
from evaluations.views.logs import own_log
from evaluations.views.refusals import attempt, sentences
from evaluations.voice import SiteVoice


def sketch(request: MemberRequest, pk: int, number: int, instant: str) -> HttpResponse:
    """The drawing and what it shows; as long as the log may change, the pad."""
    voice = SiteVoice(request.user.language)
    sheet = _sheet(request, pk, number, instant, voice)
    shape = ShapeForm(sheet, voice, request.GET or None)
    form = SketchForm(sheet, posted(request), initial=shape.answers)
    if form.is_valid():
        try:
            now = timezone.now()
            keep_sketch(dead_ball=sheet.ball, sketch=form.sketch, by=request.member, now=now)
            messages.success(request, _("The sketch is saved."))
            return redirect("evaluations:sketch", request.association.slug, pk, number, instant)
        except (Refused, ValidationError) as refusal:
            form.add_error(None, sentences(refusal))
    context = {
        "form": form,
        "shape_form": shape,
        "sheet": sheet,
        "observation": sheet.log.observation,
        "moments": FloorSketch.Moment.choices,
        "pad": pad_data(sheet, voice),
    }
    return render(request, "evaluations/floor/sketch.html", context)


def sketch_remove(request: MemberRequest, pk: int, number: int, instant: str) -> HttpResponse:
    """Take a sketch away."""
    sheet = _sheet(request, pk, number, instant, SiteVoice(request.user.language))
    if sheet.row is None:
        raise Http404
    write = partial(remove_sketch, sketch=sheet.row, by=request.member, now=timezone.now())
    attempt(request, write, _("The sketch is removed."))
    return redirect("evaluations:sketch", request.association.slug, pk, number, instant)


def _sheet(
    request: MemberRequest, pk: int, number: int, instant: str, voice: SiteVoice
) -> SketchSheet:
    if instant not in list(Instant):
        raise Http404
    log = own_log(request, pk)
    row = get_object_or_404(log.dead_balls, number=number, removed_at=None)
    return sketch_sheet(log, row, Instant(instant), voice)
