"""The first page that anybody sees."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.accessibility import violations


def test_somebody_without_a_session_is_asked_to_sign_in(phone: Page) -> None:
    phone.goto("/")
    expect(phone).to_have_url("/accounts/login/?next=/")
    expect(phone.get_by_role("button", name="Sign in")).to_be_visible()


@pytest.mark.parametrize("width", ["phone", "laptop"])
def test_the_sign_in_page_is_accessible(width: str, request: pytest.FixtureRequest) -> None:
    page: Page = request.getfixturevalue(width)
    page.goto("/accounts/login/")
    assert violations(page) == []
