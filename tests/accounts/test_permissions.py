"""Every address of the site has its line in the table, and the table is kept."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from django.conf import settings
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from accounts.models import Conflict, Membership
from accounts.permissions import PAGES, POST, Audience, page_for
from tests.factories.accounts import NOW, Cast, signed_in

OPEN, REFUSED, UNKNOWN, SIGN_IN = 200, 403, 404, 302


def addresses(
    patterns: list[URLPattern | URLResolver], space: str = "", path: str = ""
) -> Iterator[tuple[str, str]]:
    """The name and the pattern of everything that the site answers to."""
    for pattern in patterns:
        here = path + str(pattern.pattern)
        if isinstance(pattern, URLResolver):
            below = f"{space}{pattern.namespace}:" if pattern.namespace else space
            yield from addresses(pattern.url_patterns, below, here)
        else:
            yield f"{space}{pattern.name}", here


def site() -> dict[str, str]:
    return dict(addresses(get_resolver().url_patterns))


def test_every_address_has_a_line() -> None:
    assert [name for name in site() if page_for(name) is None] == []


def test_every_line_has_an_address() -> None:
    assert PAGES.keys() - site().keys() == set()


def test_whatever_a_template_links_to_has_an_address() -> None:
    """Django says nothing of a wrong name in `{% url … as … %}`: the link is empty."""
    templates = [file for file in (settings.BASE_DIR / "templates").rglob("*") if file.is_file()]
    linked = {
        (file.name, name)
        for file in templates
        for name in re.findall(r"""{%\s*url\s+['"](.+?)['"]""", file.read_text(encoding="utf-8"))
    }
    assert linked
    assert [(file, name) for file, name in sorted(linked) if name not in site()] == []


def test_pages_for_roles_name_their_association() -> None:
    for name, pattern in site().items():
        page = page_for(name)
        of_association = pattern.startswith("a/<slug:association>/")
        assert page and of_association == (not isinstance(page.who, Audience)), name


def test_what_has_no_line_does_not_exist(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(PAGES, "accounts:people")
    assert signed_in(cast.admin).get("/a/rivers/people/").status_code == UNKNOWN


@pytest.fixture
def pages(cast: Cast) -> dict[str, str]:
    """An address for each page of the association's people."""
    conflict = Conflict.objects.create(
        observer=cast.observer, official=cast.official, declared_at=NOW
    )
    slug = cast.slug
    return {
        "people": reverse("accounts:people", args=[slug]),
        "person": reverse("accounts:person", args=[slug, cast.official.pk]),
        "person_end": reverse("accounts:person_end", args=[slug, cast.official.pk]),
        "person_return": reverse("accounts:person_return", args=[slug, cast.official.pk]),
        "invite": reverse("accounts:invite", args=[slug]),
        "invitation_revoke": reverse("accounts:invitation_revoke", args=[slug, 1]),
        "conflicts": reverse("accounts:conflicts", args=[slug]),
        "conflict_withdraw": reverse("accounts:conflict_withdraw", args=[slug, conflict.pk]),
        "settings": reverse("accounts:settings", args=[slug]),
    }


def who_opens(name: str) -> set[str]:
    admins = {"admin", "second_admin"}
    observers = {"observer", "other_observer", "observer_and_official"}
    return admins | observers if name in {"conflicts", "conflict_withdraw"} else admins


MEMBERS = (
    "admin",
    "second_admin",
    "observer",
    "other_observer",
    "official",
    "young_official",
    "board",
    "observer_and_official",
)


@pytest.mark.parametrize("who", MEMBERS)
def test_a_member_opens_what_the_roles_allow_and_nothing_else(
    cast: Cast, pages: dict[str, str], who: str
) -> None:
    person: Membership = getattr(cast, who)
    for name, address in pages.items():
        page = page_for(f"accounts:{name}")
        assert page is not None
        answer = signed_in(person).get(address).status_code
        allowed = 405 if page.methods == POST else OPEN
        assert answer == (allowed if who in who_opens(name) else REFUSED), name


@pytest.mark.parametrize("who", ["other_admin", "other_official_elsewhere", "former_official"])
@pytest.mark.parametrize("method", ["get", "post"])
def test_for_people_of_elsewhere_the_association_does_not_exist(
    cast: Cast, pages: dict[str, str], who: str, method: str
) -> None:
    client = signed_in(getattr(cast, who))
    for name, address in pages.items():
        assert getattr(client, method)(address).status_code == UNKNOWN, name


def test_somebody_without_any_association_finds_none(cast: Cast, pages: dict[str, str]) -> None:
    client = signed_in(cast.stranger)
    assert {client.get(address).status_code for address in pages.values()} == {UNKNOWN}


@pytest.mark.parametrize("method", ["get", "post"])
def test_without_signing_in_every_page_leads_to_the_sign_in(
    cast: Cast, pages: dict[str, str], method: str
) -> None:
    for name, address in pages.items():
        answer = getattr(Client(), method)(address)
        assert answer.status_code == SIGN_IN, name
        assert answer["Location"].startswith(reverse("account_login")), name


def test_an_unknown_association_and_a_foreign_one_look_alike_before_signing_in(cast: Cast) -> None:
    known, unknown = Client().get("/a/rivers/people/"), Client().get("/a/nowhere/people/")
    assert known.status_code == unknown.status_code == SIGN_IN


def test_a_page_script_is_told_that_nobody_is_signed_in(cast: Cast) -> None:
    for headers in ({"HX-Request": "true"}, {"Accept": "application/json"}):
        assert Client().get("/a/rivers/people/", headers=headers).status_code == 401


def test_a_role_taken_away_ends_with_the_next_request(cast: Cast) -> None:
    client = signed_in(cast.second_admin)
    assert client.get("/a/rivers/people/").status_code == OPEN
    Membership.objects.filter(pk=cast.second_admin.pk).update(is_admin=False, is_board=True)
    assert client.get("/a/rivers/people/").status_code == REFUSED
    Membership.objects.filter(pk=cast.second_admin.pk).update(active=False)
    assert client.get("/a/rivers/people/").status_code == UNKNOWN


def test_an_account_that_is_closed_is_signed_out(cast: Cast) -> None:
    client = signed_in(cast.admin)
    cast.admin.user.is_active = False
    cast.admin.user.save()
    assert client.get("/a/rivers/people/").status_code == SIGN_IN


def test_reading_pages_take_no_post(cast: Cast) -> None:
    answer = signed_in(cast.admin).post("/a/rivers/people/")
    assert answer.status_code == 405
    assert answer["Allow"] == "GET, HEAD"


def test_a_post_without_its_token_changes_nothing(cast: Cast) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(cast.admin.user)
    assert client.post(f"/a/rivers/people/{cast.official.pk}/end/").status_code == 403
    cast.official.refresh_from_db()
    assert cast.official.active
