"""Where a live log stands, and what its page says before and after a whistle."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import product
from uuid import uuid4

import pytest
from pytest_django import DjangoAssertNumQueries

from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.court import Position, Side
from evaluations.core.mechanics.facts import Kept, Stood
from evaluations.core.mechanics.taps import Mark, Tap, ball_of, ends_after, ends_at, ends_with
from evaluations.core.mechanics.zones import Follows, Zone
from evaluations.core.voice import PlainEnglish
from evaluations.models import DeadBall, DeadBallLog, Observation
from evaluations.queries.live_log import LiveSheet, live_sheet
from evaluations.queries.live_readings import at_left, readings, standing
from evaluations.services.live_log import log_tap, note, take_back
from tests.factories.accounts import Cast
from tests.factories.evaluations import GAME_AT
from tests.factories.logs import begun_log
from tests.factories.releases import crew_of, hand_in

VOICE = PlainEnglish()
REFEREE, UMPIRE = POSITIONS[2]
NOW = GAME_AT + timedelta(minutes=5)
LEAD_CALLS = Tap(Zone.T1, Follows.FREE_THROWS, REFEREE, switched=True, period=1)


@pytest.fixture
def observation(cast: Cast) -> Observation:
    return crew_of(cast)


@pytest.fixture
def log(observation: Observation) -> DeadBallLog:
    return begun_log(observation)


def tapped(log: DeadBallLog, tap: Tap = LEAD_CALLS) -> DeadBall:
    by = log.observation.observer
    return log_tap(log=log, tap=tap, client_id=uuid4(), by=by, now=NOW)


def sheet_of(log: DeadBallLog) -> LiveSheet:
    return live_sheet(DeadBallLog.objects.get(pk=log.pk), VOICE)


# --- The ends -------------------------------------------------------------------------------------
def test_before_the_first_whistle_the_ends_are_as_the_log_began_in_whatever_period(
    log: DeadBallLog,
) -> None:
    sheet = sheet_of(log)
    assert (sheet.count, sheet.last) == (0, None)
    assert sheet.ends_in(None) == sheet.ends_in(3) == ends_with(REFEREE)


def test_the_ends_follow_from_what_is_stored(cast: Cast, log: DeadBallLog) -> None:
    first, second = tapped(log), tapped(log, replace(LEAD_CALLS, caller=UMPIRE, switched=False))
    assert sheet_of(log).ends_in(1) == ends_with(UMPIRE)
    take_back(log=log, client_id=second.client_id, by=cast.observer, now=NOW)
    take_back(log=log, client_id=first.client_id, by=cast.observer, now=NOW)
    assert sheet_of(log).ends == ends_with(REFEREE)


def test_in_another_period_the_ends_are_not_known(log: DeadBallLog) -> None:
    tapped(log)
    sheet = sheet_of(log)
    assert sheet.ends_in(2) is None
    assert standing(sheet) == {"left": "umpire", "periods": ["1"]}


def test_a_log_with_gaps_asks_who_called_at_every_whistle(observation: Observation) -> None:
    log = begun_log(observation, kept=Kept.STRIKING)
    tapped(log)
    assert sheet_of(log).ends is None
    assert standing(sheet_of(log)) == {"left": "", "periods": []}


# --- The last whistle -----------------------------------------------------------------------------
def test_the_last_whistle_says_what_was_seen_what_was_due_and_whether_it_was_so(
    log: DeadBallLog,
) -> None:
    tapped(log)
    last = sheet_of(log).last
    assert last and last.told
    assert last.seen == (
        "Nico Vale; lead, table side; shooting or bonus foul; free throws; switched"
    )
    told = last.told
    assert (told.switch, told.verdict, told.said) == ("switch due", "met", "met")
    assert told.due == ("Nico Vale: trail, table side", "Mara Odell: lead, opposite the table")
    assert "switch forced before the ball is live (Mara Odell)" in told.met
    assert told.row and told.note.startswith("Free throws")


def test_a_miss_is_named_with_the_one_whose_duty_it_was(log: DeadBallLog) -> None:
    tapped(log, replace(LEAD_CALLS, switched=False))
    last = sheet_of(log).last
    assert last and last.told
    assert last.told.verdict == "not_met"
    assert last.told.not_met == ("switch forced before the ball is live (Mara Odell)",)


def test_of_duties_not_judged_only_those_of_tonights_focus_are_named(
    observation: Observation,
) -> None:
    log = begun_log(observation, focus=["full_stop"])
    tapped(log, replace(LEAD_CALLS, switched=None))
    last = sheet_of(log).last
    assert last and last.told
    assert "full stop before speaking (Nico Vale)" in last.told.not_judged
    assert not any("type of foul" in duty for duty in last.told.not_judged)


def test_a_note_that_names_somebody_is_noticed(cast: Cast, log: DeadBallLog) -> None:
    row = tapped(log)
    text = "Spoke to Gregor Hansen there, as Nico Vale did."
    note(log=log, client_id=row.client_id, text=text, by=cast.observer, now=NOW)
    last = sheet_of(log).last
    assert last and (last.note, last.name) == (text, "Gregor Hansen")


# --- Taking back ----------------------------------------------------------------------------------
def test_what_was_taken_back_last_can_be_put_back_until_another_follows(
    cast: Cast, log: DeadBallLog
) -> None:
    rows = [tapped(log) for _whistle in range(3)]
    for later, row in enumerate(reversed(rows[1:])):
        now = NOW + timedelta(minutes=later)
        take_back(log=log, client_id=row.client_id, by=cast.observer, now=now)
    sheet = sheet_of(log)
    assert sheet.undone == rows[1]
    assert sheet.last and sheet.last.row == rows[0]
    tapped(log)
    assert sheet_of(log).undone is None


def test_the_page_is_for_reading_once_all_forms_are_in(
    observation: Observation, log: DeadBallLog
) -> None:
    assert sheet_of(log).writable
    for form in observation.evaluations.all():
        hand_in(form)
    assert not sheet_of(log).writable


def test_quick_marks_are_tonights_focus_as_far_as_one_tap_can_say_it(
    observation: Observation,
) -> None:
    log = begun_log(observation, focus=["eyes_kept", "number_shown"])
    assert sheet_of(log).marks == (("eyes_kept", (Mark.YES, Mark.IN_REPORT, Mark.AFTER_REPORT)),)


def test_a_long_log_takes_no_more_queries_than_a_short_one(
    log: DeadBallLog, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    for _whistle in range(12):
        tapped(log)
    found = DeadBallLog.objects.get(pk=log.pk)
    with django_assert_max_num_queries(17):
        live_sheet(found, VOICE)


# --- The table for the page's script --------------------------------------------------------------
def test_the_table_says_of_every_zone_what_core_says(log: DeadBallLog) -> None:
    zones = readings(sheet_of(log), VOICE)["zones"]
    for zone, back, caller in product(Zone, (False, True), (REFEREE, UMPIRE)):
        reading = zones[zone][back]
        ball = ball_of(Tap(zone, None, caller, back_court=back), 2)
        assert reading["ends"][caller] == at_left(ends_at(ball, None))
        stood = ball.before[caller]
        assert stood.position and stood.side
        words_of = {Side.TABLE: "table side", Side.OPPOSITE: "opposite the table"}
        name = {REFEREE: "Nico Vale", UMPIRE: "Mara Odell"}[caller]
        assert reading["words"][caller] == f"{name}, {stood.position}, {words_of[stood.side]}"


def test_the_table_asks_where_it_can_not_know(log: DeadBallLog) -> None:
    zones = readings(sheet_of(log), VOICE)["zones"]
    assert zones["t1"][0]["words"][""] == "lead, table side, who called?"
    assert zones["t1"][0]["words"]["not_seen"] == "caller not seen, lead, table side"
    assert zones["not_seen"][0] == {
        "words": {
            "referee": "Nico Vale",
            "umpire": "Mara Odell",
            "not_seen": "caller not seen",
            "": "who called?",
        },
        "ends": {},
    }


def test_the_table_carries_the_ends_over_as_core_does(log: DeadBallLog) -> None:
    table = readings(sheet_of(log), VOICE)
    for member in (REFEREE, UMPIRE):
        for word, switched in (("switched", True), ("stayed", False), ("not_seen", None)):
            ball = ball_of(Tap(None, None, None, switched=switched), 2)
            assert table["after"][word][member] == at_left(ends_after(ball, ends_with(member)))
    assert table["ends"] == {
        "": {},
        "referee": {"left": "Nico Vale", "right": "Mara Odell"},
        "umpire": {"left": "Mara Odell", "right": "Nico Vale"},
    }


def test_no_reading_says_what_is_expected(log: DeadBallLog) -> None:
    """What a code asks for would nudge the observer, so the page hasn't got it."""
    tapped(log)
    said = str(readings(sheet_of(log), VOICE)) + str(standing(sheet_of(log)))
    assert not any(word in said for word in ("due", "met", "row", "expected"))


def test_of_a_crew_of_three_the_table_has_places_and_no_ends(cast: Cast) -> None:
    crew = (cast.official, cast.other_official, cast.observer_and_official)
    log = begun_log(crew_of(cast, *crew), left_end=None)
    first = POSITIONS[3][1]
    tap = Tap(Zone.O1, Follows.END_LINE, first, stood=Position.LEAD, ended=Stood(Position.LEAD))
    tapped(log, tap)
    table = readings(sheet_of(log), VOICE)
    assert (table["after"], table["ends"]) == ({}, {"": {}})
    reading = table["zones"]["o1"][0]
    assert reading["words"]["umpire_1-centre"] == "Mara Odell, centre, opposite the table"
    assert reading["words"]["umpire_1-not_seen"] == "Mara Odell, opposite the table"
    assert reading["words"][""] == "opposite the table, who called?"
    last = sheet_of(log).last
    assert last and last.seen.endswith("ended lead")
    assert set(sheet_of(log).names) == set(POSITIONS[3]) and CrewPosition.UMPIRE not in POSITIONS[3]
