"""The pages of these tests would not let a bad one pass."""

from __future__ import annotations

from playwright.sync_api import Page


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
