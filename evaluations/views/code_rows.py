"""The rows of a mechanics code that nothing uses yet: written, added, moved, removed."""

from __future__ import annotations

from functools import partial

from django.http import Http404, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from accounts.http import MemberRequest
from evaluations.forms.code_rows import RowForm
from evaluations.models import CodeEdition
from evaluations.queries.code_sheets import number_now
from evaluations.queries.codes import mechanics_code
from evaluations.services import code_edits as services
from evaluations.views.codes import of_open_code
from evaluations.views.drafting import done, saved
from evaluations.voice import SiteVoice


def _form(request: MemberRequest, code: CodeEdition, number: int | None) -> RowForm:
    value = mechanics_code(code)
    return RowForm(
        request.POST or None,
        version=code.version,
        value=value,
        row=None if number is None else value.rows[number - 1],
        own_language=request.association.language,
        voice=SiteVoice(request.user.language),
        asked=request.GET,
    )


def _to_row(request: MemberRequest, code: CodeEdition, number: int) -> HttpResponse:
    """Back to the details, at a row."""
    page = reverse("evaluations:code", args=[request.association.slug, code.pk])
    return HttpResponseRedirect(f"{page}?rows=open#row-{number}")


@of_open_code
def code_row(request: MemberRequest, code: CodeEdition, number: int) -> HttpResponse:
    """A row's fields. The row is found again where others moved it meanwhile."""
    here = number_now(mechanics_code(code), number, request.POST.get("seen", ""))
    if here is None and request.method != "POST":
        raise Http404
    form = _form(request, code, here)
    if form.is_valid():
        write = partial(services.set_row, code=code, by=request.member, now=timezone.now())
        if here is not None and saved(request, form, lambda: write(number=here, **form.values)):
            return _to_row(request, code, here)
    context = {"code": code, "form": form, "number": here, "gone": here is None}
    return render(request, "evaluations/codes/row.html", context)


@of_open_code
def code_row_add(request: MemberRequest, code: CodeEdition) -> HttpResponse:
    """A new row; an address may name what it is for."""
    form = _form(request, code, None)
    if form.is_valid():
        write = partial(services.add_row, code=code, by=request.member, now=timezone.now())
        if saved(request, form, lambda: write(**form.values)):
            return _to_row(request, code, form.values["before"])
    context = {"code": code, "form": form}
    return render(request, "evaluations/codes/row.html", context)


@of_open_code
def code_row_move(request: MemberRequest, code: CodeEdition, number: int) -> HttpResponse:
    """A row changes places with the one before it or after it."""
    up = request.POST.get("direction") == "up"
    write = partial(
        services.move_row, code=code, number=number, up=up, by=request.member, now=timezone.now()
    )
    done(request, write, _("Moved."))
    return _to_row(request, code, max(number - 1, 1) if up else number + 1)


@of_open_code
def code_row_remove(request: MemberRequest, code: CodeEdition, number: int) -> HttpResponse:
    """Take a row away; until the next save it can be put back."""
    write = partial(
        services.remove_row, code=code, number=number, by=request.member, now=timezone.now()
    )
    done(request, write, _("The row is removed."))
    return _to_row(request, code, number)


@of_open_code
def code_undo(request: MemberRequest, code: CodeEdition) -> HttpResponse:
    """Bring back what the last step took away."""
    write = partial(services.undo_removal, code=code, by=request.member, now=timezone.now())
    done(request, write, _("What was taken away is back."))
    page = reverse("evaluations:code", args=[request.association.slug, code.pk])
    return HttpResponseRedirect(f"{page}?rows=open#rows")
