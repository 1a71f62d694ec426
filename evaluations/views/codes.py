"""Mechanics codes: listed, begun from plain questions, read, copied, given a heading."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial, wraps
from typing import Concatenate, ParamSpec

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from accounts.http import MemberRequest
from evaluations.core.mechanics.questions import QUESTIONS
from evaluations.forms.codes import HeadingForm, QuestionsForm
from evaluations.models import CodeEdition
from evaluations.queries.code_pages import code_shelves, code_standing
from evaluations.queries.code_sheets import code_sheet
from evaluations.queries.codes import codes_for, is_locked, mechanics_code
from evaluations.services import code_edits
from evaluations.services import codes as services
from evaluations.services.shipped_codes import SHIPPED_CODES, shipped_names
from evaluations.views.drafting import saved
from evaluations.voice import SiteVoice

P = ParamSpec("P")
OfCode = Callable[Concatenate[MemberRequest, CodeEdition, P], HttpResponse]


def of_open_code(view: OfCode[P]) -> Callable[..., HttpResponse]:
    """A page that edits: it opens for editions that nothing uses, and shows others to be read.

    What is sent goes to the service in any case, which refuses it with the text kept.
    """

    @wraps(view)
    def page(request: MemberRequest, pk: int, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        code = get_object_or_404(codes_for(request.member), pk=pk)
        if request.method != "POST" and is_locked(code):
            messages.info(request, _("This edition is in use and locked."))
            return redirect("evaluations:code", request.association.slug, code.pk)
        return view(request, code, *args, **kwargs)

    return page


def code_list(request: MemberRequest) -> HttpResponse:
    """Every edition by crew size, and what is in use."""
    context = {"shelves": code_shelves(request.member, request.user.language)}
    return render(request, "evaluations/codes/list.html", context)


def code_new(request: MemberRequest, crew: int) -> HttpResponse:
    """The questions about the manual; the answers make an edition."""
    if crew not in QUESTIONS:
        raise Http404
    form = QuestionsForm(request.POST or None, crew=crew, voice=SiteVoice(request.user.language))
    if form.is_valid():
        made = services.start_from_answers(
            association=request.association,
            crew_size=crew,
            answers=form.answers,
            by=request.member,
            now=timezone.now(),
        )
        messages.success(request, _("The code is made. Read whether it says what you mean."))
        return redirect("evaluations:code", request.association.slug, made.pk)
    shipped = shipped_names(crew, request.user.language)
    context = {"form": form, "crew": crew, "count": len(form.fields), "shipped": shipped}
    return render(request, "evaluations/codes/new.html", context)


def code_start(request: MemberRequest, key: str) -> HttpResponse:
    """Make a shipped code the next edition, as it is."""
    if key not in SHIPPED_CODES:
        raise Http404
    made = services.start_from_shipped(
        association=request.association, key=key, by=request.member, now=timezone.now()
    )
    messages.success(request, _("The code is made. Read whether it says what you mean."))
    return redirect("evaluations:code", request.association.slug, made.pk)


def code(request: MemberRequest, pk: int) -> HttpResponse:
    """One edition for reading and printing; the rows behind "details"."""
    found = get_object_or_404(codes_for(request.member), pk=pk)
    standing = code_standing(found, request.member)
    context = {
        "code": found,
        "sheet": code_sheet(found, request.user.language),
        "standing": standing,
        "may_edit": request.member.is_admin and not standing.locked,
        "details_open": "rows" in request.GET,
    }
    return render(request, "evaluations/codes/code.html", context)


def code_copy(request: MemberRequest, pk: int) -> HttpResponse:
    """Make what an edition says the next edition."""
    source = get_object_or_404(codes_for(request.member), pk=pk)
    made = services.copy_code(source=source, by=request.member, now=timezone.now())
    messages.success(request, _("The copy is made. Nothing uses it yet, so you can change it."))
    return redirect("evaluations:code", request.association.slug, made.pk)


@of_open_code
def code_heading(request: MemberRequest, code: CodeEdition) -> HttpResponse:
    """Name, source and number scheme."""
    form = HeadingForm(
        request.POST or None,
        version=code.version,
        value=mechanics_code(code),
        own_language=request.association.language,
        voice=SiteVoice(request.user.language),
    )
    if form.is_valid():
        write = partial(code_edits.set_heading, code=code, by=request.member, now=timezone.now())
        if saved(request, form, lambda: write(**form.values)):
            return redirect("evaluations:code", request.association.slug, code.pk)
    context = {"code": code, "form": form}
    return render(request, "evaluations/codes/heading.html", context)
