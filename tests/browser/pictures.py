"""Takes the README's pictures into docs/pictures/. Run by `make pictures`, not with the tests."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page

FOLDER = Path(__file__).parents[2] / "docs" / "pictures"


@pytest.mark.parametrize(
    ("name", "width", "address"),
    [("sign-in", "phone", "/accounts/login/")],
)
def test_picture(name: str, width: str, address: str, request: pytest.FixtureRequest) -> None:
    page: Page = request.getfixturevalue(width)
    page.goto(address)
    FOLDER.mkdir(parents=True, exist_ok=True)
    written = page.screenshot(path=FOLDER / f"{name}-{width}.png", full_page=True)
    assert written
