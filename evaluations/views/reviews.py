"""Reviews: the admins' list, giving one to an observer, and the reviewer's page."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from accounts.http import MemberRequest, posted
from evaluations.forms.answers import ReviewerForm, ReviewForm
from evaluations.queries.releases import snapshot_of
from evaluations.queries.reviews import (
    lines_under_review,
    review_candidates,
    reviews_for,
    reviews_of,
)
from evaluations.services.answers import assign_reviewer, close_review
from evaluations.services.copies import review_item
from evaluations.services.errors import Refused
from evaluations.views.paging import page_of


def reviews(request: MemberRequest) -> HttpResponse:
    """Every review that was asked for."""
    context = {"page": page_of(request, reviews_for(request.member))}
    return render(request, "evaluations/review/reviews.html", context)


def review_assign(request: MemberRequest, pk: int) -> HttpResponse:
    """Give a review to an observer who can do it."""
    review, now = get_object_or_404(reviews_for(request.member), pk=pk), timezone.now()
    candidates = review_candidates(request.member, review, now)
    form = ReviewerForm(candidates, posted(request))
    if form.is_valid():
        reviewer = form.chosen
        try:
            assign_reviewer(review=review, reviewer=reviewer, by=request.member, now=now)
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("%(name)s reviews it and is told.") % {"name": reviewer})
            return redirect("evaluations:reviews", request.association.slug)
    context = {"form": form, "review": review}
    return render(request, "evaluations/review/assign.html", context)


def review(request: MemberRequest, pk: int) -> HttpResponse:
    """The lines under review, each to be answered from film."""
    found = get_object_or_404(reviews_of(request.member), pk=pk)
    words = snapshot_of(found.release).wording.level_words
    form = ReviewForm(lines_under_review(found), words, posted(request))
    if form.is_valid():
        now = timezone.now()
        try:
            close_review(review=found, lines=form.findings, by=request.member, now=now)
        except (Refused, ValidationError) as refusal:
            texts = getattr(refusal, "messages", None) or [str(refusal)]
            form.add_error(None, texts)
        else:
            messages.success(request, _("The review is closed. The official is told."))
            return redirect("evaluations:review", request.association.slug, pk)
    context = {"form": form, "review": found, "result": review_item(found)}
    return render(request, "evaluations/review/review.html", context)
