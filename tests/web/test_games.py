"""The pages of the games: list, entering, one game, and what is done to it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from accounts.models import Conflict, Membership, Role
from evaluations.core.games import Kind
from evaluations.models import Game, Observation, Season
from evaluations.services.games import cancel_game, move_game
from evaluations.services.observations import assign_observer
from tests.factories.accounts import NOW, Cast, member, signed_in
from tests.factories.evaluations import (
    GAME_AT,
    game_with,
    open_observation,
    published_rubric,
    season_of,
)


@pytest.fixture(autouse=True)
def clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is eight days before the first game."""
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOW)


@pytest.fixture
def season(cast: Cast) -> Season:
    return season_of(cast.association)


@pytest.fixture
def game(cast: Cast, season: Season) -> Game:
    return game_with(season, cast.official, cast.other_official)


@pytest.fixture
def browser(cast: Cast) -> Client:
    return signed_in(cast.admin)


def address(cast: Cast, name: str, *keys: int) -> str:
    return reverse(f"evaluations:{name}", args=[cast.slug, *keys])


def send(cast: Cast, game: Game, observer: Membership) -> Observation:
    return assign_observer(game=game, observer=observer, kind=Kind.SCORED, by=cast.admin, now=NOW)


def filled(cast: Cast, season: Season, **answers: object) -> dict[str, object]:
    return {
        "season": season.pk,
        "day": "2026-11-20",
        "clock": "19:30",
        "level_of_play": "Varsity",
        "home": "Otters",
        "visitors": "Pines",
        "site": "Old Barn",
        "referee": cast.official.pk,
        "umpire": cast.other_official.pk,
        **answers,
    }


# --- The list ------------------------------------------------------------------------------------
def test_without_a_season_the_list_says_to_begin_one(cast: Cast, browser: Client) -> None:
    for name in ("game_list", "game_new"):
        page = browser.get(address(cast, name))
        assert "Games belong to a season. Begin one first." in page.text


def test_the_list_begins_with_the_current_season_and_shows_every_one_on_demand(
    cast: Cast, browser: Client, game: Game
) -> None:
    last = Season.objects.create(
        association=cast.association, name="Last", starts_on="2025-09-01", ends_on="2026-04-30"
    )
    Game.objects.create(
        season=last,
        plays_at=GAME_AT - timedelta(days=300),
        level_of_play="Varsity",
        home="Bygones",
        visitors="Pines",
        site="Old Barn",
    )
    page = browser.get(address(cast, "game_list"))
    assert "Herons – Millstone" in page.text and "Bygones" not in page.text
    page = browser.get(address(cast, "game_list"), {"page": "1"})
    assert "Bygones" not in page.text
    page = browser.get(address(cast, "game_list"), {"season": ""})
    assert "Herons – Millstone" in page.text and "Bygones" in page.text


def test_a_game_is_listed_by_the_clock_of_the_place(
    cast: Cast, browser: Client, game: Game
) -> None:
    cast.admin.user.time_zone = "Asia/Tokyo"
    cast.admin.user.save()
    page = browser.get(address(cast, "game_list"))
    assert "Tue Nov. 10, 2026, 1 p.m." in page.text


def test_the_list_is_narrowed_down(cast: Cast, browser: Client, game: Game) -> None:
    send(cast, game, cast.observer)
    found = {
        query: "Herons – Millstone" in browser.get(address(cast, "game_list") + query).text
        for query in (
            "?text=heron",
            "?text=pines",
            "?since=2026-11-10",
            "?since=2026-11-11",
            "?unobserved=on",
            "?since=soon",
        )
    }
    assert found == {
        "?text=heron": True,
        "?text=pines": False,
        "?since=2026-11-10": True,
        "?since=2026-11-11": False,
        "?unobserved=on": False,
        "?since=soon": False,
    }


