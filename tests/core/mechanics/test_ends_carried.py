"""Who of a crew of two is at which end, from whistle to whistle."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from evaluations.core.games import POSITIONS
from evaluations.core.mechanics.court import End, Position, end_of, position_at
from evaluations.core.mechanics.facts import DeadBall, Kept, Log, Stood, positions
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.mechanics.switching import Switch, switch_due
from evaluations.core.mechanics.taps import (
    Tap,
    ball_of,
    carries,
    ends_after,
    ends_at,
    ends_carried,
    ends_with,
)
from evaluations.core.mechanics.zones import Ends, Follows, Zone, caller_at, exchanged, stand
from tests.core.mechanics.crews import DEFAULT, REFEREE, UMPIRE, UMPIRE_1, engine, findings
from tests.core.mechanics.tapped import EVERY, SEEN, other


# --- Who called, by the ends ----------------------------------------------------------------------
def test_the_ends_name_the_caller_and_the_callers_place_names_the_ends() -> None:
    for zone, back, at_left in product(Zone, (False, True), (REFEREE, UMPIRE)):
        ends = ends_with(at_left)
        caller = caller_at(stand(zone, back), ends)
        assert caller
        tapped = ball_of(Tap(zone, Follows.END_LINE, caller, back_court=back), 2)
        assert ends_at(tapped, None) == ends
        corrected = ball_of(Tap(zone, Follows.END_LINE, other(caller), back_court=back), 2)
        assert ends_at(corrected, ends) == exchanged(ends)


def test_the_one_at_the_end_line_is_never_the_one_nearer_to_the_middle() -> None:
    for side, (line, middle), at_left in product("to", ((1, 2), (4, 3)), (REFEREE, UMPIRE)):
        ends = ends_with(at_left)
        lead = caller_at(stand(Zone(f"{side}{line}"), False), ends)
        trail = caller_at(stand(Zone(f"{side}{middle}"), False), ends)
        assert lead is not trail


# --- The ends carried over ------------------------------------------------------------------------
def test_a_switch_is_an_exchange_of_ends() -> None:
    for tap, carried in product(EVERY, (None, ends_with(REFEREE), ends_with(UMPIRE))):
        ball = ball_of(tap, 2)
        at, after = ends_at(ball, carried), ends_after(ball, carried)
        if at is None or tap.switched is None:
            assert after is None
        else:
            assert after == (exchanged(at) if tap.switched else at)


def test_ends_carried_from_positions_say_the_same_as_switched_and_stayed() -> None:
    """Whoever writes down both places at the table says no more than the third tap does."""
    for tap in SEEN:
        ball = ball_of(tap, 2)
        if ball.flip is None or tap.switched is None:
            continue
        after = ends_after(ball, None)
        assert after and ball.basket
        attacked = ball.basket.other if ball.flip else ball.basket
        places = {m: Stood(position_at(end, attacked)) for m, end in after.items()}
        said = replace(ball, switched=None, after=places)
        Log(2, (replace(said, switched=tap.switched),))
        assert ends_after(said, None) == after
        assert ends_after(replace(said, basket=None), ends_at(ball, None)) == after


def test_in_a_flip_with_a_switch_both_keep_their_position() -> None:
    for tap in SEEN:
        ball = ball_of(tap, 2)
        after = ends_after(ball, None)
        if ball.flip is None or after is None or ball.basket is None:
            continue
        attacked = ball.basket.other if ball.flip else ball.basket
        before = positions(ball.before, POSITIONS[2])
        then = {member: position_at(end, attacked) for member, end in after.items()}
        assert {end_of(p, attacked) for p in then.values()} == set(End)
        assert (then == before) is (ball.flip == tap.switched)


def test_the_end_that_the_code_asks_for_is_where_a_due_switch_leads() -> None:
    for tap in SEEN:
        ball = ball_of(tap, 2)
        due = switch_due(engine(DEFAULT).board(ball))
        if due is None or ball.flip is None:
            continue
        right = replace(tap, switched=due is not Switch.NONE)
        wrong = replace(tap, switched=due is Switch.NONE)
        judged = [
            {f.verdict for f in findings(ball_of(t, 2)) if f.rule in ("end", "force_switch")}
            for t in (right, wrong)
        ]
        assert Verdict.NOT_MET not in judged[0]
        assert Verdict.NOT_MET in judged[1]


def log_of(*taps: Tap, kept: Kept = Kept.EVERY_FOUL, crew: int = 2) -> Log:
    balls = [replace(ball_of(tap, crew), number=n) for n, tap in enumerate(taps, start=1)]
    return Log(crew, tuple(balls), kept)


SWITCHED = Tap(Zone.T1, Follows.FREE_THROWS, REFEREE, switched=True, period=1)
STAYED = Tap(Zone.O2, Follows.SIDE_LINE, REFEREE, switched=False, period=1)


def test_a_log_carries_the_ends_from_whistle_to_whistle() -> None:
    left: Ends = ends_with(REFEREE)
    assert ends_carried(log_of(), REFEREE) == left
    assert ends_carried(log_of(SWITCHED), REFEREE) == exchanged(left)
    by_the_umpire = replace(STAYED, caller=UMPIRE, zone=Zone.T1)
    assert ends_carried(log_of(SWITCHED, by_the_umpire), REFEREE) == exchanged(left)
    assert ends_carried(log_of(SWITCHED, replace(by_the_umpire, switched=True)), REFEREE) == left


def test_a_zone_that_was_not_seen_leaves_the_ends_as_they_were_carried() -> None:
    unseen = Tap(None, Follows.END_LINE, UMPIRE, switched=True, period=1)
    assert ends_carried(log_of(SWITCHED, unseen), UMPIRE) == ends_with(REFEREE)


def test_the_ends_are_not_known_at_the_start_after_a_switch_unseen_and_in_a_new_period() -> None:
    assert ends_carried(log_of(), None) is None
    assert ends_carried(log_of(replace(SWITCHED, switched=None)), REFEREE) is None
    third = Tap(None, None, UMPIRE, switched=False, period=3)
    assert ends_carried(log_of(SWITCHED, third), REFEREE) is None
    assert ends_carried(log_of(SWITCHED, replace(SWITCHED, period=2)), None) == ends_with(UMPIRE)


@pytest.mark.parametrize("kept", [Kept.EVERY_NTH, Kept.ONE_DUTY, Kept.STRIKING])
def test_a_log_with_gaps_carries_no_ends(kept: Kept) -> None:
    assert ends_carried(log_of(SWITCHED, kept=kept), REFEREE) is None


def test_sides_and_ends_of_a_crew_of_three_never_carry_over() -> None:
    tap = Tap(Zone.T1, Follows.END_LINE, UMPIRE_1, stood=Position.LEAD)
    assert ends_carried(log_of(tap, crew=3), REFEREE) is None


@pytest.mark.parametrize(
    ("before", "now", "held"),
    [(None, None, True), (2, 2, True), (None, 1, True), (None, 2, False), (1, 2, False)],
)
def test_ends_hold_within_a_period(before: int | None, now: int | None, held: bool) -> None:
    assert carries(before, now) is held


def test_a_dead_ball_without_any_fact_leaves_the_ends_as_they_were_at_the_whistle_only() -> None:
    ends = ends_with(UMPIRE)
    assert ends_at(DeadBall(1), ends) == ends
    assert ends_after(DeadBall(1), ends) is None
