"""A draft's weights, words, levels and ceilings; begun again, and its last removal undone."""

from __future__ import annotations

from functools import partial

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from accounts.http import MemberRequest
from evaluations.forms.rubric_parts import CeilingForm, LevelsForm
from evaluations.forms.rubric_weights import WeightsForm
from evaluations.forms.rubric_words import WordsForm
from evaluations.forms.rubrics import StartOverForm
from evaluations.models import Rubric
from evaluations.queries.rubric_pages import rubric_sheet
from evaluations.queries.rubrics import rubric_content, rubrics_for
from evaluations.services import rubric_edits as services
from evaluations.services.rubrics import start_over as service_start_over
from evaluations.services.rubrics import undo_removal
from evaluations.views.drafting import done, of_draft, saved


@of_draft
def weights(request: MemberRequest, rubric: Rubric) -> HttpResponse:
    """Every area and criterion with its weight, and when there is a total."""
    form = WeightsForm(
        request.POST or None,
        version=rubric.version,
        content=rubric_content(rubric),
        sheet=rubric_sheet(rubric, request.user.language),
    )
    if form.is_valid():
        write = partial(services.set_weights, rubric=rubric, by=request.member, now=timezone.now())
        if saved(request, form, lambda: write(**form.values)):
            return redirect("evaluations:rubric_weights", request.association.slug, rubric.pk)
    context = {"rubric": rubric, "form": form, "tab": "weights"}
    return render(request, "evaluations/rubrics/weights.html", context)


@of_draft
def words(request: MemberRequest, rubric: Rubric) -> HttpResponse:
    """Note, level words, counts, bands."""
    form = WordsForm(
        request.POST or None,
        version=rubric.version,
        rubric=rubric,
        content=rubric_content(rubric),
    )
    if form.is_valid():
        write = partial(services.set_words, rubric=rubric, by=request.member, now=timezone.now())
        if saved(request, form, lambda: write(**form.values)):
            return redirect("evaluations:rubric_words", request.association.slug, rubric.pk)
    context = {"rubric": rubric, "form": form, "tab": "words"}
    return render(request, "evaluations/rubrics/words.html", context)


@of_draft
def levels(request: MemberRequest, rubric: Rubric) -> HttpResponse:
    """How many levels there are."""
    form = LevelsForm(
        request.POST or None, version=rubric.version, initial={"levels": rubric.levels}
    )
    if form.is_valid():
        write = partial(services.set_levels, rubric=rubric, by=request.member, now=timezone.now())
        if saved(request, form, lambda: write(**form.values)):
            return redirect("evaluations:rubric_words", request.association.slug, rubric.pk)
    context = {"rubric": rubric, "form": form, "tab": "words"}
    return render(request, "evaluations/rubrics/levels.html", context)


@of_draft
def ceilings(request: MemberRequest, rubric: Rubric) -> HttpResponse:
    """The ceilings there are, and one more."""
    sheet = rubric_sheet(rubric, request.user.language)
    form = CeilingForm(request.POST or None, version=rubric.version, sheet=sheet)
    if form.is_valid():
        write = partial(services.set_ceiling, rubric=rubric, by=request.member, now=timezone.now())
        if saved(request, form, lambda: write(**form.values)):
            return redirect("evaluations:rubric_ceilings", request.association.slug, rubric.pk)
    context = {"rubric": rubric, "form": form, "sheet": sheet, "tab": "ceilings"}
    return render(request, "evaluations/rubrics/ceilings.html", context)


@of_draft
def ceiling_remove(request: MemberRequest, rubric: Rubric, ceiling: int) -> HttpResponse:
    """Take a ceiling away."""
    write = partial(
        services.remove_ceiling,
        rubric=rubric,
        ceiling=ceiling,
        by=request.member,
        now=timezone.now(),
    )
    done(request, write, _("The ceiling is removed."))
    return redirect("evaluations:rubric_ceilings", request.association.slug, rubric.pk)


@of_draft
def start_over(request: MemberRequest, rubric: Rubric) -> HttpResponse:
    """Put another rubric's content in place of the draft's."""
    others = rubrics_for(request.member).exclude(pk=rubric.pk)
    form = StartOverForm(request.POST or None, version=rubric.version, rubrics=others)
    if form.is_valid():
        write = partial(service_start_over, rubric=rubric, by=request.member, now=timezone.now())
        if saved(request, form, lambda: write(**form.values)):
            return redirect("evaluations:rubric_areas", request.association.slug, rubric.pk)
    context = {"rubric": rubric, "form": form}
    return render(request, "evaluations/rubrics/start_over.html", context)


@of_draft
def undo(request: MemberRequest, rubric: Rubric) -> HttpResponse:
    """Bring back what the last step took away."""
    write = partial(undo_removal, rubric=rubric, by=request.member, now=timezone.now())
    done(request, write, _("What was taken away is back."))
    return redirect("evaluations:rubric_areas", request.association.slug, rubric.pk)
