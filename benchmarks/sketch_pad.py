"""How long it takes from a drag on the sketch pad to the picture, in a real browser."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.conf import settings
from django.test import Client
from playwright.sync_api import sync_playwright
from pytest_django.live_server_helper import LiveServer

from evaluations.models import DeadBallLog
from tests.browser.floor.drawing import drag_times, opened, started, typed
from tests.browser.pages import CHROMIUM_ARGUMENTS, HERE, LAPTOP
from tests.databases import MIGRATED, SqliteFiles, as_default, migrate
from tests.factories.accounts import make_cast
from tests.factories.logs import lead_calls, log_with
from tests.factories.releases import crew_of
from tests.needs import chromium

ROUTE = "20 7\n15 5\n13 -0.5"


def times(drags: int) -> list[float]:
    """Milliseconds of each drag of an official among ten players, with a route drawn."""
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"  # Playwright's loop runs in this thread
    with tempfile.TemporaryDirectory() as folder, _database(Path(folder)):
        log = log_with(crew_of(make_cast()), [lead_calls(None)])
        server = LiveServer(HERE)
        try:
            return _dragged(log, server.url, drags)
        finally:
            server.stop()


@contextmanager
def _database(folder: Path) -> Iterator[None]:
    files = SqliteFiles(folder)
    migrate(files)
    with as_default(files.url(MIGRATED)):
        yield


def _dragged(log: DeadBallLog, site: str, drags: int) -> list[float]:
    client = Client()
    client.force_login(log.observation.observer.user)
    name = settings.SESSION_COOKIE_NAME
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=str(chromium()), args=CHROMIUM_ARGUMENTS
        )
        page = browser.new_page(base_url=site, viewport=LAPTOP)
        page.context.add_cookies([{"name": name, "value": client.cookies[name].value, "url": site}])
        opened(page, log)
        started(page)
        typed(page, route=ROUTE)
        return drag_times(page, drags)
