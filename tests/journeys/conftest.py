"""A season's people at a clock that the journeys set: each begins where the sign-in form is."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from evaluations.core.games import Kind
from evaluations.services.observations import assign_observer
from tests.factories.accounts import Cast, make_cast
from tests.factories.evaluations import GAME_AT, game_with, published_rubric, season_of

CHICAGO = ZoneInfo("America/Chicago")


class Clock:
    """The site's clock: it stands still until a journey says that it is later."""

    def __init__(self) -> None:
        self.now = datetime(2026, 8, 20, 12, tzinfo=UTC)

    def it_is(self, moment: str) -> None:
        """Set it to a moment in Chicago, such as "2026-11-10 20:30"."""
        self.now = datetime.fromisoformat(moment).replace(tzinfo=CHICAGO).astimezone(UTC)


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    clock = Clock()
    monkeypatch.setattr(timezone, "now", lambda: clock.now)
    return clock


@pytest.fixture
def people(site: str, clock: Clock) -> Cast:
    """Everybody of an association that has no season yet, in the database of the site."""
    return make_cast()


@pytest.fixture
def observed_game(people: Cast, clock: Clock) -> Cast:
    """The observer was sent to a game of a crew of two, which ended an hour ago."""
    season = season_of(people.association)
    published_rubric(season, people.admin)
    assign_observer(
        game=game_with(season, people.official, people.other_official),
        observer=people.observer,
        kind=Kind.SCORED,
        by=people.admin,
        now=GAME_AT - timedelta(days=5),
    )
    clock.now = GAME_AT + timedelta(hours=3)
    return people
