"""A whole crew rated on one page, criterion by criterion."""

from __future__ import annotations

from dataclasses import asdict

from django.http import HttpResponse, HttpResponseRedirect, JsonResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from accounts.http import MemberRequest
from evaluations.forms.crew_ratings import CrewRatings
from evaluations.forms.ratings import areas_of
from evaluations.models import Observation
from evaluations.queries.observations import own_observations
from evaluations.queries.rating_sheets import crew_in_work, progress, rating_sheets
from evaluations.services.errors import Refused, StaleVersion
from evaluations.services.evaluations import save_crew_ratings
from evaluations.views.evaluations import CONFLICT, UNPROCESSABLE
from evaluations.voice import SiteVoice


def crew_form(request: MemberRequest, pk: int) -> HttpResponse:
    """The ratings about a crew."""
    observation = get_object_or_404(own_observations(request.member), pk=pk)
    crew = _crew(request, observation)
    refusal: Refused | None = None
    if crew.data is not None and crew.is_valid():
        try:
            save_crew_ratings(answers=crew.changed(), by=request.member, now=timezone.now())
            return HttpResponseRedirect(_next_address(request, crew, pk))
        except Refused as error:
            refusal = error
    context = {
        "observation": observation,
        "crew": crew,
        "areas": areas_of(crew.forms, SiteVoice(request.user.language)),
        "progress": progress(crew.evaluations),
        "refusal": refusal,
        "conflict": isinstance(refusal, StaleVersion),
    }
    status = CONFLICT if refusal else 200
    return render(request, "evaluations/evaluation/crew.html", context, status=status)


def crew_save(request: MemberRequest, pk: int) -> JsonResponse:
    """The ratings that changed, sent by the page's script."""
    observation = get_object_or_404(own_observations(request.member), pk=pk)
    crew = _crew(request, observation)
    if not crew.is_valid():
        return JsonResponse({"errors": crew.errors}, status=UNPROCESSABLE)
    now = timezone.now()
    try:
        saved = save_crew_ratings(answers=crew.sent(), by=request.member, now=now)
    except Refused as error:
        newest = reverse("evaluations:crew_form", args=[request.association.slug, pk])
        return JsonResponse({"newest_url": newest, "message": str(error)}, status=CONFLICT)
    left = asdict(progress(crew.evaluations))
    return JsonResponse(
        {"version": crew.version_after(saved), "saved_at": now, "problems_left": left}
    )


def _crew(request: MemberRequest, observation: Observation) -> CrewRatings:
    evaluations = crew_in_work(observation, request.member)
    sheets = rating_sheets(evaluations, request.user.language)
    return CrewRatings(evaluations, sheets, request.POST or None)


def _next_address(request: MemberRequest, crew: CrewRatings, pk: int) -> str:
    """Back to the page, or on to the first official's words."""
    slug = request.association.slug
    if "stay" in request.POST or not crew.evaluations:
        return reverse("evaluations:crew_form", args=[slug, pk])
    return reverse("evaluations:evaluation_words", args=[slug, crew.evaluations[0].pk])
