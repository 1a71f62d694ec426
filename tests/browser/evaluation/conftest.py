"""A game of this evening, whose observer is about to write her forms."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

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
