"""A game of this evening, whose observer is about to write her forms."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

import pytest
from django.conf import settings
from django.test import Client
from django.utils import timezone
from playwright.sync_api import Browser, Page

from evaluations.models import Evaluation, Observation
from tests.factories.accounts import make_cast
from tests.factories.releases import THAT_NIGHT, crew_of


@pytest.fixture
def observation(site: str, monkeypatch: pytest.MonkeyPatch) -> Observation:
    """It is 17:00 in Chicago, an hour after Orla Finch saw the crew."""
    now = THAT_NIGHT + timedelta(hours=1)
    monkeypatch.setattr(timezone, "now", lambda: now)
    return crew_of(make_cast())


@pytest.fixture
def evaluation(observation: Observation) -> Evaluation:
    return observation.evaluations.get(position="referee")


@pytest.fixture
def plain(browser: Browser, site: str, observation: Observation) -> Iterator[Page]:
    """A browser that runs no script, in which the observer is signed in."""
    context = browser.new_context(base_url=site, java_script_enabled=False)
    client = Client()
    client.force_login(observation.observer.user)
    name = settings.SESSION_COOKIE_NAME
    context.add_cookies([{"name": name, "value": client.cookies[name].value, "url": site}])
    yield context.new_page()
    context.close()
