"""A draft's areas and criteria: listed, named, added, moved, removed."""

from __future__ import annotations

from functools import partial

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from accounts.http import MemberRequest
from evaluations.forms.rubric_fields import DraftForm
from evaluations.forms.rubric_parts import AreaForm, CriterionForm, NewAreaForm, NewCriterionForm
from evaluations.models import Rubric
from evaluations.queries.rubric_pages import rubric_sheet
from evaluations.queries.rubrics import rubric_content
from evaluations.services import rubric_edits, rubric_parts
from evaluations.views.drafting import done, of_draft, or_404, saved


@of_draft
def areas(request: MemberRequest, rubric: Rubric) -> HttpResponse:
    """All areas in their order."""
    sheet = rubric_sheet(rubric, request.user.language)
    context = {"rubric": rubric, "sheet": sheet, "tab": "areas"}
    return render(request, "evaluations/rubrics/areas.html", context)


@of_draft
def area_add(request: MemberRequest, rubric: Rubric) -> HttpResponse:
    """A new area with its first criterion."""
    form = NewAreaForm(request.POST or None, version=rubric.version)
    if form.is_valid():
        write = partial(rubric_parts.add_area, rubric=rubric, by=request.member, now=timezone.now())
        if saved(request, form, lambda: write(**form.values)):
            return redirect("evaluations:rubric_areas", request.association.slug, rubric.pk)
    context = {"rubric": rubric, "form": form, "tab": "areas"}
    return render(request, "evaluations/rubrics/area_add.html", context)


@of_draft
def area(request: MemberRequest, rubric: Rubric, key: str) -> HttpResponse:
    """An area's names and its criteria."""
    found = or_404(rubric_content(rubric).area(key))
    lines = or_404(rubric_sheet(rubric, request.user.language).area(key))
    language = request.association.language
    form = AreaForm(request.POST or None, version=rubric.version, area=found, own_language=language)
    if form.is_valid():
        write = partial(rubric_edits.set_area_labels, rubric=rubric, area=key, by=request.member)
        if saved(request, form, lambda: write(now=timezone.now(), **form.values)):
            return redirect("evaluations:rubric_area", request.association.slug, rubric.pk, key)
    context = {"rubric": rubric, "form": form, "area": lines, "tab": "areas"}
    return render(request, "evaluations/rubrics/area.html", context)


@of_draft
def area_move(request: MemberRequest, rubric: Rubric, key: str) -> HttpResponse:
    """An area changes places with the one before it or after it."""
    write = partial(
        rubric_parts.move_area,
        rubric=rubric,
        area=key,
        up=request.POST.get("direction") == "up",
        by=request.member,
        now=timezone.now(),
    )
    done(request, write, _("Moved."))
    return redirect("evaluations:rubric_areas", request.association.slug, rubric.pk)


@of_draft
def area_remove(request: MemberRequest, rubric: Rubric, key: str) -> HttpResponse:
    """Says what goes with an area; takes it away."""
    lines = or_404(rubric_sheet(rubric, request.user.language).area(key))
    form = DraftForm(request.POST or None, version=rubric.version)
    if form.is_valid():
        write = partial(rubric_parts.remove_area, rubric=rubric, area=key, by=request.member)
        version = form.cleaned_data["version"]
        if saved(request, form, lambda: write(version=version, now=timezone.now())):
            return redirect("evaluations:rubric_areas", request.association.slug, rubric.pk)
    context = {"rubric": rubric, "form": form, "area": lines, "tab": "areas"}
    return render(request, "evaluations/rubrics/area_remove.html", context)


@of_draft
def criterion_add(request: MemberRequest, rubric: Rubric, key: str) -> HttpResponse:
    """A new criterion of the area with this key; its texts come next."""
    lines = or_404(rubric_sheet(rubric, request.user.language).area(key))
    form = NewCriterionForm(request.POST or None, version=rubric.version)
    if form.is_valid():
        write = partial(rubric_parts.add_criterion, rubric=rubric, area=key, by=request.member)
        if saved(request, form, lambda: write(now=timezone.now(), **form.values)):
            return redirect("evaluations:rubric_area", request.association.slug, rubric.pk, key)
    context = {"rubric": rubric, "form": form, "area": lines, "tab": "areas"}
    return render(request, "evaluations/rubrics/criterion_add.html", context)


@of_draft
def criterion(request: MemberRequest, rubric: Rubric, key: str) -> HttpResponse:
    """A criterion's texts in every language, and what is counted for it."""
    form = CriterionForm(
        request.POST or None,
        version=rubric.version,
        criterion=or_404(rubric_content(rubric).criterion(key)),
        levels=rubric.levels,
        own_language=request.association.language,
    )
    area, line = or_404(rubric_sheet(rubric, request.user.language).criterion(key))
    if form.is_valid():
        write = partial(rubric_edits.set_criterion, rubric=rubric, criterion=key)
        by, now = request.member, timezone.now()
        if saved(request, form, lambda: write(by=by, now=now, **form.values)):
            return redirect("evaluations:rubric_criterion", by.association.slug, rubric.pk, key)
    context = {"rubric": rubric, "form": form, "area": area, "criterion": line, "tab": "areas"}
    return render(request, "evaluations/rubrics/criterion.html", context)


@of_draft
def criterion_move(request: MemberRequest, rubric: Rubric, key: str) -> HttpResponse:
    """A criterion changes places with the one before it or after it in its area."""
    area, _line = or_404(rubric_sheet(rubric, request.user.language).criterion(key))
    write = partial(
        rubric_parts.move_criterion,
        rubric=rubric,
        criterion=key,
        up=request.POST.get("direction") == "up",
        by=request.member,
        now=timezone.now(),
    )
    done(request, write, _("Moved."))
    return redirect("evaluations:rubric_area", request.association.slug, rubric.pk, area.key)


@of_draft
def criterion_remove(request: MemberRequest, rubric: Rubric, key: str) -> HttpResponse:
    """Says what goes with a criterion; takes it away."""
    area, line = or_404(rubric_sheet(rubric, request.user.language).criterion(key))
    form = DraftForm(request.POST or None, version=rubric.version)
    if form.is_valid():
        write = partial(rubric_parts.remove_criterion, rubric=rubric, criterion=key)
        by, version = request.member, form.cleaned_data["version"]
        if saved(request, form, lambda: write(version=version, by=by, now=timezone.now())):
            return redirect("evaluations:rubric_area", by.association.slug, rubric.pk, area.key)
    context = {"rubric": rubric, "form": form, "area": area, "criterion": line, "tab": "areas"}
    return render(request, "evaluations/rubrics/criterion_remove.html", context)
