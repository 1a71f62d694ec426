"""Two editions of a mechanics code beside each other; an edition in use corrected."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from accounts.http import MemberRequest, posted
from evaluations.forms.code_corrections import AmendLettersForm, InForceForm
from evaluations.forms.versions import posted_version
from evaluations.models import CodeEdition
from evaluations.queries.code_changes import CodeChanges, code_changes
from evaluations.queries.code_compare import compared_editions
from evaluations.queries.code_corrections import correction_sheet
from evaluations.queries.code_pages import code_standing
from evaluations.queries.codes import codes_for, is_correcting
from evaluations.services import code_corrections as services
from evaluations.services.errors import Refused, StaleVersion
from evaluations.views.paging import page_of


def code_compare(request: MemberRequest, pk: int, other: int) -> HttpResponse:
    """Where two editions for the same crews differ."""
    codes = codes_for(request.member)
    one = get_object_or_404(codes, pk=pk)
    second = get_object_or_404(codes, pk=other, crew_size=one.crew_size)
    found = compared_editions(request.member, request.user.language, one, second)
    return render(request, "evaluations/codes/compare.html", {"compared": found})


def code_correct(request: MemberRequest, pk: int) -> HttpResponse:
    """Whom a correction in work changes, and its coming into force; for others, how to begin."""
    code = get_object_or_404(codes_for(request.member), pk=pk)
    if not is_correcting(code):
        context = {"code": code, "standing": code_standing(code, request.member)}
        return render(request, "evaluations/codes/correct_start.html", context)
    form = InForceForm(posted(request), version=code.version)
    if form.is_valid() and _in_force(request, code, form):
        return redirect("evaluations:code_changes", request.association.slug, pk)
    sheet = correction_sheet(code, request.member, request.user.language)
    context = {"code": code, "form": form, "sheet": sheet, "changes": sheet.changes}
    if sheet.changes is not None:
        context["page"] = page_of(request, sheet.changes.officials)
    return render(request, "evaluations/codes/correct.html", context)


def _in_force(request: MemberRequest, code: CodeEdition, form: InForceForm) -> bool:
    now = timezone.now()
    try:
        services.put_in_force(correction=code, **form.cleaned_data, by=request.member, now=now)
    except (Refused, ValidationError) as refusal:
        if isinstance(refusal, StaleVersion):
            form.show_stored()
        form.add_error(None, _sentences(refusal))
        return False
    messages.success(request, _("The correction is in force, and the logs are counted by it."))
    return True


def code_correct_start(request: MemberRequest, pk: int) -> HttpResponse:
    """Begin to correct an edition in use."""
    code = get_object_or_404(codes_for(request.member), pk=pk)
    try:
        draft = services.start_correction(code=code, by=request.member, now=timezone.now())
    except Refused as refusal:
        messages.error(request, str(refusal))
        return redirect("evaluations:code_correct", request.association.slug, pk)
    messages.success(request, _("The correction is a draft that says what the edition says."))
    return redirect("evaluations:code", request.association.slug, draft.pk)


def code_correct_apart(request: MemberRequest, pk: int) -> HttpResponse:
    """Give a correction up; the draft stays, as an edition of its own."""
    draft = get_object_or_404(codes_for(request.member), pk=pk)
    version, now = posted_version(request.POST), timezone.now()
    try:
        services.set_apart(correction=draft, version=version, by=request.member, now=now)
    except Refused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, _("It corrects nothing any more and is an edition of its own."))
    return redirect("evaluations:code", request.association.slug, pk)


def code_changed(request: MemberRequest, pk: int) -> HttpResponse:
    """Whom a correction in force changed, and how far each of their evaluations is."""
    correction = get_object_or_404(codes_for(request.member), pk=pk, in_force_at__isnull=False)
    changes = code_changes(correction, request.member, request.user.language)
    form = AmendLettersForm(correction, changes.letters)
    return _changes(request, correction, changes, form)


def code_amend(request: MemberRequest, pk: int) -> HttpResponse:
    """Open the evaluations of the chosen letters again."""
    correction = get_object_or_404(codes_for(request.member), pk=pk, in_force_at__isnull=False)
    changes = code_changes(correction, request.member, request.user.language)
    form = AmendLettersForm(correction, changes.letters, request.POST)
    if form.is_valid():
        note, now = form.cleaned_data["note"], timezone.now()
        try:
            taken = services.amend_letters(
                correction=correction, releases=form.chosen, note=note, by=request.member, now=now
            )
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _amending(len(taken)))
            return redirect("evaluations:code_changes", request.association.slug, pk)
    return _changes(request, correction, changes, form)


def _amending(count: int) -> str:
    text = ngettext(
        "%(count)s form is with its observer again, with your note.",
        "%(count)s forms are with their observers again, with your note.",
        count,
    )
    return text % {"count": count}


def _changes(
    request: MemberRequest, correction: CodeEdition, changes: CodeChanges, form: AmendLettersForm
) -> HttpResponse:
    page = page_of(request, changes.officials)
    context = {"code": correction, "changes": changes, "page": page, "form": form}
    return render(request, "evaluations/codes/changes.html", context)


def _sentences(refusal: Refused | ValidationError) -> list[str]:
    return refusal.messages if isinstance(refusal, ValidationError) else [str(refusal)]
