"""When a released letter may be read and announced: cool-off, quiet hours, and the next game."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from evaluations.core.release import QuietHours, opens_at

# Clocks go from 2:00 to 3:00 on 14 March 2027 and from 2:00 back to 1:00 on 7 November 2027.
CHICAGO = ZoneInfo("America/Chicago")
QUIET = QuietHours()
NO_QUIET = QuietHours(begin=time(0), end=time(0))


def at(text: str, *, fold: int = 0) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=CHICAGO, fold=fold)


def opening(
    released: str, *, game: str, next_game: str | None = None, quiet: QuietHours = QUIET
) -> datetime:
    return opens_at(
        at(released),
        game_at=at(game),
        next_game_at=at(next_game) if next_game else None,
        quiet=quiet,
    )


def test_long_after_the_game_and_by_day_a_letter_opens_at_once() -> None:
    assert opening("2027-01-12 15:30", game="2027-01-10 19:00") == at("2027-01-12 15:30")


def test_a_letter_waits_for_the_cool_off() -> None:
    assert opening("2027-01-10 12:00", game="2027-01-10 02:00") == at("2027-01-10 14:00")


@pytest.mark.parametrize(
    ("released", "opens"),
    [
        ("2027-01-12 20:59", "2027-01-12 20:59"),
        ("2027-01-12 21:00", "2027-01-13 08:00"),
        ("2027-01-12 23:59", "2027-01-13 08:00"),
        ("2027-01-13 00:00", "2027-01-13 08:00"),
        ("2027-01-13 07:59", "2027-01-13 08:00"),
        ("2027-01-13 08:00", "2027-01-13 08:00"),
    ],
)
def test_the_night_is_quiet_and_spans_midnight(released: str, opens: str) -> None:
    assert opening(released, game="2027-01-10 19:00") == at(opens)


def test_quiet_hours_may_lie_within_one_day() -> None:
    siesta = QuietHours(begin=time(13), end=time(16))
    for released, opens in (("12:59", "12:59"), ("13:00", "16:00"), ("16:00", "16:00")):
        found = opening(f"2027-01-12 {released}", game="2027-01-10 19:00", quiet=siesta)
        assert found == at(f"2027-01-12 {opens}")


def test_quiet_hours_that_begin_when_they_end_are_none() -> None:
    found = opening("2027-01-12 03:00", game="2027-01-10 19:00", quiet=NO_QUIET)
    assert found == at("2027-01-12 03:00")


def test_a_cool_off_that_ends_at_night_lasts_to_the_morning() -> None:
    assert opening("2027-01-10 23:00", game="2027-01-10 19:00") == at("2027-01-11 08:00")


@pytest.mark.parametrize(
    ("released", "opens"),
    [
        ("2027-01-12 12:59", "2027-01-12 12:59"),  # more than six hours before
        ("2027-01-12 13:00", "2027-01-13 08:00"),
        ("2027-01-12 18:59", "2027-01-13 08:00"),
        ("2027-01-12 19:00", "2027-01-13 08:00"),  # at the start
        ("2027-01-12 20:00", "2027-01-13 08:00"),  # during the game
        ("2027-01-13 08:30", "2027-01-13 08:30"),  # after its own cool-off
    ],
)
def test_from_six_hours_before_a_next_game_to_its_cool_off_a_letter_stays_closed(
    released: str, opens: str
) -> None:
    found = opening(released, game="2027-01-10 19:00", next_game="2027-01-12 19:00")
    assert found == at(opens)


def test_a_night_that_ends_within_six_hours_of_a_next_game_is_not_the_end_of_waiting() -> None:
    found = opening("2027-01-12 22:00", game="2027-01-10 19:00", next_game="2027-01-13 10:00")
    assert found == at("2027-01-14 08:00")


def test_the_cool_off_lasts_its_hours_when_clocks_go_forward() -> None:
    found = opening("2027-03-14 01:00", game="2027-03-13 20:30", quiet=NO_QUIET)
    assert found == at("2027-03-14 09:30")
    assert found.astimezone(UTC) - at("2027-03-13 20:30").astimezone(UTC) == QUIET.cool_off


def test_the_cool_off_lasts_its_hours_when_clocks_go_back() -> None:
    found = opening("2027-11-07 00:30", game="2027-11-06 20:30", quiet=NO_QUIET)
    assert found == at("2027-11-07 07:30")
    assert found.astimezone(UTC) - at("2027-11-06 20:30").astimezone(UTC) == QUIET.cool_off


def test_six_hours_before_a_game_are_six_hours_when_clocks_go_forward() -> None:
    # 7:00 is six hours after 0:00 on this day.
    game = "2027-03-10 19:00"
    next_game = "2027-03-14 07:00"
    early = opening("2027-03-13 23:59", game=game, next_game=next_game, quiet=NO_QUIET)
    assert early == at("2027-03-13 23:59")
    late = opening("2027-03-14 00:01", game=game, next_game=next_game, quiet=NO_QUIET)
    assert late == at("2027-03-14 19:00")


@pytest.mark.parametrize("day", ["2027-03-14", "2027-11-07"])
def test_the_morning_after_a_change_of_clocks_begins_by_the_new_clock(day: str) -> None:
    found = opening(f"{day} 00:30", game="2027-01-10 19:00")
    assert found == at(f"{day} 08:00")
    assert found.utcoffset() == at(f"{day} 12:00").utcoffset()


def test_quiet_hours_that_end_in_the_hour_that_is_left_out_end_with_it() -> None:
    quiet = QuietHours(begin=time(21), end=time(2, 30))
    found = opening("2027-03-14 01:00", game="2027-01-10 19:00", quiet=quiet)
    assert found.astimezone(UTC) == datetime(2027, 3, 14, 8, 30, tzinfo=UTC)
    assert (found.hour, found.minute) == (3, 30)


def test_in_the_hour_that_comes_twice_a_letter_never_opens_before_its_release() -> None:
    quiet = QuietHours(begin=time(21), end=time(1, 30))
    released = at("2027-11-07 01:10", fold=1)
    found = opens_at(released, game_at=at("2027-01-10 19:00"), next_game_at=None, quiet=quiet)
    assert found.astimezone(UTC) == datetime(2027, 11, 7, 7, 30, tzinfo=UTC)


def test_the_opening_is_told_in_the_zone_of_the_release() -> None:
    madrid = ZoneInfo("Europe/Madrid")
    found = opens_at(
        datetime(2027, 1, 12, 23, tzinfo=madrid),
        game_at=datetime(2027, 1, 10, 19, tzinfo=UTC),
        next_game_at=None,
        quiet=QUIET,
    )
    assert found == datetime(2027, 1, 13, 8, tzinfo=madrid)
    assert found.tzinfo is madrid


def test_all_of_it_can_be_set() -> None:
    quick = QuietHours(begin=time(23), end=time(6), cool_off=timedelta(0), before_game=timedelta(0))
    assert opening("2027-01-10 21:30", game="2027-01-10 19:00", quiet=quick) == at(
        "2027-01-10 21:30"
    )
