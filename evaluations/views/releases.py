"""Reading a crew's evaluations, giving one back, releasing the letters."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from accounts.http import MemberRequest
from evaluations.forms.releases import ReturnForm, readings, return_form
from evaluations.forms.versions import joined_versions, posted_versions
from evaluations.models import Observation
from evaluations.queries.evaluations import evaluations_for
from evaluations.queries.observations import observations_for
from evaluations.queries.openings import crew_opening
from evaluations.queries.work import waiting_for_release
from evaluations.services.errors import Refused
from evaluations.services.evaluations import return_to_observer
from evaluations.services.letters import preview_letters
from evaluations.services.releases import release_crew, waiting_forms
from evaluations.views.paging import page_of


def waiting(request: MemberRequest) -> HttpResponse:
    """The crews whose forms are all in."""
    context = {"page": page_of(request, waiting_for_release(request.member))}
    return render(request, "evaluations/release/waiting.html", context)


def crew_read(request: MemberRequest, pk: int) -> HttpResponse:
    """A crew's letters one under another, as they would read."""
    observation = get_object_or_404(observations_for(request.member), pk=pk)
    return _reading_page(request, observation, {})


def form_return(request: MemberRequest, pk: int) -> HttpResponse:
    """Give one form back to its observer."""
    evaluation = get_object_or_404(evaluations_for(request.member), pk=pk)
    form = return_form(evaluation, request.POST)
    observation = evaluation.observation
    if form.is_valid():
        note, now = form.cleaned_data["note"], timezone.now()
        try:
            return_to_observer(evaluation=evaluation, note=note, by=request.member, now=now)
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            text = _("The form goes back to %(name)s, with your note.")
            messages.success(request, text % {"name": observation.observer})
            return redirect("evaluations:waiting", request.association.slug)
    return _reading_page(request, observation, {evaluation.pk: form})


def release(request: MemberRequest, pk: int) -> HttpResponse:
    """Say what a release does, and do it."""
    observation = get_object_or_404(observations_for(request.member), pk=pk)
    now, context = timezone.now(), _crew(request, observation)
    forms = context["forms"]
    if request.method == "POST":
        versions = posted_versions(request.POST, len(forms))
        read = dict(zip((form.pk for form in forms), versions, strict=True))
        try:
            made = release_crew(observation=observation, by=request.member, now=now, read=read)
        except (Refused, ValidationError) as refusal:
            context["refusal"] = str(refusal)
        else:
            messages.success(request, _released(len(made)))
            return redirect("evaluations:waiting", request.association.slug)
    if forms:
        context["opening"] = crew_opening(forms, now)
    return render(request, "evaluations/release/release.html", context)


def _released(count: int) -> str:
    text = ngettext("%(count)s letter is released.", "%(count)s letters are released.", count)
    return text % {"count": count}


def _crew(request: MemberRequest, observation: Observation) -> dict[str, Any]:
    """The forms that wait, or why none can be released."""
    try:
        forms = waiting_forms(observation=observation, by=request.member)
    except Refused as refusal:
        return {"observation": observation, "forms": [], "refusal": str(refusal)}
    versions = joined_versions([form.version for form in forms])
    return {"observation": observation, "forms": forms, "versions": versions}


def _reading_page(
    request: MemberRequest, observation: Observation, returned: dict[int, ReturnForm]
) -> HttpResponse:
    now, context = timezone.now(), _crew(request, observation)
    if context["forms"]:
        opening = crew_opening(context["forms"], now)
        previews = preview_letters(evaluations=context["forms"], now=now, opens_at=opening.at)
        context["readings"] = readings(previews, request.user.language, returned)
    context["form"] = next(iter(returned.values()), None)
    return render(request, "evaluations/release/crew.html", context)
