"""All that an observer was sent to, and the letters that came of it."""

from __future__ import annotations

from datetime import timedelta

from evaluations.core.games import Kind
from evaluations.services.observations import assign_observer
from tests.factories.accounts import Cast, signed_in
from tests.factories.evaluations import GAME_AT, game_with, season_of
from tests.factories.releases import released_crew


def test_an_observer_finds_every_observation_and_the_letters_that_came_of_it(cast: Cast) -> None:
    letter = released_crew(cast)[0]
    observation = letter.evaluation.observation
    client = signed_in(cast.observer)
    own = client.get("/a/rivers/observations/").content.decode()
    assert f'href="/a/rivers/observations/{observation.pk}/"' in own
    assert "released" in own
    page = client.get(f"/a/rivers/observations/{observation.pk}/").content.decode()
    assert f'href="/a/rivers/letters/{letter.pk}/"' in page
    others = signed_in(cast.other_observer).get("/a/rivers/observations/").content.decode()
    assert "No observation yet" in others
    assert str(observation.game) not in others


def test_an_observers_list_has_the_last_game_first_and_goes_on_over_pages(cast: Cast) -> None:
    season = season_of(cast.association)
    for day in range(26):
        game = game_with(
            season,
            cast.official,
            cast.other_official,
            plays_at=GAME_AT + timedelta(days=day),
        )
        assign_observer(
            game=game, observer=cast.observer, kind=Kind.SCORED, by=cast.admin, now=GAME_AT
        )
    client = signed_in(cast.observer)
    first = client.get("/a/rivers/observations/").content.decode()
    assert first.index("Dec. 5, 2026") < first.index("Nov. 11, 2026")
    assert "Nov. 10, 2026" not in first
    assert "Nov. 10, 2026" in client.get("/a/rivers/observations/?page=2").content.decode()


def test_who_is_no_observer_has_no_such_list(cast: Cast) -> None:
    for member in (cast.admin, cast.official, cast.board):
        assert signed_in(member).get("/a/rivers/observations/").status_code == 403
    assert signed_in(cast.other_admin).get("/a/rivers/observations/").status_code == 404
