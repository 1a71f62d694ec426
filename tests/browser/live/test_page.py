"""How the live page lies under a thumb: all in sight, large enough, still, accessible."""

from __future__ import annotations

from typing import Final

import pytest
from playwright.sync_api import Page, ViewportSize, expect

from tests.browser.accessibility import overflow, small_targets, violations
from tests.browser.live.conftest import BeginLog
from tests.browser.live.doing import SignIn, logged, opened, tap, third, whistle
from tests.browser.pages import LAPTOP, PHONE, OpenPage

NARROW: Final = ViewportSize(width=320, height=640)
TOUCH: Final = 44

SMALL: Final = """() => [...document.querySelectorAll("main label, main .button")]
  .filter((target) => target.checkVisibility() && target.querySelector("input, :scope") !== null)
  .map((target) => [target.textContent.trim(), target.getBoundingClientRect()])
  .filter(([, box]) => box.width > 0 && Math.min(box.width, box.height) < 43.5)
  .map(([text, box]) => `${text} ${box.width.toFixed(0)} by ${box.height.toFixed(0)}`)"""
COVERED: Final = """() => [...document.querySelectorAll(
    "[name=zone], [name=caller], [name=follows], .third button")]
  .map((control) => [control, (control.closest("label") ?? control).getBoundingClientRect()])
  .filter(([control, box]) => {
    const hit = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
    return !hit || (hit.closest("label")?.control ?? hit.closest("button")) !== control;
  })
  .map(([control]) => `${control.name} ${control.value}`)"""
SHIFTS: Final = """() => {
  window.shifts = [];
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) window.shifts.push(entry.value);
  }).observe({type: "layout-shift", buffered: false});
}"""


@pytest.mark.parametrize("crew", [2, 3])
@pytest.mark.parametrize("seat", ["table", "left_end"])
@pytest.mark.parametrize("size", [PHONE, LAPTOP, NARROW], ids=["phone", "laptop", "narrow"])
def test_before_during_and_after_a_whistle_the_page_is_accessible(
    open_page: OpenPage,
    sign_in: SignIn,
    begin: BeginLog,
    size: ViewportSize,
    seat: str,
    crew: int,
) -> None:
    log = begin(crew=crew, seat=seat, focus=["eyes_kept", "full_stop"])
    page = opened(open_page(size), sign_in, log)
    page.emulate_media(reduced_motion="reduce")
    found = faults(page)
    tap(page, "zone", "o2")
    if crew == 3:
        tap(page, "caller", "umpire_1-trail")
    tap(page, "follows", "side_line")
    found += faults(page)
    third(page, "not_seen")
    logged(page, 1)
    found += faults(page)
    page.emulate_media(color_scheme="dark")
    found += violations(page, "color-contrast")
    assert found == []


def faults(page: Page) -> list[str]:
    # Wherever the page is scrolled to, the third tap lies over something: here it lies at its end.
    page.evaluate("document.querySelector('.third').style.setProperty('position', 'static')")
    small: list[str] = page.evaluate(SMALL)
    found = [*violations(page), *small_targets(page), *overflow(page), *small]
    page.evaluate("document.querySelector('.third').style.removeProperty('position')")
    return found


@pytest.mark.parametrize("seat", ["table", "opposite", "left_end", "right_end"])
def test_on_a_phone_everything_to_tap_is_in_sight_from_the_first_whistle_on(
    phone: Page, sign_in: SignIn, begin: BeginLog, seat: str
) -> None:
    page = opened(phone, sign_in, begin(seat=seat))
    whistle(page, "t1", "free_throws", "switched")
    logged(page, 1)
    assert page.evaluate(COVERED) == []
    expect(page.locator("#live-last")).to_be_in_viewport(ratio=1)
    scrolled = page.evaluate("scrollY")
    for number in (2, 3):
        whistle(page, "o3", "no_foul", "stayed")
        logged(page, number)
        assert page.evaluate("scrollY") == scrolled


def test_sitting_at_the_table_even_the_first_whistle_needs_no_scrolling(
    phone: Page, sign_in: SignIn, begin: BeginLog
) -> None:
    page = opened(phone, sign_in, begin())
    assert page.evaluate(COVERED) == []


def test_nothing_moves_while_whistles_are_logged(
    phone: Page, sign_in: SignIn, begin: BeginLog
) -> None:
    page = opened(phone, sign_in, begin(focus=["eyes_kept"]))
    whistle(page, "t1", "free_throws", "switched")
    logged(page, 1)
    page.evaluate(SHIFTS)
    for number, (zone, last) in enumerate((("t1", "stayed"), ("o4", "not_seen")), start=2):
        whistle(page, zone, "side_line", last)
        logged(page, number)
    page.wait_for_timeout(300)
    assert page.evaluate("window.shifts.filter((shift) => shift > .001)") == []
