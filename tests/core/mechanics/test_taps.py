"""The live log's taps as facts: who stood where, what followed, and the ends carried over.

The floor as its zones are named here, from the table: t1 and o1 are at the left end line.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from evaluations.core.log_document import dead_ball_document, read_dead_ball
from evaluations.core.mechanics.court import Court, End, Position, Resumes, Side, Whistle
from evaluations.core.mechanics.facts import Log, Stood
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.mechanics.taps import Tap, ball_of
from evaluations.core.mechanics.zones import CALLED, Follows, Seat, Zone, seen_from
from tests.core.mechanics.crews import REFEREE, UMPIRE, UMPIRE_1, findings
from tests.core.mechanics.tapped import EVERY, SEEN, mirrored, other


# --- Where the caller stood -----------------------------------------------------------------------
@pytest.mark.parametrize(
    ("zone", "back_court", "basket", "place"),
    [
        (Zone.T1, False, End.LEFT, "lead table front"),
        (Zone.T2, False, End.LEFT, "trail table front"),
        (Zone.O3, False, End.RIGHT, "trail opposite front"),
        (Zone.O4, False, End.RIGHT, "lead opposite front"),
        (Zone.T1, True, End.RIGHT, "trail table back"),
        (Zone.O2, True, End.RIGHT, "lead opposite back"),
        (Zone.T3, True, End.LEFT, "lead table back"),
        (Zone.O4, True, End.LEFT, "trail opposite back"),
    ],
)
def test_a_zone_says_basket_position_side_and_half(
    zone: Zone, back_court: bool, basket: End, place: str
) -> None:
    ball = ball_of(Tap(zone, Follows.END_LINE, REFEREE, back_court=back_court), 2)
    position, side, court = place.split()
    assert ball.basket is basket
    assert ball.before == {REFEREE: Stood(Position(position), Side(side))}
    assert ball.court is Court(court)


@pytest.mark.parametrize(
    ("follows", "whistle", "resumes", "flip"),
    [
        (Follows.FREE_THROWS, Whistle.SHOOTING, Resumes.FREE_THROWS, False),
        (Follows.END_LINE, Whistle.COMMON, Resumes.END_LINE, False),
        (Follows.SIDE_LINE, Whistle.COMMON, Resumes.SIDE_LINE, False),
        (Follows.PLAYER_CONTROL, Whistle.PLAYER_CONTROL, None, True),
        (Follows.TECHNICAL, Whistle.TECHNICAL, None, None),
        (Follows.NO_FOUL, Whistle.VIOLATION, None, None),
        (None, None, None, None),
    ],
)
def test_what_follows_says_the_kind_of_whistle_and_how_play_resumes(
    follows: Follows | None, whistle: Whistle | None, resumes: Resumes | None, flip: bool | None
) -> None:
    ball = ball_of(Tap(Zone.T1, follows, REFEREE), 2)
    assert (ball.whistle, ball.resumes, ball.flip) == (whistle, resumes, flip)


def test_the_direction_is_as_tapped_but_always_turns_after_a_player_control_foul() -> None:
    for tap in EVERY:
        usual = tap.follows and CALLED[tap.follows].flip
        flip = ball_of(tap, 2).flip
        if tap.follows is Follows.PLAYER_CONTROL:
            assert flip is True
        else:
            assert flip is (usual if tap.turned is None else tap.turned)


# --- Every tap is a dead ball that can be kept ----------------------------------------------------
def test_whatever_is_tapped_can_be_stored_and_read_again() -> None:
    for tap in EVERY:
        ball = ball_of(tap, 2)
        Log(2, (ball,))
        assert read_dead_ball(dead_ball_document(ball), 1) == ball


def test_whatever_is_tapped_of_a_crew_of_three_can_be_stored_too() -> None:
    places = [Stood(p, s) for p, s in product((None, *Position), (None, *Side))]
    for zone, stood, ended, back in product(
        (None, *Zone), (None, *Position), places, (True, False)
    ):
        tap = Tap(zone, Follows.SIDE_LINE, UMPIRE_1, back_court=back, stood=stood, ended=ended)
        ball = ball_of(tap, 3)
        Log(3, (ball,))
        assert ball.switched is None
        assert read_dead_ball(dead_ball_document(ball), 1) == ball


def test_what_was_not_tapped_is_judged_by_nobody() -> None:
    for tap in EVERY:
        unseen = replace(tap, switched=None)
        assert {f.verdict for f in findings(ball_of(unseen, 2))} <= {Verdict.NOT_JUDGED}


def test_exchanging_the_officials_names_changes_nothing_else() -> None:
    for tap in SEEN:
        assert tap.caller
        found = findings(ball_of(tap, 2))
        names = {REFEREE: UMPIRE, UMPIRE: REFEREE}
        swapped = findings(ball_of(replace(tap, caller=other(tap.caller)), 2))
        as_before = [f._replace(member=f.member and names[f.member]) for f in swapped]
        assert sorted(map(str, as_before)) == sorted(map(str, found))


def test_mirroring_the_floor_left_to_right_changes_nothing_else() -> None:
    for tap in SEEN:
        assert tap.zone
        here, there = (
            ball_of(tap, 2),
            ball_of(replace(tap, zone=mirrored(tap.zone)), 2),
        )
        assert here.basket and there.basket is here.basket.other
        assert replace(there, basket=here.basket) == here


# --- Crews of three -------------------------------------------------------------------------------
def test_in_a_crew_of_three_the_zone_gives_side_and_half_and_the_position_is_tapped() -> None:
    for zone, stood, back in product(Zone, Position, (True, False)):
        tap = Tap(zone, Follows.END_LINE, UMPIRE_1, back_court=back, stood=stood)
        ball = ball_of(tap, 3)
        assert ball.before == {UMPIRE_1: Stood(stood, zone.side)}
        assert ball.basket is (zone.end.other if back else zone.end)


def test_in_a_crew_of_three_the_third_tap_is_where_the_caller_ended() -> None:
    ended = Stood(Position.TRAIL, Side.TABLE)
    tap = Tap(Zone.O1, Follows.FREE_THROWS, UMPIRE_1, stood=Position.LEAD, ended=ended)
    ball = ball_of(tap, 3)
    assert ball.after == {UMPIRE_1: ended}
    [place] = [f for f in findings(ball, "three_person") if (f.rule, f.member) == ("end", UMPIRE_1)]
    assert place.verdict is Verdict.MET
    assert ball_of(replace(tap, ended=Stood()), 3).after == {}


# --- The floor as the observer sees it ------------------------------------------------------------
def test_each_seat_sees_the_same_floor_turned_and_never_mirrored() -> None:
    assert seen_from(Seat.TABLE)[1] == (Zone.T1, Zone.T2, Zone.T3, Zone.T4)
    assert seen_from(Seat.OPPOSITE)[1] == (Zone.O4, Zone.O3, Zone.O2, Zone.O1)
    assert seen_from(Seat.LEFT_END)[3] == (Zone.O1, Zone.T1)
    assert seen_from(Seat.RIGHT_END)[3] == (Zone.T4, Zone.O4)
    for seat in Seat:
        assert sorted(zone for row in seen_from(seat) for zone in row) == sorted(Zone)


def test_what_is_near_to_the_observer_is_drawn_near() -> None:
    near = {seat: set(seen_from(seat)[-1]) for seat in Seat}
    assert {zone.side for zone in near[Seat.TABLE]} == {Side.TABLE}
    assert {zone.side for zone in near[Seat.OPPOSITE]} == {Side.OPPOSITE}
    assert {zone.end for zone in near[Seat.LEFT_END]} == {End.LEFT}
    assert {zone.end for zone in near[Seat.RIGHT_END]} == {End.RIGHT}
