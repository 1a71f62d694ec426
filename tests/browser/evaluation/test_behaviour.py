"""How the evaluation's pages behave: nothing moves, they weigh little, fit and are accessible."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from evaluations.core.mechanics.facts import NumberShown, Report, Route
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
from tests.factories.logs import lead_calls, log_with
from tests.factories.releases import hand_in, write

COLD_BUDGET = 100_000
"""Bytes that the form may bring over the line when nothing of it is in the browser yet."""

ALL_MISSED = Report(
    signal_at_spot=False,
    route=Route.THROUGH,
    full_stop=False,
    number_shown=NumberShown.NOT_SHOWN,
    type_shown=False,
    result_shown=False,
    ended_before_live=False,
)
SHIFTS = """() => {
  window.shifts = [];
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) {
      window.shifts.push({value: entry.value, own: entry.hadRecentInput});
    }
  }).observe({type: "layout-shift", buffered: true});
}"""


def test_nothing_moves_while_one_types_and_chooses(
    phone: Page, sign_in: SignIn, observation: Observation, evaluation: Evaluation
) -> None:
    page = opened(phone, sign_in, observation, address(evaluation))
    page.evaluate(SHIFTS)
    field = rows(page).first.get_by_label("What was seen")
    field.scroll_into_view_if_needed()
    page.wait_for_timeout(600)  # what scrolled is over
    page.evaluate("window.shifts.length = 0")
    field.press_sequentially("Stopped, breathed and signed, at both ends of the floor. " * 3)
    write_and_save(rows(page).first.get_by_role("textbox", name="Dead ball"), "12")
    assert page.evaluate("window.shifts") == []
    for scale in scales(page)[:3]:
        choose(scale, 5)
    saved(page)
    page.wait_for_timeout(600)
    unexpected = "window.shifts.filter((shift) => !shift.own)"
    assert page.evaluate(unexpected) == []


def test_nothing_moves_while_one_writes_the_letters_words(
    phone: Page, sign_in: SignIn, observation: Observation, evaluation: Evaluation
) -> None:
    write(evaluation)
    page = opened(phone, sign_in, observation, address(evaluation, "evaluation_words"))
    page.evaluate(SHIFTS)
    field = page.get_by_label("In short")
    field.press_sequentially("Calm at the table from the first whistle on. " * 8)
    expect(page.locator(".budget").first).to_contain_text("characters too many")
    saved(page)
    assert page.evaluate("window.shifts.filter((shift) => shift.value > 0)") == []


def test_the_form_comes_over_a_slow_line(
    phone: Page, sign_in: SignIn, observation: Observation, evaluation: Evaluation
) -> None:
    """As the tests' server sends it, which packs the page but neither scripts nor style sheets.

    About half the budget is used so; a site in production packs them too, and needs a fifth of it.
    """
    log_with(observation, [lead_calls(switched=False, report=ALL_MISSED)] * 10)
    write(evaluation)
    page = opened(phone, sign_in, observation, address(evaluation))
    page.wait_for_load_state("networkidle")
    sizes = page.evaluate(
        """() => [...performance.getEntriesByType("navigation"),
                  ...performance.getEntriesByType("resource")]
                .map((entry) => [entry.name, entry.transferSize])"""
    )
    assert len(sizes) >= 6
    assert all(size > 0 for _name, size in sizes)
    assert sum(size for _name, size in sizes) <= COLD_BUDGET


PAGES = ["evaluation_form", "evaluation_words", "evaluation_check", "crew_form"]


def path_of(page: str, observation: Observation, evaluation: Evaluation) -> str:
    return crew_address(observation) if page == "crew_form" else address(evaluation, page)


@pytest.mark.parametrize("name", PAGES)
def test_the_pages_fit_into_the_narrowest_screen(
    phone: Page, sign_in: SignIn, observation: Observation, evaluation: Evaluation, name: str
) -> None:
    write(evaluation)
    phone.set_viewport_size({"width": 320, "height": 640})
    page = opened(phone, sign_in, observation, path_of(name, observation, evaluation))
    assert page.evaluate("document.documentElement.scrollWidth") == 320
    small = page.evaluate(
        """() => [...document.querySelectorAll("main input:not([type=hidden]), main select,"
                + " main summary, main button:not([hidden]), .bar a, .bar button")]
          .filter((control) => control.checkVisibility())
          .map((control) => [control.closest("label") ?? control, control])
          .filter(([target]) => target.getBoundingClientRect().height < 44)
          .map(([, control]) => control.outerHTML)"""
    )
    assert small == []


@pytest.mark.parametrize("width", ["phone", "laptop"])
@pytest.mark.parametrize("name", PAGES)
def test_the_pages_are_accessible(
    request: pytest.FixtureRequest,
    sign_in: SignIn,
    observation: Observation,
    evaluation: Evaluation,
    name: str,
    width: str,
) -> None:
    write(evaluation)
    page: Page = request.getfixturevalue(width)
    opened(page, sign_in, observation, path_of(name, observation, evaluation))
    assert violations(page) == []


def test_a_page_with_errors_and_one_with_open_points_are_accessible(
    laptop: Page, sign_in: SignIn, observation: Observation, evaluation: Evaluation
) -> None:
    page = opened(laptop, sign_in, observation, address(evaluation, "evaluation_check"))
    assert violations(page) == []
    hand_in(observation.evaluations.get(position="umpire"))
    page.goto(address(observation.evaluations.get(position="umpire"), "evaluation_check"))
    assert violations(page) == []
