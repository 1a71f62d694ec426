"""What is tapped while the network comes and goes: nothing is lost, nothing is there twice."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.conf import settings
from playwright.sync_api import Dialog, Page, Route, expect

from evaluations.models import DeadBallLog
from tests.browser.live.conftest import BeginLog
from tests.browser.live.doing import SignIn, address, logged, opened, stored, whistle

WHISTLES = "**/live/whistle/"
UNSENT = "kept on this page, not saved yet"
Fault = Callable[[Route], None]


def unsent(page: Page) -> str:
    return page.locator("[data-unsent]").inner_text()


def back_online(page: Page, complaints: list[str], number: int) -> None:
    """Until the site has everything; of the network's faults the browser has complained."""
    page.unroute_all(behavior="wait")
    page.evaluate("dispatchEvent(new Event('online'))")
    logged(page, number)
    forgive(page, complaints)


def forgive(page: Page, complaints: list[str]) -> None:
    """Forget what the browser says of a network that failed on purpose; it says so late."""
    page.wait_for_timeout(200)
    complaints.clear()


def no_network(route: Route) -> None:
    route.abort()


def answer_lost(route: Route) -> None:
    """The site stores it, and the answer doesn't arrive."""
    route.fetch()
    route.abort()


def gyms_sign_in_page(route: Route) -> None:
    route.fulfill(body="<h1>Welcome to the gym's network</h1>", content_type="text/html")


def server_down(route: Route) -> None:
    route.fulfill(status=503, body="")


FAULTS: list[Fault] = [no_network, answer_lost, gyms_sign_in_page, server_down]


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.__name__)
def test_whistles_wait_on_the_page_and_are_stored_once_each_in_order(
    phone: Page, sign_in: SignIn, begin: BeginLog, complaints: list[str], fault: Fault
) -> None:
    log = begin()
    page = opened(phone, sign_in, log)
    page.route(WHISTLES, fault)
    whistle(page, "t1", "free_throws", "switched")
    expect(page.locator("[data-save-line]")).to_have_text(UNSENT)
    whistle(page, "t1", "end_line", "stayed")
    whistle(page, "o4", "side_line", "switched")
    assert "3 whistles not sent yet" in unsent(page)
    assert "Nico Vale, lead, opposite the table, Side line, Switched" in unsent(page)
    back_online(page, complaints, 3)
    expect(page.locator("[data-unsent]")).to_be_hidden()
    assert [(ball.caller, ball.resumes, ball.switched) for ball in stored(log)] == [
        ("referee", "free_throws", True),
        ("umpire", "end_line", False),
        ("referee", "side_line", True),
    ]


def test_the_ends_carry_over_while_nothing_is_sent(
    phone: Page, sign_in: SignIn, begin: BeginLog, complaints: list[str]
) -> None:
    page = opened(phone, sign_in, begin())
    page.route(WHISTLES, no_network)
    left = page.locator("[data-end=left]")
    for name in ("Mara Odell", "Nico Vale", "Mara Odell"):
        whistle(page, "t1", "free_throws", "switched")
        expect(left).to_have_text(name)
    back_online(page, complaints, 3)
    expect(left).to_have_text("Mara Odell")


@pytest.mark.parametrize("fault", [no_network, answer_lost], ids=lambda fault: fault.__name__)
def test_a_whistle_that_waits_is_taken_back_wherever_it_got_to(
    phone: Page, sign_in: SignIn, begin: BeginLog, complaints: list[str], fault: Fault
) -> None:
    """It may have reached the site, or never have been tried: in the end the log lacks it."""
    log = begin()
    page = opened(phone, sign_in, log)
    page.route(WHISTLES, fault)
    whistle(page, "t1", "free_throws", "switched")
    expect(page.locator("[data-save-line]")).to_have_text(UNSENT)
    whistle(page, "t1", "end_line", "stayed")
    undo = page.locator("[data-unsent-undo]")
    undo.click()
    expect(page.locator("[data-unsent]")).to_contain_text("1 whistle not sent yet")
    expect(page.locator("[data-end=left]")).to_have_text("Mara Odell")
    undo.click()
    expect(page.locator("[data-end=left]")).to_have_text("Nico Vale")
    page.unroute_all(behavior="wait")
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(page.get_by_role("button", name="Put 1 back")).to_be_visible()
    assert stored(log) == []
    forgive(page, complaints)


