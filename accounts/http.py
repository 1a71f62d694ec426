"""Requests as views see them, after the middleware has looked at them."""

from __future__ import annotations

from django.http import HttpRequest, QueryDict
from django_htmx.middleware import HtmxDetails

from accounts.models import Association, Membership, User


class SignedInRequest(HttpRequest):
    """Of a page that is listed as SIGNED_IN."""

    user: User
    htmx: HtmxDetails


class MemberRequest(SignedInRequest):
    """Of a page under /a/<association>/ that is listed for roles.

    `member` is the person's membership as the database has it now, with `member.user` and
    `member.association` loaded. The view doesn't get `association` as an argument: it is here.
    """

    member: Membership
    association: Association


def posted(request: HttpRequest) -> QueryDict | None:
    """What a form is bound to: the answers of a POST, even an empty one; else nothing."""
    return request.POST if request.method == "POST" else None
