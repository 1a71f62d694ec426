"""The first page of an association: for each role, what to do next."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone

from accounts.http import MemberRequest
from evaluations.queries import work
from evaluations.queries.home import home_page
from evaluations.views.paging import page_of


def home(request: MemberRequest) -> HttpResponse:
    page = home_page(request.member, timezone.now())
    return render(request, "evaluations/home/home.html", {"page": page})


def overdue(request: MemberRequest) -> HttpResponse:
    """All observations whose forms are late."""
    context = {"page": page_of(request, work.overdue(request.member, timezone.now()))}
    return render(request, "evaluations/home/overdue.html", context)
