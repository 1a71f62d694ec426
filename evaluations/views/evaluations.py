"""An observer's evaluation of one official: the ratings, then the words for the letter."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from django.http import HttpResponse, HttpResponseRedirect, JsonResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from accounts.http import MemberRequest
from evaluations.forms.letter_words import WordsForm
from evaluations.forms.ratings import RatingsForm, areas_of
from evaluations.forms.versions import posted_version
from evaluations.models import Evaluation
from evaluations.queries.evaluations import own_work
from evaluations.queries.letter_words import word_sheet
from evaluations.queries.observations import IN_WORK
from evaluations.queries.rating_sheets import crew_of, progress, rating_sheet
from evaluations.services.errors import Refused, StaleVersion
from evaluations.services.evaluations import save_ratings, save_words
from evaluations.voice import SiteVoice

CONFLICT, UNPROCESSABLE = 409, 422


def evaluation_form(request: MemberRequest, pk: int) -> HttpResponse:
    """The ratings about one official."""
    evaluation = get_object_or_404(own_work(request.member), pk=pk)
    if evaluation.state not in IN_WORK:
        return _go(request, "evaluation_check", evaluation)
    form = RatingsForm(rating_sheet(evaluation, request.user.language), request.POST or None)
    refusal: Refused | None = None
    if form.is_valid():
        try:
            if form.changed:
                _keep_ratings(request, evaluation, form)
            stays = "stay" in request.POST
            return _go(request, "evaluation_form" if stays else "evaluation_words", evaluation)
        except Refused as error:
            refusal = error
    context = {
        "form": form,
        "areas": areas_of([form], SiteVoice(request.user.language)),
        "progress": progress([evaluation]),
    }
    return _page(request, "form", evaluation, context, refusal)


def evaluation_save(request: MemberRequest, pk: int) -> JsonResponse:
    """The ratings that changed, sent by the page's script."""
    evaluation = get_object_or_404(own_work(request.member), pk=pk)
    form = RatingsForm(rating_sheet(evaluation, request.user.language), request.POST)
    if not form.is_valid():
        return JsonResponse({"errors": form.errors}, status=UNPROCESSABLE)
    try:
        saved = _keep_ratings(request, evaluation, form)
    except Refused as error:
        return _conflict(request, "evaluation_form", evaluation, error)
    left = asdict(progress([saved]))
    return JsonResponse(
        {"version": saved.version, "saved_at": saved.saved_at, "problems_left": left}
    )


def evaluation_words(request: MemberRequest, pk: int) -> HttpResponse:
    """Summary, strengths and next steps of one letter."""
    evaluation = get_object_or_404(own_work(request.member), pk=pk)
    if evaluation.state not in IN_WORK:
        return _go(request, "evaluation_check", evaluation)
    form = _words_form(request, evaluation)
    refusal: Refused | None = None
    if form.is_valid():
        try:
            if form.words != form.sheet.stored or "anew" in request.POST:
                _keep_words(request, evaluation, form)
            stays = "check" not in request.POST or form.moved_to
            page = "evaluation_words" if stays else "evaluation_check"
            return _go(request, page, evaluation, form.moved_to)
        except Refused as error:
            refusal = error
    return _page(request, "words", evaluation, {"form": form}, refusal)


def evaluation_words_save(request: MemberRequest, pk: int) -> JsonResponse:
    """The words that changed, sent by the page's script."""
    evaluation = get_object_or_404(own_work(request.member), pk=pk)
    form = _words_form(request, evaluation, only_changes=True)
    if not form.is_valid():
        return JsonResponse({"errors": form.errors}, status=UNPROCESSABLE)
    try:
        saved = _keep_words(request, evaluation, form)
    except Refused as error:
        return _conflict(request, "evaluation_words", evaluation, error)
    return JsonResponse({"version": saved.version, "saved_at": saved.saved_at})


def _words_form(
    request: MemberRequest, evaluation: Evaluation, *, only_changes: bool = False
) -> WordsForm:
    letter_voice = SiteVoice(evaluation.official.user.language)
    sheet = word_sheet(evaluation, request.user.language, letter_voice)
    return WordsForm(sheet, request.POST or None, only_changes=only_changes)


def _keep_ratings(request: MemberRequest, evaluation: Evaluation, form: RatingsForm) -> Evaluation:
    return save_ratings(
        evaluation=evaluation,
        version=posted_version(request.POST),
        ratings=form.answers,
        flagged=form.flagged,
        by=request.member,
        now=timezone.now(),
    )


def _keep_words(request: MemberRequest, evaluation: Evaluation, form: WordsForm) -> Evaluation:
    words = form.sheet.proposed if "anew" in request.POST else form.words
    return save_words(
        evaluation=evaluation,
        version=posted_version(request.POST),
        summary=words.summary,
        strengths=words.strengths,
        next_steps=words.next_steps,
        by=request.member,
        now=timezone.now(),
    )


def _page(
    request: MemberRequest,
    name: str,
    evaluation: Evaluation,
    context: dict[str, Any],
    refusal: Refused | None,
) -> HttpResponse:
    """A page about one evaluation. What was refused is said on it, with all that was typed."""
    context |= {
        "evaluation": evaluation,
        "crew": crew_of(evaluation, request.member),
        "refusal": refusal,
        "conflict": isinstance(refusal, StaleVersion),
        "step": name,
        "saved_at": None if request.method == "POST" else evaluation.saved_at,
    }
    status = CONFLICT if refusal else 200
    return render(request, f"evaluations/evaluation/{name}.html", context, status=status)


def _go(
    request: MemberRequest, name: str, evaluation: Evaluation, part: str = ""
) -> HttpResponseRedirect:
    address = reverse(f"evaluations:{name}", args=[request.association.slug, evaluation.pk])
    return HttpResponseRedirect(f"{address}#{part}" if part else address)


def _conflict(
    request: MemberRequest, page: str, evaluation: Evaluation, error: Refused
) -> JsonResponse:
    newest = reverse(f"evaluations:{page}", args=[request.association.slug, evaluation.pk])
    return JsonResponse({"newest_url": newest, "message": str(error)}, status=CONFLICT)
