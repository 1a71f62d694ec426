"""Three taps a whistle on a phone: what the page understands, says afterwards, and takes back."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.live.conftest import BeginLog
from tests.browser.live.doing import (
    SignIn,
    logged,
    opened,
    stored,
    tap,
    third,
    toggle,
    whistle,
)
from tests.browser.pages import PHONE, OpenPage


def understood(page: Page) -> str:
    return page.locator("[data-understood]").inner_text()


def test_after_the_first_tap_the_page_says_in_words_what_it_understood(
    phone: Page, sign_in: SignIn, begin: BeginLog
) -> None:
    page = opened(phone, sign_in, begin())
    tap(page, "zone", "t1")
    assert understood(page) == "Nico Vale, lead, table side"
    toggle(page, "back_court")
    assert understood(page) == "Nico Vale, trail, table side"
    tap(page, "zone", "o2")
    assert understood(page) == "Mara Odell, lead, opposite the table"


def test_the_other_one_and_every_tap_can_be_corrected_before_the_third(
    phone: Page, sign_in: SignIn, begin: BeginLog
) -> None:
    log = begin()
    page = opened(phone, sign_in, log)
    tap(page, "zone", "o4")
    tap(page, "zone", "t1")
    tap(page, "caller", "umpire")
    assert understood(page) == "Mara Odell, lead, table side"
    tap(page, "follows", "technical")
    tap(page, "follows", "end_line")
    third(page, "switched")
    logged(page, 1)
    [ball] = stored(log)
    assert (ball.caller, ball.resumes, ball.switched) == ("umpire", "end_line", True)
    tap(page, "zone", "t1")
    assert understood(page) == "Nico Vale, lead, table side"


def test_what_was_due_is_said_only_after_the_third_tap(
    phone: Page, sign_in: SignIn, begin: BeginLog
) -> None:
    page = opened(phone, sign_in, begin())
    tap(page, "zone", "t1")
    tap(page, "follows", "free_throws")
    assert "due" not in page.locator("main").inner_text()
    third(page, "stayed")
    expect(page.locator("#live-last")).to_contain_text("switch due, not met")
    expect(page.locator("#live-last")).to_contain_text(
        "Nico Vale: trail, table side; Mara Odell: lead, opposite the table"
    )
    details = page.locator("[data-part=details]")
    expect(details).to_contain_text("switch forced before the ball is live (Mara Odell)")
    expect(details).to_contain_text("row 1")


@pytest.mark.parametrize("missing", ["zone", "follows"])
def test_the_third_tap_alone_logs_nothing(
    phone: Page, sign_in: SignIn, begin: BeginLog, missing: str
) -> None:
    log = begin()
    page = opened(phone, sign_in, log)
    for name, value in (("zone", "t1"), ("follows", "end_line")):
        if name != missing:
            tap(page, name, value)
    third(page, "stayed")
    words = {"zone": "Tap where the caller stood first.", "follows": "Tap what follows first."}
    assert understood(page) == words[missing]
    assert stored(log) == []


def test_when_the_ends_are_not_known_the_page_asks_who_called(
    phone: Page, sign_in: SignIn, begin: BeginLog
) -> None:
    log = begin()
    page = opened(phone, sign_in, log)
    whistle(page, "t1", "free_throws", "not_seen")
    logged(page, 1)
    tap(page, "zone", "o4")
    assert understood(page) == "lead, opposite the table, who called?"
    tap(page, "follows", "side_line")
    third(page, "stayed")
    assert understood(page) == "Tap who called."
    tap(page, "caller", "umpire")
    third(page, "stayed")
    logged(page, 2)
    assert [ball.caller for ball in stored(log)] == ["referee", "umpire"]
    tap(page, "period", "2")
    expect(page.locator("[data-end=left]")).to_have_text("not known")
    tap(page, "period", "")
    expect(page.locator("[data-end=right]")).to_have_text("Mara Odell")


def test_a_zone_that_was_not_seen_leaves_the_caller_to_be_named(
    phone: Page, sign_in: SignIn, begin: BeginLog
) -> None:
    page = opened(phone, sign_in, begin())
    tap(page, "zone", "t1")
    tap(page, "zone", "not_seen")
    assert understood(page) == "who called?"
    expect(page.locator("input[name=caller]:checked")).to_have_count(0)


def test_a_crew_of_three_takes_one_tap_for_who_and_where(
    phone: Page, sign_in: SignIn, begin: BeginLog
) -> None:
    log = begin(crew=3)
    page = opened(phone, sign_in, log)
    tap(page, "zone", "o1")
    assert understood(page) == "opposite the table, who called?"
    tap(page, "caller", "umpire_1-lead")
    assert understood(page) == "Mara Odell, lead, opposite the table"
    tap(page, "follows", "free_throws")
    third(page, "trail-table")
    logged(page, 1)
    expect(page.locator("#live-last")).to_contain_text("switch due, met")
    [ball] = stored(log)
    assert (ball.before["umpire_1"].position, ball.after["umpire_1"].position) == ("lead", "trail")


def test_quick_marks_of_tonights_focus_go_with_the_whistle(
    phone: Page, sign_in: SignIn, begin: BeginLog
) -> None:
    log = begin(focus=["eyes_kept", "full_stop"])
    page = opened(phone, sign_in, log)
    tap(page, "mark_full_stop", "no")
    whistle(page, "t1", "end_line", "switched")
    logged(page, 1)
    [ball] = stored(log)
    assert (ball.report.full_stop, ball.eyes.kept) == (False, None)
    expect(page.locator("[name=mark_full_stop]:checked")).to_have_count(0)


def test_the_last_whistle_is_undone_and_put_back_and_the_ends_with_it(
    phone: Page, sign_in: SignIn, begin: BeginLog
) -> None:
    log = begin()
    page = opened(phone, sign_in, log)
    whistle(page, "t1", "free_throws", "switched")
    logged(page, 1)
    left = page.locator("[data-end=left]")
    expect(left).to_have_text("Mara Odell")
    page.get_by_role("button", name="Undo 1").click()
    expect(page.locator("#live-last")).to_contain_text("No dead ball logged yet")
    expect(left).to_have_text("Nico Vale")
    page.get_by_role("button", name="Put 1 back").click()
    logged(page, 1)
    expect(left).to_have_text("Mara Odell")
    assert len(stored(log)) == 1


def test_a_note_is_kept_when_the_field_is_left(
    phone: Page, sign_in: SignIn, begin: BeginLog
) -> None:
    log = begin()
    page = opened(phone, sign_in, log)
    whistle(page, "t1", "free_throws", "switched")
    logged(page, 1)
    field = page.get_by_label("Note")
    with page.expect_response(lambda answer: answer.url.endswith("/note/")):
        field.fill("Late whistle.")
        field.blur()
    expect(field).to_have_value("Late whistle.")
    [ball] = stored(log)
    assert ball.note == "Late whistle."


def tab_to(page: Page, name: str) -> None:
    """Forward, key by key, to a field of this name."""
    for _key in range(12):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.name") == name:
            return
    raise AssertionError(f"the key leads past {name}")


def test_without_a_mouse_or_a_finger(laptop: Page, sign_in: SignIn, begin: BeginLog) -> None:
    log = begin()
    page = opened(laptop, sign_in, log)
    page.locator("[name=zone]").first.focus()
    for number, caller in enumerate(("Mara Odell", "Nico Vale"), start=1):
        page.keyboard.press("ArrowRight")
        assert understood(page) == f"{caller}, trail, opposite the table"
        page.keyboard.press("Enter")  # logs nothing
        tab_to(page, "follows")
        page.keyboard.press("Space")
        tab_to(page, "third")
        page.keyboard.press("Enter")
        logged(page, number)
        assert page.evaluate("document.activeElement.name") == "zone"
    assert [(b.caller, b.resumes, b.switched) for b in stored(log)] == [
        ("umpire", "free_throws", True),
        ("referee", "free_throws", True),
    ]


def test_without_scripts_three_taps_log_a_whistle_too(
    open_page: OpenPage, sign_in: SignIn, begin: BeginLog
) -> None:

    log = begin(focus=["full_stop"])
    page = opened(open_page(PHONE, scripts=False), sign_in, log)
    for number, (zone, last) in enumerate((("t1", "switched"), ("t1", "stayed")), start=1):
        whistle(page, zone, "free_throws", last)
        expect(page.locator("#live-last b").first).to_have_text(f"Dead ball {number}")
    assert [ball.caller for ball in stored(log)] == ["referee", "umpire"]
    page.get_by_role("button", name="Undo 2").click()
    page.get_by_role("button", name="Put 2 back").click()
    page.get_by_label("Note").fill("Late whistle.")
    page.get_by_role("button", name="Keep the note").click()
    assert stored(log)[1].note == "Late whistle."
    page.get_by_role("radio", name="table side, left end line").press("Enter")
    expect(page.get_by_role("heading", name="Please look at these answers again")).to_be_visible()
