"""The first page after signing in."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import redirect, render

from accounts.http import SignedInRequest
from accounts.queries.people import memberships_of


def home(request: SignedInRequest) -> HttpResponse:
    """Straight into the only association, or the list of them."""
    memberships = list(memberships_of(request.user))
    if len(memberships) == 1:
        return redirect("evaluations:home", association=memberships[0].association.slug)
    return render(request, "accounts/home.html", {"memberships": memberships})
