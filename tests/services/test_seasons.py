"""A season has a name of its own and holds all of its games."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from django.core.exceptions import ValidationError

from accounts.models import AuditEntry
from evaluations.models import Season
from evaluations.services.errors import Refused
from evaluations.services.seasons import change_season, enter_season
from tests.factories.accounts import NOW, Cast
from tests.factories.evaluations import SEASON_END, SEASON_START, game_with, season_of


def test_a_season_is_entered_with_its_days(cast: Cast) -> None:
    season = enter_season(
        association=cast.association,
        name=" Winter 2026–27 ",
        starts_on=date(2026, 11, 1),
        ends_on=date(2027, 3, 31),
        by=cast.admin,
        now=NOW,
    )
    stored = Season.objects.get(pk=season.pk)
    assert (stored.name, stored.starts_on, stored.ends_on) == (
        "Winter 2026–27",
        date(2026, 11, 1),
        date(2027, 3, 31),
    )
    entry = AuditEntry.objects.get(action="season.entered")
    assert entry.actor == cast.admin.user and entry.object_id == str(season.pk)


def test_a_season_does_not_end_before_it_starts(cast: Cast) -> None:
    with pytest.raises(ValidationError, match="can't end before it starts"):
        enter_season(
            association=cast.association,
            name="Backwards",
            starts_on=SEASON_END,
            ends_on=SEASON_START,
            by=cast.admin,
            now=NOW,
        )
    assert not Season.objects.exists()


def test_two_seasons_of_an_association_have_two_names(cast: Cast) -> None:
    season_of(cast.association)
    season_of(cast.other_association)
    with pytest.raises(Refused, match="of this name already"):
        season_of(cast.association)


def test_a_season_keeps_its_own_name_when_its_days_change(cast: Cast) -> None:
    season = season_of(cast.association)
    change_season(
        season=season,
        name=season.name,
        starts_on=SEASON_START,
        ends_on=date(2027, 5, 31),
        by=cast.admin,
        now=NOW,
    )
    season.refresh_from_db()
    assert season.ends_on == date(2027, 5, 31)


def test_a_season_is_not_shortened_past_its_games(cast: Cast) -> None:
    season = season_of(cast.association)
    # Half past nine in the evening of the 10th in Chicago is the 11th in UTC.
    late = datetime(2026, 11, 11, 3, 30, tzinfo=UTC)
    game_with(season, cast.official, cast.other_official, plays_at=late)

    def end_on(day: date) -> None:
        change_season(
            season=season,
            name=season.name,
            starts_on=SEASON_START,
            ends_on=day,
            by=cast.admin,
            now=NOW,
        )

    with pytest.raises(Refused, match="1 game of the season would be outside"):
        end_on(date(2026, 11, 9))
    end_on(date(2026, 11, 10))
    season.refresh_from_db()
    assert season.ends_on == date(2026, 11, 10)
