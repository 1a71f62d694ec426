"""A real browser on the real site: fixtures of every test that opens a page.

A page fails its test when the browser complains, a script fails, or anything is asked of another
machine.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from typing import Final, Protocol
from urllib.parse import urlsplit

import pytest
from django.conf import settings
from django.test import Client
from playwright.sync_api import Browser, Page, Request, ViewportSize, sync_playwright
from pytest_django.live_server_helper import LiveServer

from accounts.models import User
from tests.needs import chromium

HERE: Final = "127.0.0.1"
PHONE: Final = ViewportSize(width=360, height=740)
LAPTOP: Final = ViewportSize(width=1366, height=850)
NARROW: Final = 600
"""Pixels; what is narrower is touched."""
CHROMIUM_ARGUMENTS: Final = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    f"--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE {HERE}",
]


class OpenPage(Protocol):
    def __call__(
        self,
        size: ViewportSize,
        *,
        scripts: bool = True,
        dark: bool = False,
        locale: str = "en-US",
    ) -> Page: ...


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    program = chromium()
    # Playwright keeps an event loop in this thread, which Django takes for a sign that it is
    # called from asynchronous code.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=str(program), args=CHROMIUM_ARGUMENTS)
        yield running
        running.close()
    del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


@pytest.fixture
def site(request: pytest.FixtureRequest) -> Iterator[str]:
    """The address of the site, served on a database of this test's own.

    It is empty, or holds the demo season where the test is marked `demo`.
    """
    marked = request.node.get_closest_marker("demo") is not None
    request.getfixturevalue("own_demo" if marked else "own_sqlite")
    server = LiveServer(HERE)
    yield server.url
    server.stop()


@pytest.fixture
def complaints() -> list[str]:
    """What browsers complained of in this test. A test that wants a refusal clears it."""
    return []


@pytest.fixture
def open_page(browser: Browser, site: str, complaints: list[str]) -> Iterator[OpenPage]:
    """Opens pages of a size, each in a browser profile of its own, with scripts or without."""
    with ExitStack() as contexts:

        def opened(
            size: ViewportSize, *, scripts: bool = True, dark: bool = False, locale: str = "en-US"
        ) -> Page:
            context = contexts.enter_context(
                browser.new_context(
                    base_url=site,
                    viewport=size,
                    locale=locale,
                    timezone_id="America/Denver",
                    service_workers="block",
                    has_touch=size["width"] < NARROW,
                    java_script_enabled=scripts,
                    color_scheme="dark" if dark else "light",
                )
            )
            context.set_default_timeout(10_000)
            return _listened_to(context.new_page(), complaints)

        yield opened
    assert complaints == []


@pytest.fixture
def phone(open_page: OpenPage) -> Page:
    return open_page(PHONE)


@pytest.fixture
def laptop(open_page: OpenPage) -> Page:
    return open_page(LAPTOP)


def _listened_to(page: Page, complaints: list[str]) -> Page:
    page.on(
        "console",
        lambda message: (
            complaints.append(f"{message.type}: {message.text}")
            if message.type in {"error", "warning"}
            else None
        ),
    )
    page.on("pageerror", lambda error: complaints.append(f"script: {error}"))
    page.on("request", lambda request: complaints.extend(_leaving(request)))
    return page


def _leaving(request: Request) -> list[str]:
    address = urlsplit(request.url)
    stays = address.scheme in {"data", "blob", "about"} or address.hostname == HERE
    return [] if stays else [f"leaves this machine: {request.url}"]


@pytest.fixture
def sign_in(site: str) -> Callable[[Page, User], None]:
    """Gives a page the session of a person, past the sign-in form."""

    def signed_in(page: Page, person: User) -> None:
        client = Client()
        client.force_login(person)
        name = settings.SESSION_COOKIE_NAME
        page.context.add_cookies([{"name": name, "value": client.cookies[name].value, "url": site}])

    return signed_in
