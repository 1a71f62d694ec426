"""Every page of the demo, as each role sees it: accessible, quiet, no wider than a phone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final
from urllib.parse import urlsplit

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, ViewportSize

from accounts.models import Membership, Role, Terms, User
from accounts.services.invitations import invite
from evaluations.models import Release
from evaluations.queries.work import open_reviews
from evaluations.services.answers import assign_reviewer
from seed_demo.moments import NOW
from seed_demo.people import PASSWORD
from tests.browser.accessibility import overflow, small_targets, violations
from tests.browser.examples import PEOPLE, member, other_states, pages_of
from tests.browser.pages import LAPTOP, PHONE

SMALL_PHONE: Final = ViewportSize(width=320, height=640)


@pytest.fixture(autouse=True)
def the_demos_day(monkeypatch: pytest.MonkeyPatch) -> None:
    """The site's clock stands at the demo's own day."""
    monkeypatch.setattr(timezone, "now", lambda: NOW)


@pytest.mark.demo
@pytest.mark.parametrize("role", Role)
def test_every_page_of_a_role(
    role: Role, phone: Page, sign_in: Callable[[Page, User], None]
) -> None:
    reviewed_by(member(Role.OBSERVER))
    somebody = member(role)
    sign_in(phone, somebody.user)
    pages = [*pages_of(role, somebody, NOW), *other_states(role, somebody, NOW)]
    found = {name: faults(phone, address) for name, address in pages}
    assert {name: lines for name, lines in found.items() if lines} == {}


@pytest.mark.demo
def test_every_page_without_an_account(phone: Page, complaints: list[str]) -> None:
    pages = (
        reverse("account_login"),
        reverse("account_reset_password"),
        reverse("account_signup"),
        reverse("evaluations:verify"),
        reverse("evaluations:verify", args=[Release.objects.latest("pk").code]),
        reverse("evaluations:verify", args=["K7QM-2XPA-9RTC"]),
        reverse("accounts:invitation_accept", args=[an_invitation()]),
    )
    found = {address: faults(phone, address) for address in pages}
    assert {address: lines for address, lines in found.items() if lines} == {}
    assert faults(phone, "/nowhere/") == ["404 at /nowhere/"]
    complaints.clear()  # of that page the browser says that it isn't there


@pytest.mark.demo
def test_every_page_of_an_account(phone: Page) -> None:
    phone.goto("/")
    phone.get_by_label("Email").fill(PEOPLE[Role.BOARD])
    phone.get_by_label("Password").fill(PASSWORD)
    phone.get_by_role("button", name="Sign in").click()
    first = ("accounts:profile", "account_email", "mfa_index", "account_reauthenticate")
    found = {name: faults(phone, reverse(name)) for name in first}
    # What guards the account opens once the password has been given again.
    phone.get_by_label("Password").fill(PASSWORD)
    phone.get_by_role("button", name="Confirm").click()
    guarded = ("mfa_activate_totp", "account_change_password", "account_logout")
    found |= {name: faults(phone, reverse(name)) for name in guarded}
    assert {name: lines for name, lines in found.items() if lines} == {}


def an_invitation() -> str:
    """The token of a new one."""
    association = member(Role.ADMIN).association
    _invitation, token = invite(
        association=association,
        actor=None,
        email="nell@example.org",
        name="Nell Ashby",
        terms=Terms(roles=frozenset({Role.OFFICIAL})),
        now=NOW,
    )
    return token


def reviewed_by(observer: Membership) -> None:
    """The demo's open review is given to an observer, so that there is one to write."""
    admin = member(Role.ADMIN)
    review = open_reviews(admin).get(reviewer=None)
    assign_reviewer(review=review, reviewer=observer, by=admin, now=NOW)


def faults(page: Page, address: str) -> list[str]:
    """What is wrong with a page on a small phone, a phone in light and dark, and a laptop."""
    page.set_viewport_size(PHONE)
    page.emulate_media(color_scheme="light", reduced_motion="reduce")
    answer = page.goto(address)
    assert answer is not None
    found = [] if answer.status == 200 else [f"{answer.status} at {address}"]
    found += [f"leads to {page.url}"] if urlsplit(page.url).path != address else []
    # Wherever the page is scrolled to, the bar lies over something: here it lies at its end.
    page.evaluate("document.querySelector('.bar')?.style.setProperty('position', 'static')")
    found += [f"phone: {fault}" for fault in [*violations(page), *small_targets(page)]]
    page.emulate_media(color_scheme="dark")
    found += [f"dark: {fault}" for fault in violations(page, "color-contrast")]
    page.emulate_media(color_scheme="light")
    page.set_viewport_size(SMALL_PHONE)
    found += [f"small phone: {fault}" for fault in overflow(page)]
    page.set_viewport_size(LAPTOP)
    return found + [
        f"laptop: {fault}" for fault in [*violations(page), *small_targets(page), *overflow(page)]
    ]
