"""Rubrics: listed, read, begun, copied, proposed, published."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from django.conf import settings
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import override

from accounts.http import MemberRequest
from evaluations.forms.rubrics import CopyForm
from evaluations.models import Rubric
from evaluations.queries.code_pages import code_gaps
from evaluations.queries.codes import codes_in_force
from evaluations.queries.publishing import publishing
from evaluations.queries.rubric_pages import (
    rubric_sheet,
    seasons_to_begin,
    shelves,
)
from evaluations.queries.rubrics import rubrics_for
from evaluations.queries.seasons import seasons_for
from evaluations.services import rubrics as services
from evaluations.services.shipped_rubric import add_shipped_rubric
from evaluations.views.drafting import done


def rubrics(request: MemberRequest) -> HttpResponse:
    """Every season's editions."""
    context = {"shelves": shelves(request.member)}
    return render(request, "evaluations/rubrics/list.html", context)


def rubric(request: MemberRequest, pk: int) -> HttpResponse:
    """One edition for reading and printing, in either language."""
    found = get_object_or_404(rubrics_for(request.member), pk=pk)
    asked = request.GET.get("language", "")
    language = asked if asked in dict(settings.LANGUAGES) else request.user.language
    context = {"rubric": found, "languages": settings.LANGUAGES, "tab": "read"}
    context["codes"] = codes_in_force(found)
    with override(language):
        context["sheet"] = rubric_sheet(found, language)
        return render(request, "evaluations/rubrics/rubric.html", context)


def start(request: MemberRequest, pk: int) -> HttpResponse:
    """Begin a season's rubric from the one that Crewmark ships."""
    season = get_object_or_404(seasons_for(request.member), pk=pk)
    try:
        draft = add_shipped_rubric(season=season, by=request.member, now=timezone.now())
    except ValidationError:
        messages.error(request, _("This season has a rubric in work already. Go on with it."))
        return redirect("evaluations:rubrics", request.association.slug)
    messages.success(request, _("The draft is made. Look at its weights first."))
    return redirect("evaluations:rubric_weights", request.association.slug, draft.pk)


def copy(request: MemberRequest, pk: int) -> HttpResponse:
    """Copy an edition into a season, as its next draft."""
    source = get_object_or_404(rubrics_for(request.member), pk=pk)
    seasons = seasons_to_begin(request.member)
    form = CopyForm(request.POST or None, seasons=seasons, asked=request.GET.get("season"))
    if form.is_valid():
        season, now = form.cleaned_data["season"], timezone.now()
        try:
            draft = services.copy_rubric(source=source, season=season, by=request.member, now=now)
        except ValidationError as error:
            form.add_error(None, error.messages)
        else:
            messages.success(request, _("The copy is a draft. Look at its weights first."))
            return redirect("evaluations:rubric_weights", request.association.slug, draft.pk)
    context = {"rubric": source, "form": form, "seasons": seasons}
    return render(request, "evaluations/rubrics/copy.html", context)


def publish(request: MemberRequest, pk: int) -> HttpResponse:
    """What is missing, what publishing does, and the step that this admin can take."""
    found = get_object_or_404(rubrics_for(request.member), pk=pk)
    context = {
        "rubric": found,
        "publishing": publishing(found, request.member),
        "code_gaps": code_gaps(found),
        "tab": "publish",
    }
    return render(request, "evaluations/rubrics/publish.html", context)


def propose(request: MemberRequest, pk: int) -> HttpResponse:
    """Hand a draft to a second admin."""
    message = _("Proposed. Another admin has to approve it on this page.")
    return _step(request, pk, services.propose, message)


def approve(request: MemberRequest, pk: int) -> HttpResponse:
    """Publish what another admin proposed."""
    message = _("Published. It is locked, and every member can read it.")
    return _step(request, pk, services.approve, message)


def withdraw(request: MemberRequest, pk: int) -> HttpResponse:
    """Make a proposed rubric a draft again."""
    message = _("The proposal is withdrawn; the rubric is a draft again.")
    return _step(request, pk, services.withdraw_proposal, message)


def _step(
    request: MemberRequest, pk: int, step: Callable[..., Rubric], message: str
) -> HttpResponse:
    found = get_object_or_404(rubrics_for(request.member), pk=pk)
    write = partial(step, rubric=found, by=request.member, now=timezone.now())
    done(request, write, message)
    return redirect("evaluations:rubric_publish", request.association.slug, pk)
