"""A crew whose observer keeps a log, the night after the game."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client

from evaluations.models import Observation
from tests.factories.accounts import Cast, signed_in
from tests.factories.evaluations import GAME_AT
from tests.factories.logs import log_with
from tests.factories.releases import crew_of
from tests.web.crew.pages import MISSES


@pytest.fixture(autouse=True)
def clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is the night after the game."""
    monkeypatch.setattr("django.utils.timezone.now", lambda: GAME_AT + timedelta(hours=3))


@pytest.fixture
def observation(cast: Cast) -> Observation:
    """Nico Vale is the referee, Mara Odell the umpire; Orla Finch kept a log."""
    found = crew_of(cast)
    log_with(found, MISSES)
    return found


@pytest.fixture
def observer(cast: Cast) -> Client:
    return signed_in(cast.observer)
