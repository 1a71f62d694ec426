"""Who was seen in a season, and how often."""

from __future__ import annotations

from datetime import date, timedelta

from evaluations.queries.seasons import OfficialSeen, officials_seen
from evaluations.services.games import cancel_game
from evaluations.services.seasons import enter_season
from tests.factories.accounts import Cast
from tests.factories.evaluations import BEFORE_SEASON, GAME_AT, game_with
from tests.factories.releases import released_crew

DAY = timedelta(days=1)


def test_games_and_letters_are_counted_apart(cast: Cast) -> None:
    letter, _of_partner = released_crew(cast)
    season = letter.evaluation.observation.game.season
    for days in (2, 3):
        game_with(season, cast.official, cast.young_official, plays_at=GAME_AT + days * DAY)
    seen = {one.official: one for one in officials_seen(cast.board, season)}
    assert seen[cast.official] == OfficialSeen(cast.official, 3, 1, GAME_AT)
    assert seen[cast.other_official] == OfficialSeen(cast.other_official, 1, 1, GAME_AT)
    assert seen[cast.young_official] == OfficialSeen(cast.young_official, 2, 0, None)


def test_the_least_seen_come_first_by_name(cast: Cast) -> None:
    letter, _of_partner = released_crew(cast)
    seen = officials_seen(cast.board, letter.evaluation.observation.game.season)
    assert [one.official for one in seen] == [
        cast.young_official,
        cast.observer_and_official,
        cast.other_official,
        cast.official,
    ]


def test_cancelled_games_and_other_seasons_are_not_counted(cast: Cast) -> None:
    letter, _of_partner = released_crew(cast)
    season = letter.evaluation.observation.game.season
    off = game_with(season, cast.official, cast.young_official, plays_at=GAME_AT + DAY)
    cancel_game(game=off, reason="No power.", by=cast.admin, now=GAME_AT)
    [of_official] = [
        one for one in officials_seen(cast.board, season) if one.official == cast.official
    ]
    assert of_official.games == 1
    next_season = enter_season(
        association=cast.association,
        name="2027–28",
        starts_on=date(2027, 9, 1),
        ends_on=date(2028, 4, 30),
        by=cast.admin,
        now=BEFORE_SEASON,
    )
    counts = {(one.games, one.letters) for one in officials_seen(cast.board, next_season)}
    assert counts == {(0, 0)}
