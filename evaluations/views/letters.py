"""A letter as a page and as a file, and what its official and the admins do with it."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from accounts.http import MemberRequest, posted
from evaluations.forms.answers import RespondForm, ReviewAskForm
from evaluations.forms.releases import AmendForm, WithdrawForm
from evaluations.queries.letter_pages import letter_page
from evaluations.queries.releases import file_name, letters_to, releases_for, snapshot_of
from evaluations.services.answers import acknowledge, amend, ask_review, respond
from evaluations.services.copies import answer_items, letter_annex, letter_content, letter_pdf
from evaluations.services.errors import Refused
from evaluations.services.releases import withdraw


def letter(request: MemberRequest, pk: int) -> HttpResponse:
    """What the file says, as a page, with what to do next before it and what became of it after."""
    now = timezone.now()
    release = get_object_or_404(releases_for(request.member, now), pk=pk)
    content = letter_content(release)
    context = {
        "release": release,
        "page": letter_page(request.member, release, now),
        "content": content,
        "answers": answer_items(release),
        "annex": letter_annex(release) if content.goes_on else None,
    }
    return render(request, "evaluations/letter/letter.html", context)


def letter_file(request: MemberRequest, pk: int) -> HttpResponse:
    """The letter as PDF; with `?annex=1` all comments and the answer behind it."""
    release = get_object_or_404(releases_for(request.member, timezone.now()), pk=pk)
    pdf = letter_pdf(release=release, annex=request.GET.get("annex") == "1")
    name = f'attachment; filename="{file_name(release)}"'
    return HttpResponse(pdf, content_type="application/pdf", headers={"Content-Disposition": name})


def letter_acknowledge(request: MemberRequest, pk: int) -> HttpResponse:
    """I have read it; this isn't agreement."""
    now = timezone.now()
    release = get_object_or_404(letters_to(request.member, now), pk=pk)
    try:
        acknowledge(release=release, by=request.member, now=now)
    except Refused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, _("Recorded: you have read it. This isn't agreement."))
    return redirect("evaluations:letter", request.association.slug, pk)


def letter_respond(request: MemberRequest, pk: int) -> HttpResponse:
    """Answer a letter, as a whole and line by line."""
    now = timezone.now()
    release = get_object_or_404(letters_to(request.member, now), pk=pk)
    form = RespondForm(snapshot_of(release), letter_content(release), posted(request))
    if form.is_valid():
        text, lines = form.cleaned_data["text"], form.lines
        try:
            respond(release=release, text=text, lines=lines, by=request.member, now=now)
        except (Refused, ValidationError) as refusal:
            form.add_error(None, _sentences(refusal))
        else:
            messages.success(
                request, _("Your answer stands with the letter; the observer is told.")
            )
            return redirect("evaluations:letter", request.association.slug, pk)
    page = letter_page(request.member, release, now)
    context = {"release": release, "form": form, "page": page}
    return render(request, "evaluations/letter/respond.html", context)


def letter_review_ask(request: MemberRequest, pk: int) -> HttpResponse:
    """Ask, once, that another observer looks at the letter."""
    now = timezone.now()
    release = get_object_or_404(letters_to(request.member, now), pk=pk)
    form = ReviewAskForm(posted(request))
    if form.is_valid():
        reason = form.cleaned_data["reason"]
        try:
            ask_review(release=release, reason=reason, by=request.member, now=now)
        except (Refused, ValidationError) as refusal:
            form.add_error(None, _sentences(refusal))
        else:
            messages.success(request, _("The review is asked for. An admin gives it to somebody."))
            return redirect("evaluations:letter", request.association.slug, pk)
    page = letter_page(request.member, release, now)
    context = {"release": release, "form": form, "page": page}
    return render(request, "evaluations/letter/review_ask.html", context)


def letter_withdraw(request: MemberRequest, pk: int) -> HttpResponse:
    """Say what withdrawing does, and do it."""
    now = timezone.now()
    release = get_object_or_404(releases_for(request.member, now), pk=pk)
    form = WithdrawForm(posted(request))
    if form.is_valid():
        reason = form.cleaned_data["reason"]
        try:
            withdraw(release=release, reason=reason, by=request.member, now=now)
        except (Refused, ValidationError) as refusal:
            form.add_error(None, _sentences(refusal))
        else:
            messages.success(request, _("The letter is withdrawn; the official is told."))
            return redirect("evaluations:letter", request.association.slug, pk)
    page = letter_page(request.member, release, now)
    context = {"release": release, "form": form, "page": page}
    return render(request, "evaluations/letter/withdraw.html", context)


def letter_amend(request: MemberRequest, pk: int) -> HttpResponse:
    """Open the evaluation again; its next release takes this letter's place."""
    now = timezone.now()
    release = get_object_or_404(releases_for(request.member, now), pk=pk)
    form = AmendForm(posted(request))
    page = letter_page(request.member, release, now)
    if form.is_valid():
        reason = form.cleaned_data["note"]
        try:
            taken = amend(release=release, reason=reason, by=request.member, now=now)
        except (Refused, ValidationError) as refusal:
            form.add_error(None, _sentences(refusal))
        else:
            if page.author:
                return redirect("evaluations:evaluation_form", request.association.slug, taken.pk)
            messages.success(request, _("The form is with its observer again, with your reason."))
            return redirect("evaluations:letter", request.association.slug, pk)
    context = {"release": release, "form": form, "page": page}
    return render(request, "evaluations/letter/amend.html", context)


def _sentences(refusal: Refused | ValidationError) -> list[str]:
    return refusal.messages if isinstance(refusal, ValidationError) else [str(refusal)]
