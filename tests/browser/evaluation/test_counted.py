"""A level beside its count in a real browser: another one asks why, and keeps the answer."""

from __future__ import annotations

import pytest
from playwright.sync_api import Locator, Page, expect

from evaluations.models import Evaluation, Observation
from tests.browser.accessibility import violations
from tests.browser.evaluation.doing import (
    SignIn,
    address,
    choose,
    crew_address,
    opened,
    rows,
    saved,
    scales,
    write_and_save,
)
from tests.factories.logs import full_stops, log_with
from tests.factories.releases import write

REASON = "Twice the scorer waved the crew on."


@pytest.fixture
def counted(observation: Observation) -> None:
    """The referee stood still 2 times in 9; the form's first criterion counts that."""
    log_with(observation, full_stops(met=2, not_met=7))


def reason(page: Page) -> Locator:
    return rows(page).first.get_by_label("Why not as counted?")


def remark(page: Page) -> Locator:
    return rows(page).first.get_by_text("The log has 2 of 9 met, and this level says otherwise.")


@pytest.mark.usefixtures("counted")
def test_the_reason_appears_at_another_level_and_is_kept(
    phone: Page, sign_in: SignIn, observation: Observation, evaluation: Evaluation
) -> None:
    page = opened(phone, sign_in, observation, address(evaluation))
    first = scales(page)[0]
    expect(first.locator(".counted")).to_contain_text("suggests seldom")
    expect(first.locator("input:checked")).to_have_count(0)
    for level, asks, odd in ((1, False, False), (2, True, False), (5, True, True)):
        choose(first, level)
        expect(reason(page)).to_be_visible(visible=asks)
        expect(remark(page)).to_be_visible(visible=odd)
    choose(first, "not_seen")
    expect(reason(page)).to_be_hidden()
    with page.expect_response(lambda answer: "level=4" in (answer.request.post_data or "")):
        choose(first, 4)
    write_and_save(reason(page), REASON)
    page.reload()
    expect(reason(page)).to_have_value(REASON)
    expect(remark(page)).to_be_visible()
    assert [(r.level, r.reason) for r in evaluation.ratings.all()] == [(4, REASON)]


@pytest.mark.usefixtures("counted")
def test_a_reason_that_is_missing_is_led_to_from_the_check_page(
    laptop: Page, sign_in: SignIn, observation: Observation, evaluation: Evaluation
) -> None:
    write(evaluation)
    page = opened(laptop, sign_in, observation, address(evaluation, "evaluation_check"))
    expect(
        page.get_by_text("The log has 2 of 9 met; the level says “nearly always”.")
    ).to_be_visible()
    page.get_by_role("link", name="To the first one").click()
    expect(reason(page)).to_be_in_viewport()
    reason(page).fill(REASON)
    saved(page)
    page.goto(address(evaluation, "evaluation_check"))
    expect(page.get_by_text("Both will stand in the letter, with your reason.")).to_be_visible()
    expect(page.get_by_role("button", name="Submit")).to_be_visible()


@pytest.mark.usefixtures("counted")
def test_without_scripts_the_reason_is_asked_for_and_kept(
    plain: Page, evaluation: Evaluation
) -> None:
    plain.goto(address(evaluation))
    choose(scales(plain)[0], 4)
    reason(plain).fill(REASON)
    plain.get_by_role("button", name="Save", exact=True).click()
    expect(reason(plain)).to_have_value(REASON)
    assert [(r.level, r.reason) for r in evaluation.ratings.all()] == [(4, REASON)]


@pytest.mark.usefixtures("counted")
@pytest.mark.parametrize("width", [320, 1366])
@pytest.mark.parametrize("name", ["evaluation_form", "evaluation_check", "crew_form"])
def test_pages_with_counts_fit_and_are_accessible(
    phone: Page,
    sign_in: SignIn,
    observation: Observation,
    evaluation: Evaluation,
    name: str,
    width: int,
) -> None:
    write(evaluation)
    phone.set_viewport_size({"width": width, "height": 740})
    path = crew_address(observation) if name == "crew_form" else address(evaluation, name)
    page = opened(phone, sign_in, observation, path)
    assert page.evaluate("document.documentElement.scrollWidth") == width
    assert violations(page) == []
