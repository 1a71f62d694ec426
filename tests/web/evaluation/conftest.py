"""The night of the game: Orla Finch is about to write her forms on a crew of two."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from django.test import Client
from django.utils import timezone

from evaluations.models import Evaluation, Observation
from tests.factories.accounts import Cast, signed_in
from tests.factories.releases import THAT_NIGHT, crew_of


class Clock:
    """The time that the site believes it is."""

    now: datetime = THAT_NIGHT + timedelta(hours=1)


@pytest.fixture(autouse=True)
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    """It is the night of the game, until a test says otherwise."""
    clock = Clock()
    monkeypatch.setattr(timezone, "now", lambda: clock.now)
    return clock


@pytest.fixture
def observation(cast: Cast) -> Observation:
    return crew_of(cast)


@pytest.fixture
def evaluation(observation: Observation) -> Evaluation:
    return observation.evaluations.get(position="referee")


@pytest.fixture
def observer(cast: Cast) -> Client:
    return signed_in(cast.observer)
