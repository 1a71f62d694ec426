"""What happens to every request before a view sees it, and to every answer after."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any, Final
from zoneinfo import ZoneInfo

from allauth.mfa.utils import is_mfa_enabled
from django.conf import settings
from django.contrib import messages
from django.contrib.auth import logout
from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import (
    Http404,
    HttpRequest,
    HttpResponse,
    HttpResponseBase,
    HttpResponseNotAllowed,
)
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone, translation
from django.utils.translation import gettext as _

from accounts.models import Membership, Role, User
from accounts.permissions import Audience, page_for
from accounts.queries.people import membership_for

GetResponse = Callable[[HttpRequest], HttpResponseBase]

SIGNED_IN_AT: Final = "signed_in_at"
SEEN_AT: Final = "seen_at"
# Seconds: a session is written at most this often to say that it is in use.
SEEN_EVERY: Final = 60


class SessionLimitMiddleware:
    """Ends a session some hours after its last request, and after the sign-in in any case.

    The idle limit is the session's own age (SESSION_COOKIE_AGE), which starts anew with each
    write; this sees to a write a minute. SESSION_ABSOLUTE_AGE counts from the sign-in.
    """

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        if request.user.is_authenticated:
            now = time.time()
            signed_in_at = request.session.setdefault(SIGNED_IN_AT, now)
            if now - signed_in_at >= settings.SESSION_ABSOLUTE_AGE:
                logout(request)
            elif now - request.session.get(SEEN_AT, 0) >= SEEN_EVERY:
                request.session[SEEN_AT] = now
        return self.get_response(request)


class NoStoreMiddleware:
    """No cache keeps what a signed-in person saw: not the browser's, nor one on the way."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        signed_in = request.user.is_authenticated
        response = self.get_response(request)
        if signed_in or request.user.is_authenticated:
            response.headers["Cache-Control"] = "no-store, private"
        return response


class PersonMiddleware:
    """Gives a signed-in person his or her own language and clock."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        person = request.user
        if not isinstance(person, User):
            return self.get_response(request)
        with translation.override(person.language), timezone.override(ZoneInfo(person.time_zone)):
            request.LANGUAGE_CODE = person.language
            response = self.get_response(request)
        response.headers.setdefault("Content-Language", person.language)
        return response


class AssociationMiddleware:
    """Holds every view against the table of permissions and brings the membership along.

    The membership is read for each request and kept nowhere: a role that was taken away ends
    with the next request. `association` is taken out of the view's arguments; the view finds
    `request.association` and `request.member` (see `accounts.http.MemberRequest`).
    """

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_view(
        self,
        request: HttpRequest,
        view: Callable[..., HttpResponseBase],
        args: tuple[Any, ...],
        kwargs: dict[str, Any],
    ) -> HttpResponseBase | None:
        match = request.resolver_match
        page = page_for(match.view_name) if match else None
        if page is None:
            raise Http404
        refusal = self._refusal(request, page.who, kwargs)
        if refusal is None and page.methods is not None and request.method not in page.methods:
            return HttpResponseNotAllowed(sorted(page.methods))
        return refusal

    def _refusal(
        self, request: HttpRequest, who: Audience | frozenset[Role], kwargs: dict[str, Any]
    ) -> HttpResponseBase | None:
        if who is Audience.PUBLIC:
            return None
        person = request.user
        if not isinstance(person, User):
            return sign_in_first(request)
        if isinstance(who, Audience):
            return None
        member = membership_for(person, kwargs.pop("association"))
        if member is None:
            raise Http404
        if not member.roles & who:
            raise PermissionDenied
        return self._admit(request, member)

    def _admit(self, request: HttpRequest, member: Membership) -> HttpResponseBase | None:
        if Role.ADMIN in member.roles and not is_mfa_enabled(member.user):
            messages.info(
                request,
                _("Admins sign in with a second step. Set it up now; it takes two minutes."),
            )
            return redirect("mfa_activate_totp")
        request.member = member  # type: ignore[attr-defined]
        request.association = member.association  # type: ignore[attr-defined]
        return None


def sign_in_first(request: HttpRequest) -> HttpResponseBase:
    """To the sign-in page and back. A page's script gets 401 instead and says so itself."""
    wants_page = "text/html" in request.headers.get("Accept", "text/html")
    if request.headers.get("HX-Request") or not wants_page:
        return HttpResponse(status=401)
    back = (
        request.get_full_path() if request.method in {"GET", "HEAD"} else reverse("accounts:home")
    )
    return redirect_to_login(back, settings.LOGIN_URL)
