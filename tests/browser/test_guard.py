"""The pages of these tests would not let a bad one pass."""

from __future__ import annotations

from playwright.sync_api import Page

from tests.browser.accessibility import overflow, small_targets, violations


def test_an_error_in_the_console_is_a_complaint(laptop: Page, complaints: list[str]) -> None:
    laptop.goto("/accounts/login/")
    laptop.evaluate("console.error('no such level')")
    assert complaints == ["error: no such level"]
    complaints.clear()


def test_a_script_that_fails_is_a_complaint(laptop: Page, complaints: list[str]) -> None:
    laptop.goto("/accounts/login/")
    with laptop.expect_event("pageerror"):
        laptop.evaluate("setTimeout(() => { throw new Error('no such level') })")
    assert complaints == ["script: no such level"]
    complaints.clear()


def test_the_site_lets_no_page_ask_another_machine(laptop: Page, complaints: list[str]) -> None:
    laptop.goto("/accounts/login/")
    outcome = laptop.evaluate("fetch('https://example.org/').then(() => 'sent', () => 'refused')")
    assert outcome == "refused"
    assert any("Content Security Policy" in complaint for complaint in complaints)
    complaints.clear()


def test_a_request_to_another_machine_is_a_complaint(laptop: Page, complaints: list[str]) -> None:
    laptop.goto("about:blank")
    laptop.evaluate("fetch('https://example.org/').catch(() => null)")
    assert "leaves this machine: https://example.org/" in complaints
    complaints.clear()


def test_targets_that_a_finger_misses_are_found(laptop: Page) -> None:
    laptop.set_content(
        """<nav><a href="#"><svg width="20" height="20"></svg></a><a href="#"><svg width="20"
        height="20"></svg></a></nav><p>A link <a href="#">in a sentence</a> may be small.</p>
        <button class="button" style="width: 43px; height: 43px">Go</button>
        <label><input type="radio" name="level" style="margin: 4px"> usually, with its word</label>
        """
    )
    found = small_targets(laptop)
    assert [line.partition(":")[0] for line in found] == ["A ", "A ", "BUTTON Go"]
    assert found[2].endswith("43 by 43 px")


def test_what_stands_out_of_the_window_is_found(phone: Page) -> None:
    phone.set_content("<body style='margin: 0'><p style='width: 400px'>Too wide</p></body>")
    assert overflow(phone) == ["40 px too wide", "P Too wide"]


def test_axe_finds_what_has_no_name(laptop: Page) -> None:
    laptop.set_content("<html lang='en'><title>A form</title><main><h1>A form</h1><input></main>")
    assert [line.partition(":")[0] for line in violations(laptop)] == ["label"]
