"""Whistles tapped while the game is on: stored once, taken back, put back, noted."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from uuid import UUID, uuid4

import pytest
from django.core.exceptions import ValidationError

from accounts.models import AuditEntry, Membership
from evaluations.core.games import POSITIONS
from evaluations.core.mechanics.court import End, Position, Side
from evaluations.core.mechanics.facts import Stood
from evaluations.core.mechanics.taps import Mark, Tap
from evaluations.core.mechanics.zones import Follows, Zone
from evaluations.models import DeadBall, DeadBallLog, Observation
from evaluations.queries.logs import dead_ball_value
from evaluations.services.errors import Refused
from evaluations.services.live_log import log_tap, note, put_back, take_back
from evaluations.services.misses import move_miss
from tests.factories.accounts import Cast
from tests.factories.evaluations import GAME_AT, game_with, open_observation
from tests.factories.logs import begun_log
from tests.factories.releases import crew_of, hand_in

REFEREE, UMPIRE = POSITIONS[2]
NOW = GAME_AT + timedelta(minutes=5)
LEAD_CALLS = Tap(Zone.T1, Follows.FREE_THROWS, REFEREE, switched=True, period=1, clock="5:12")


@pytest.fixture
def observation(cast: Cast) -> Observation:
    return crew_of(cast)


@pytest.fixture
def log(observation: Observation) -> DeadBallLog:
    return begun_log(observation)


def tapped(log: DeadBallLog, tap: Tap = LEAD_CALLS, client_id: UUID | None = None) -> DeadBall:
    return log_tap(
        log=log, tap=tap, client_id=client_id or uuid4(), by=log.observation.observer, now=NOW
    )


def standing(log: DeadBallLog) -> list[int]:
    rows = log.dead_balls.filter(removed_at__isnull=True)
    return list(rows.values_list("number", flat=True))


# --- Logged ---------------------------------------------------------------------------------------
def test_a_whistle_is_stored_as_facts_with_the_zone_that_was_tapped(log: DeadBallLog) -> None:
    row = tapped(log)
    row.refresh_from_db()
    assert (row.number, row.zone, row.back_court, row.made_at) == (1, "t1", False, NOW)
    ball = dead_ball_value(row)
    assert ball.before == {REFEREE: Stood(Position.LEAD, Side.TABLE)}
    assert (ball.basket, ball.switched, ball.period, ball.clock) == (End.LEFT, True, 1, "5:12")


def test_what_it_adds_up_to_is_written_at_once(log: DeadBallLog) -> None:
    tapped(log)
    [forced] = log.counts.filter(rule="force_switch")
    assert (forced.position, forced.met, forced.not_met) == (UMPIRE, 1, 0)


def test_a_quick_mark_is_a_raw_fact(log: DeadBallLog) -> None:
    marked = Tap(Zone.O4, Follows.END_LINE, UMPIRE, marks={"eyes_kept": Mark.IN_REPORT})
    assert tapped(log, marked).facts["eyes"] == {"kept": False, "lost": "report"}
    [kept] = log.counts.filter(rule="eyes_kept")
    assert (kept.position, kept.not_met) == (REFEREE, 1)


def test_a_whistle_that_arrives_twice_is_stored_once(log: DeadBallLog) -> None:
    sent = uuid4()
    first = tapped(log, client_id=sent)
    other = Tap(Zone.O2, Follows.SIDE_LINE, UMPIRE, switched=False)
    assert tapped(log, other, sent) == first
    assert [row.zone for row in log.dead_balls.all()] == ["t1"]


def test_one_that_was_taken_back_stays_so_when_it_arrives_again(
    cast: Cast, log: DeadBallLog
) -> None:
    sent = uuid4()
    tapped(log, client_id=sent)
    take_back(log=log, client_id=sent, by=cast.observer, now=NOW)
    tapped(log, client_id=sent)
    assert standing(log) == []


def test_the_id_of_another_log_is_refused(
    cast: Cast, observation: Observation, log: DeadBallLog
) -> None:
    sent = uuid4()
    tapped(log, client_id=sent)
    assert observation.rubric
    later = game_with(
        observation.game.season,
        cast.official,
        cast.other_official,
        plays_at=GAME_AT + timedelta(days=1),
    )
    elsewhere = begun_log(open_observation(later, cast.observer, observation.rubric))
    with pytest.raises(ValidationError):
        tapped(elsewhere, client_id=sent)
    assert standing(elsewhere) == []


def test_of_a_crew_of_three_only_what_was_tapped_is_stored(cast: Cast) -> None:
    crew = (cast.official, cast.other_official, cast.observer_and_official)
    log = begun_log(crew_of(cast, *crew), left_end=None)
    referee, first, _second = POSITIONS[3]
    ended = Stood(Position.TRAIL, Side.TABLE)
    tap = Tap(Zone.O1, Follows.FREE_THROWS, first, stood=Position.LEAD, ended=ended)
    ball = dead_ball_value(tapped(log, tap))
    assert ball.before == {first: Stood(Position.LEAD, Side.OPPOSITE)}
    assert ball.after == {first: ended}
    assert ball.switched is None
    [place] = log.counts.filter(rule="end", position=first)
    assert place.met == 1
    assert not log.counts.filter(rule="end", position=referee, met=1).exists()


# --- Taken back and put back ----------------------------------------------------------------------
def test_the_last_whistle_is_taken_back_and_put_back_under_its_number(
    cast: Cast, log: DeadBallLog
) -> None:
    tapped(log)
    last = tapped(log)
    for _twice in range(2):
        take_back(log=log, client_id=last.client_id, by=cast.observer, now=NOW)
        assert standing(log) == [1]
    assert log.counts.get(rule="force_switch").met == 1
    for _twice in range(2):
        put_back(log=log, client_id=last.client_id, by=cast.observer, now=NOW)
        assert standing(log) == [1, 2]
    assert log.counts.get(rule="force_switch").met == 2
    done = AuditEntry.objects.filter(action__startswith="dead_ball.").values_list("action")
    assert sorted(action for (action,) in done) == ["dead_ball.removed", "dead_ball.restored"]


@pytest.mark.parametrize("deed", [take_back, put_back])
def test_what_is_no_whistle_of_the_log_is_refused(
    cast: Cast, log: DeadBallLog, deed: Callable[..., DeadBall]
) -> None:
    with pytest.raises(Refused, match="isn't in the log"):
        deed(log=log, client_id=uuid4(), by=cast.observer, now=NOW)


# --- Noted ----------------------------------------------------------------------------------------
def test_a_note_takes_the_place_of_the_one_before_and_nothing_else_changes(
    cast: Cast, log: DeadBallLog
) -> None:
    row = tapped(log)
    before = dict(row.facts)
    for text in ("Blue 4 was down.", "Blue 4 was down, play waited."):
        note(log=log, client_id=row.client_id, text=text, by=cast.observer, now=NOW)
    row.refresh_from_db()
    assert row.facts == {**before, "note": "Blue 4 was down, play waited."}
    assert (row.zone, row.number) == ("t1", 1)
    note(log=log, client_id=row.client_id, text="", by=cast.observer, now=NOW)
    row.refresh_from_db()
    assert row.facts == before


def test_a_note_leaves_the_word_on_whose_a_miss_was_beside_the_raw_facts(
    cast: Cast, log: DeadBallLog
) -> None:
    stayed = Tap(Zone.T1, Follows.FREE_THROWS, REFEREE, switched=False)
    row = tapped(log, stayed)
    move_miss(
        log=log,
        number=1,
        rule="force_switch",
        to=REFEREE,
        reason="He waved the partner off.",
        by=cast.observer,
        now=NOW,
    )
    note(log=log, client_id=row.client_id, text="Waved off.", by=cast.observer, now=NOW)
    row.refresh_from_db()
    assert "switch_whose" not in row.facts
    assert row.moved.count() == 1


# --- Who may --------------------------------------------------------------------------------------
def test_only_the_observer_taps(cast: Cast, log: DeadBallLog) -> None:
    strangers: list[Membership] = [cast.other_observer, cast.admin, cast.official]
    row = tapped(log)
    for somebody in strangers:
        with pytest.raises(Refused):
            log_tap(log=log, tap=LEAD_CALLS, client_id=uuid4(), by=somebody, now=NOW)
        with pytest.raises(Refused):
            take_back(log=log, client_id=row.client_id, by=somebody, now=NOW)
        with pytest.raises(Refused):
            note(log=log, client_id=row.client_id, text="x", by=somebody, now=NOW)
    assert standing(log) == [1]


def test_nothing_is_tapped_once_all_forms_are_in(
    cast: Cast, observation: Observation, log: DeadBallLog
) -> None:
    tapped(log)
    for form in observation.evaluations.all():
        hand_in(form)
    with pytest.raises(Refused, match="All forms"):
        tapped(log)
    assert standing(log) == [1]
