"""What every page's header shows: the association, and the pages that the person may open."""

from __future__ import annotations

from typing import Any, Final

from django.http import HttpRequest
from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from accounts.models import Association, Membership
from accounts.permissions import PAGES, Audience

# A page's line here puts it into the header of everybody who may open it.
NAVIGATION: Final[tuple[tuple[str, str | Promise], ...]] = (
    ("evaluations:home", _("To do next")),
    ("evaluations:own_observations", _("Your observations")),
    ("evaluations:own_season", _("Your season")),
    ("evaluations:officials", _("Who was seen")),
    ("evaluations:findings", _("Training")),
    ("evaluations:game_list", _("Games")),
    ("evaluations:rubrics", _("Rubrics")),
    ("evaluations:code_list", _("Mechanics")),
    ("accounts:people", _("People")),
    ("accounts:conflicts", _("Conflicts")),
    ("accounts:settings", _("Settings")),
)


def site(request: HttpRequest) -> dict[str, Any]:
    """Context of every page: `association`, `member`, `nav` and `profile_url`.

    Outside an association there is nothing but the profile.
    """
    context: dict[str, Any] = {"profile_url": reverse("accounts:profile")}
    member: Membership | None = getattr(request, "member", None)
    if member is None:
        return context
    return context | {
        "association": member.association,
        "member": member,
        "nav": _navigation(request, member, member.association),
    }


def _navigation(
    request: HttpRequest, member: Membership, association: Association
) -> list[dict[str, Any]]:
    here = request.resolver_match.view_name if request.resolver_match else ""
    return [
        {
            "url": reverse(name, args=[association.slug]),
            "label": label,
            "current": name == here,
        }
        for name, label in NAVIGATION
        if _may_open(member, name)
    ]


def _may_open(member: Membership, name: str) -> bool:
    who = PAGES[name].who
    return isinstance(who, Audience) or bool(member.roles & who)
