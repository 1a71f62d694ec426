"""What a thumb does on the live page."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.urls import reverse
from playwright.sync_api import Page, expect

from accounts.models import User
from evaluations.models import DeadBallLog
from evaluations.queries.logs import dead_ball_value

SignIn = Callable[[Page, User], None]


def address(log: DeadBallLog, name: str = "live_log") -> str:
    return reverse(f"evaluations:{name}", args=["rivers", log.observation_id])


def opened(page: Page, sign_in: SignIn, log: DeadBallLog) -> Page:
    sign_in(page, log.observation.observer.user)
    page.goto(address(log))
    return page


def tap(page: Page, name: str, value: str) -> None:
    """One of the answers by what stands on it, as a finger finds it."""
    page.locator(f"label:has(input[name='{name}'][value='{value}'])").click()


def toggle(page: Page, name: str) -> None:
    page.locator(f"label:has(input[name='{name}'])").click()


def third(page: Page, value: str) -> None:
    page.locator(f".third button[value='{value}']").click()


def whistle(page: Page, zone: str, follows: str, last: str) -> None:
    """Three taps."""
    tap(page, "zone", zone)
    tap(page, "follows", follows)
    third(page, last)


def logged(page: Page, number: int) -> None:
    """Wait until the site has it and the page says so."""
    expect(page.locator("#live-last b").first).to_have_text(f"Dead ball {number}")
    expect(page.locator("[data-save-line]")).to_have_text("saved 13:42")


def stored(log: DeadBallLog) -> list[Any]:
    rows = log.dead_balls.filter(removed_at__isnull=True).order_by("number")
    return [dead_ball_value(row) for row in rows]
