"""The public page that says whether a letter's code is genuine and current, and no more."""

from __future__ import annotations

from allauth.account.adapter import get_adapter
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from evaluations.queries.verification import normalised, verdict
from evaluations.services.verification import may_ask


def verify(request: HttpRequest) -> HttpResponse:
    """A form that asks for a code, and leads to its answer."""
    code = normalised(request.GET.get("code", ""))
    if code:
        return redirect("evaluations:verify", code)
    return render(request, "evaluations/letter/verify.html", {"asked": "code" in request.GET})


def verdict_page(request: HttpRequest, code: str) -> HttpResponse:
    """The answer for one code."""
    address = get_adapter().get_client_ip(request)
    if not may_ask(address=address, now=timezone.now()):
        return render(request, "429.html", status=429)
    context = {"code": normalised(code), "verdict": verdict(code)}
    return render(request, "evaluations/letter/verify.html", context)
