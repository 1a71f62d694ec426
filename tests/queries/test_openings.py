"""A crew's letters open all at once, at the first moment that no rule forbids for any of them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from accounts.models import Membership
from evaluations.models import Observation
from evaluations.queries.evaluations import crew_forms
from evaluations.queries.openings import crew_opening
from tests.factories.accounts import Cast
from tests.factories.evaluations import (
    GAME_AT,
    game_with,
    open_observation,
    published_rubric,
    season_of,
)

RELEASED_AT = GAME_AT + timedelta(days=1)


def lives_in(official: Membership, zone: str) -> None:
    official.user.time_zone = zone
    official.user.save()


@pytest.fixture
def observation(cast: Cast) -> Observation:
    season = season_of(cast.association)
    rubric = published_rubric(season, cast.admin)
    game = game_with(season, cast.official, cast.other_official)
    return open_observation(game, cast.observer, rubric)


def test_by_day_a_crews_letters_open_when_they_are_released(observation: Observation) -> None:
    assert crew_opening(crew_forms(observation), RELEASED_AT).at == RELEASED_AT


def test_nobody_reads_before_the_partner_may(observation: Observation, cast: Cast) -> None:
    game_with(
        observation.game.season,
        cast.other_official,
        cast.young_official,
        plays_at=RELEASED_AT + timedelta(hours=3),
    )
    opening = crew_opening(crew_forms(observation), RELEASED_AT)
    alone = {own.official: own for own in opening.own}
    assert alone[cast.official].at == RELEASED_AT
    assert alone[cast.other_official].held_by is not None
    assert opening.at >= RELEASED_AT + timedelta(hours=3 + 12)


def test_a_moment_that_suits_one_is_not_in_the_others_night(
    observation: Observation, cast: Cast
) -> None:
    lives_in(cast.official, "Europe/Lisbon")
    lives_in(cast.other_official, "America/Los_Angeles")
    night = datetime(2026, 11, 12, 7, tzinfo=UTC)
    opening = crew_opening(crew_forms(observation), night).at
    for zone in ("Europe/Lisbon", "America/Los_Angeles"):
        assert 8 <= opening.astimezone(ZoneInfo(zone)).hour < 21


def test_clocks_without_a_common_hour_do_not_hold_the_letters_for_ever(
    observation: Observation, cast: Cast
) -> None:
    lives_in(cast.official, "Pacific/Kiritimati")
    lives_in(cast.other_official, "Europe/Lisbon")
    association = cast.association
    association.quiet_from, association.quiet_until = "15:00", "12:00"
    association.save()
    assert crew_opening(crew_forms(observation), RELEASED_AT).at > RELEASED_AT
