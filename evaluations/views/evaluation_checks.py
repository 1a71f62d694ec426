"""The check page of an evaluation, and handing it in."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from accounts.http import MemberRequest
from evaluations.forms.problems import (
    character_lines,
    contradiction_lines,
    name_lines,
    problem_lines,
)
from evaluations.forms.versions import posted_version
from evaluations.models import Evaluation
from evaluations.queries.checks import check_sheet
from evaluations.queries.evaluations import own_work
from evaluations.queries.rating_sheets import crew_of, next_up
from evaluations.services.evaluations import make_coaching, submit
from evaluations.views.refusals import attempt
from evaluations.voice import SiteVoice


def evaluation_check(request: MemberRequest, pk: int) -> HttpResponse:
    """Everything as the letter will have it, and what is still open."""
    evaluation = get_object_or_404(own_work(request.member), pk=pk)
    voice = SiteVoice(request.user.language)
    sheet = check_sheet(evaluation, voice, timezone.now())
    crew = crew_of(evaluation, request.member)
    context = {
        "evaluation": evaluation,
        "crew": crew,
        "next_up": next_up(crew, evaluation),
        "sheet": sheet,
        "problems": problem_lines(
            evaluation, sheet.problems, sheet.wording, steps_at_most=sheet.steps_at_most
        ),
        "contradictions": contradiction_lines(
            evaluation, sheet.contradictions, sheet.draft, sheet.wording, voice
        ),
        "names": name_lines(evaluation, sheet.draft, sheet.wording, sheet.names),
        "characters": character_lines(evaluation, sheet.draft, sheet.wording),
        "step": "check",
    }
    return render(request, "evaluations/evaluation/check.html", context)


def evaluation_submit(request: MemberRequest, pk: int) -> HttpResponse:
    """Hand the form to the admins."""
    said = _("Submitted. An admin reads it and releases the crew's letters together.")
    return _step(request, pk, submit, said)


def evaluation_coaching(request: MemberRequest, pk: int) -> HttpResponse:
    """Take the total out of a form that is too late for one."""
    return _step(request, pk, make_coaching, _("It is coaching now: the letter has no total."))


def _step(
    request: MemberRequest, pk: int, service: Callable[..., Evaluation], said: str
) -> HttpResponse:
    """What a button of the check page asks for, then that page again."""
    evaluation = get_object_or_404(own_work(request.member), pk=pk)
    version, now = posted_version(request.POST), timezone.now()
    write = partial(service, evaluation=evaluation, version=version, by=request.member, now=now)
    attempt(request, write, said)
    return redirect("evaluations:evaluation_check", association=request.association.slug, pk=pk)