def test_leaving_with_whistles_unsent_is_asked_about(
    phone: Page, sign_in: SignIn, begin: BeginLog, complaints: list[str]
) -> None:
    page = opened(phone, sign_in, begin())
    page.route(WHISTLES, no_network)
    whistle(page, "t1", "free_throws", "switched")
    expect(page.locator("[data-save-line]")).to_have_text(UNSENT)
    asked: list[str] = []

    def stay(dialog: Dialog) -> None:
        asked.append(dialog.type)
        dialog.dismiss()

    page.once("dialog", stay)
    page.close(run_before_unload=True)
    page.wait_for_timeout(300)
    assert asked == ["beforeunload"]
    assert "1 whistle not sent yet" in unsent(page)
    back_online(page, complaints, 1)


def test_whoever_was_signed_out_signs_in_again_elsewhere_and_nothing_is_lost(
    phone: Page, sign_in: SignIn, begin: BeginLog, complaints: list[str]
) -> None:
    log = begin()
    page = opened(phone, sign_in, log)
    page.context.clear_cookies(name=settings.SESSION_COOKIE_NAME)
    whistle(page, "t1", "free_throws", "switched")
    expect(page.locator("[data-save-line]")).to_have_text(
        "sign in again; what you typed is kept on this page"
    )
    assert stored(log) == []
    page.context.clear_cookies()
    sign_in(page, log.observation.observer.user)
    other = page.context.new_page()
    other.goto(address(log))
    back_online(page, complaints, 1)
    assert len(stored(log)) == 1


def test_what_the_site_refuses_is_said_and_the_next_one_goes_on(
    phone: Page, sign_in: SignIn, begin: BeginLog, complaints: list[str]
) -> None:
    log = begin()
    page = opened(phone, sign_in, log)
    refusal = '{"message": "This can\'t be logged."}'
    page.route(
        WHISTLES,
        lambda route: route.fulfill(status=422, body=refusal, content_type="application/json"),
        times=1,
    )
    whistle(page, "t1", "free_throws", "switched")
    refused = page.locator("[data-refused]")
    expect(refused).to_contain_text("This can't be logged. Nico Vale, lead, table side")
    expect(page.locator("[data-end=left]")).to_have_text("Nico Vale")
    whistle(page, "t1", "end_line", "stayed")
    logged(page, 1)
    assert [ball.resumes for ball in stored(log)] == ["end_line"]
    forgive(page, complaints)


def test_a_second_tap_on_the_third_logs_no_second_whistle(
    phone: Page, sign_in: SignIn, begin: BeginLog
) -> None:
    log = begin()
    page = opened(phone, sign_in, log)
    page.locator("label:has([name=zone][value=t1])").click()
    page.locator("label:has([name=follows][value=end_line])").click()
    page.locator(".third button[value=stayed]").dblclick()
    logged(page, 1)
    assert len(stored(log)) == 1


def test_two_pages_of_one_log_don_t_lose_each_other_s_whistles(
    phone: Page, sign_in: SignIn, begin: BeginLog
) -> None:
    log: DeadBallLog = begin()
    first = opened(phone, sign_in, log)
    second = phone.context.new_page()
    second.goto(address(log))
    whistle(first, "t1", "free_throws", "switched")
    logged(first, 1)
    whistle(second, "t1", "end_line", "stayed")
    logged(second, 2)
    assert [ball.caller for ball in stored(log)] == ["referee", "referee"]