def test_a_long_list_has_pages_that_keep_what_was_asked(
    cast: Cast,
    browser: Client,
    season: Season,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    for days in range(27):
        plays_at = GAME_AT + timedelta(days=days)
        game = game_with(season, cast.official, cast.other_official, plays_at=plays_at)
        if days % 2:
            send(cast, game, cast.observer)
    with django_assert_max_num_queries(15):
        page = browser.get(address(cast, "game_list"), {"text": "heron"})
    assert "Page 1 of 2" in page.text and "27 games" in page.text
    assert "text=heron&amp;page=2" in page.text
    second = browser.get(address(cast, "game_list"), {"text": "heron", "page": "2"})
    assert second.text.count("Herons – Millstone") == 2


# --- Entering ------------------------------------------------------------------------------------
def test_an_admin_enters_a_game_by_the_clock_of_the_association(
    cast: Cast, browser: Client, season: Season
) -> None:
    cast.admin.user.time_zone = "Asia/Tokyo"
    cast.admin.user.save()
    page = browser.get(address(cast, "game_new"))
    assert "By the clock of Chicago." in page.text
    page = browser.post(address(cast, "game_new"), filled(cast, season), follow=True)
    game = Game.objects.get()
    assert game.plays_at == datetime(2026, 11, 21, 1, 30, tzinfo=UTC)
    assert game.crew_size == 2
    assert "Otters – Pines" in page.text and "Fri Nov. 20, 2026, 7:30 p.m." in page.text


def test_a_third_official_makes_it_a_crew_of_three(
    cast: Cast, browser: Client, season: Season
) -> None:
    browser.post(address(cast, "game_new"), filled(cast, season, third=cast.young_official.pk))
    game = Game.objects.get()
    assert game.crew_size == 3
    assert {c.position: c.official for c in game.crew.all()} == {
        "referee": cast.official,
        "umpire_1": cast.other_official,
        "umpire_2": cast.young_official,
    }


def test_an_official_who_is_chosen_twice_is_named_at_the_second_place(
    cast: Cast, browser: Client, season: Season
) -> None:
    answers = filled(cast, season, umpire=cast.official.pk)
    page = browser.post(address(cast, "game_new"), answers)
    form = page.context["form"]
    assert form.errors == {"umpire": ["Nico Vale is in the crew already, as “Referee”."]}
    assert 'value="Old Barn"' in page.text
    assert not Game.objects.exists()


def test_an_incomplete_crew_is_named_where_it_is_incomplete(
    cast: Cast, browser: Client, season: Season
) -> None:
    page = browser.post(
        address(cast, "game_new"),
        filled(cast, season, referee="", umpire="", third=cast.official.pk),
    )
    assert page.context["form"].errors == {
        "referee": ["A crew has a referee."],
        "umpire": ["A crew has an umpire."],
    }


def test_a_day_outside_the_season_is_refused(cast: Cast, browser: Client, season: Season) -> None:
    page = browser.post(address(cast, "game_new"), filled(cast, season, day="2027-05-01"))
    assert "The season 2026–27 runs from Sept. 1, 2026 to April 30, 2027." in page.text
    assert not Game.objects.exists()


def test_an_hour_that_the_clocks_skip_is_refused(
    cast: Cast, browser: Client, season: Season
) -> None:
    page = browser.post(
        address(cast, "game_new"), filled(cast, season, day="2027-03-14", clock="02:30")
    )
    assert page.context["form"].errors == {"clock": ["The clocks skip this hour on that day."]}


@pytest.mark.parametrize("who", ["other_official_elsewhere", "former_official", "observer"])
def test_only_own_active_officials_can_be_chosen(
    cast: Cast, browser: Client, season: Season, who: str
) -> None:
    answers = filled(cast, season, umpire=getattr(cast, who).pk)
    page = browser.post(address(cast, "game_new"), answers)
    assert "umpire" in page.context["form"].errors
    assert not Game.objects.exists()


# --- One game ------------------------------------------------------------------------------------
def test_a_games_page_shows_crew_observers_and_why_others_cannot_be_sent(
    cast: Cast, browser: Client, game: Game
) -> None:
    send(cast, game, cast.observer)
    Conflict.objects.create(observer=cast.other_observer, official=cast.official, declared_at=NOW)
    page = browser.get(address(cast, "game", game.pk))
    form = page.context["form"]
    assert [str(c.observer) for c in form.fit.values()] == ["Tess Rowan"]
    for words in (
        "Nico Vale",
        "referee",
        "Mara Odell",
        "not opened yet",
        "Tess Rowan, sent to 0 games this season",
        "is assigned to this game already",
        "is in declared conflict with Nico Vale",
    ):
        assert words in page.text


def test_a_games_page_marks_an_observer_who_became_unfit(
    cast: Cast, browser: Client, game: Game
) -> None:
    send(cast, game, cast.observer)
    Conflict.objects.create(observer=cast.observer, official=cast.official, declared_at=NOW)
    page = browser.get(address(cast, "game", game.pk))
    assert "Orla Finch is in declared conflict with Nico Vale. Send somebody else" in page.text


def test_a_games_page_takes_a_bounded_number_of_queries(
    cast: Cast,
    browser: Client,
    game: Game,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    for number in range(10):
        observer = member(cast.association, f"Observer {number}", Role.OBSERVER)
        if number % 2:
            send(cast, game, observer)
    with django_assert_max_num_queries(18):
        browser.get(address(cast, "game", game.pk))


def test_an_admin_corrects_a_games_details(cast: Cast, browser: Client, game: Game) -> None:
    page = browser.get(address(cast, "game_edit", game.pk))
    assert 'value="Harbor Gym"' in page.text
    answers = {"level_of_play": "JV", "home": "Herons", "visitors": "Pines", "site": "Annex"}
    page = browser.post(address(cast, "game_edit", game.pk), answers, follow=True)
    assert "Herons – Pines" in page.text and "Annex" in page.text


def test_an_admin_moves_a_game_and_its_page_keeps_the_time_before(
    cast: Cast, browser: Client, game: Game
) -> None:
    page = browser.get(address(cast, "game_move", game.pk))
    assert 'value="2026-11-10"' in page.text and 'value="13:00"' in page.text
    same = {"day": "2026-11-10", "clock": "13:00"}
    page = browser.post(address(cast, "game_move", game.pk), same)
    assert "at this time already" in page.text
    page = browser.post(
        address(cast, "game_move", game.pk), {"day": "2026-11-12", "clock": "20:00"}, follow=True
    )
    assert "Thu Nov. 12, 2026, 8 p.m." in page.text
    assert "Moved from" in page.text and "Tue Nov. 10, 2026, 1 p.m." in page.text


def test_an_admin_changes_the_crew_unless_something_is_written(
    cast: Cast, browser: Client, game: Game, season: Season
) -> None:
    observation = open_observation(game, cast.observer, published_rubric(season, cast.admin))
    form = observation.evaluations.get(official=cast.other_official)
    form.summary = "Moves well."
    form.save()
    crew = {"referee": cast.official.pk, "umpire": cast.young_official.pk}
    page = browser.post(address(cast, "game_crew", game.pk), crew)
    assert "Something is written about Mara Odell already" in page.text
    crew = {"referee": cast.young_official.pk, "umpire": cast.other_official.pk}
    page = browser.post(address(cast, "game_crew", game.pk), crew, follow=True)
    assert "The crew is changed." in page.text and "Kit Larkin" in page.text


def test_cancelling_says_first_what_will_happen_and_can_be_undone(
    cast: Cast, browser: Client, game: Game
) -> None:
    observation = send(cast, game, cast.observer)
    page = browser.get(address(cast, "game_cancel", game.pk))
    assert "The observation of Orla Finch is closed with your reason" in page.text
    page = browser.post(address(cast, "game_cancel", game.pk), {"reason": " "})
    assert "Say why. The observer reads it." in page.text
    page = browser.post(address(cast, "game_cancel", game.pk), {"reason": "Snow"}, follow=True)
    assert "closed: Snow" in page.text and "Put the game on again" in page.text
    page = browser.post(address(cast, "game_restore", game.pk), follow=True)
    observation.refresh_from_db()
    assert "The game is on again." in page.text
    assert observation.closed_at is None


def test_cancelling_keeps_what_is_submitted_and_says_so(
    cast: Cast, browser: Client, game: Game, season: Season
) -> None:
    observation = open_observation(game, cast.observer, published_rubric(season, cast.admin))
    observation.evaluations.filter(official=cast.official).update(state="submitted")
    page = browser.get(address(cast, "game_cancel", game.pk))
    assert "What Orla Finch has submitted stays, and can be released." in page.text


def test_what_cannot_be_done_to_a_game_any_more_is_said(
    cast: Cast, browser: Client, game: Game
) -> None:
    page = browser.post(address(cast, "game_restore", game.pk), follow=True)
    assert "The game isn&#x27;t cancelled." in page.text
    cancel_game(game=game, reason="Snow", by=cast.admin, now=NOW)
    page = browser.post(address(cast, "game_cancel", game.pk), {"reason": "Ice"})
    assert "The game is cancelled. Put it on again first." in page.text
    page = browser.post(
        address(cast, "game_move", game.pk), {"day": "2026-11-12", "clock": "20:00"}
    )
    assert "The game is cancelled. Put it on again first." in page.text


# --- Who may -------------------------------------------------------------------------------------
PAGES = ("game", "game_edit", "game_move", "game_crew", "game_cancel", "observation_assign")


def test_only_admins_open_the_pages_of_games(cast: Cast, game: Game) -> None:
    send(cast, game, cast.observer)
    addresses = [
        address(cast, "game_list"),
        address(cast, "game_new"),
        *(address(cast, name, game.pk) for name in PAGES),
    ]
    for who in (cast.observer, cast.official, cast.board):
        assert {signed_in(who).get(page).status_code for page in addresses} == {403}


def test_a_game_of_another_association_does_not_exist(cast: Cast, browser: Client) -> None:
    there = season_of(cast.other_association)
    colleague = member(cast.other_association, "Ulf Dahl", Role.OFFICIAL)
    elsewhere = game_with(there, cast.other_official_elsewhere, colleague)
    for name in PAGES:
        assert browser.get(address(cast, name, elsewhere.pk)).status_code == 404
    for name in ("game_restore", "observation_assign"):
        assert browser.post(address(cast, name, elsewhere.pk)).status_code == 404


def test_reading_changes_no_game(cast: Cast, browser: Client, game: Game) -> None:
    moved = move_game(game=game, plays_at=GAME_AT + timedelta(days=1), by=cast.admin, now=NOW)
    assert browser.get(address(cast, "game_restore", game.pk)).status_code == 405
    for name in PAGES:
        browser.get(address(cast, name, game.pk))
    game.refresh_from_db()
    assert (game.plays_at, game.cancelled_at) == (moved.plays_at, None)
    assert not game.observations.exists()
