"""What a person does on the evaluation's pages, in terms of the browser."""

from __future__ import annotations

from collections.abc import Callable

from django.urls import reverse
from playwright.sync_api import Locator, Page, expect

from accounts.models import User
from evaluations.models import Evaluation, Observation

SignIn = Callable[[Page, User], None]


def address(evaluation: Evaluation, page: str = "evaluation_form") -> str:
    return reverse(f"evaluations:{page}", args=["rivers", evaluation.pk])


def crew_address(observation: Observation) -> str:
    return reverse("evaluations:crew_form", args=["rivers", observation.pk])


def opened(page: Page, sign_in: SignIn, observation: Observation, path: str) -> Page:
    sign_in(page, observation.observer.user)
    page.goto(path)
    return page


def scales(page: Page) -> list[Locator]:
    return page.locator("[data-scale]").all()


def rows(page: Page) -> Locator:
    return page.locator(".row:has([data-scale])")


def choose(scale: Locator, answer: int | str) -> None:
    scale.locator(f"input[value='{answer}']").click()


def saved(page: Page) -> None:
    expect(page.locator("[data-save-line]")).to_have_text("saved 17:00")


def write_and_save(field: Locator, text: str) -> None:
    """Type, and wait until the site has it."""
    with field.page.expect_response(lambda answer: answer.url.endswith("/save/")) as answer:
        field.fill(text)
    assert answer.value.ok
    saved(field.page)
