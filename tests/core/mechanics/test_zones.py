"""A zone of the floor, the back-court toggle and the ends carried over, in every combination.

What is expected is worked out with an official's way along the floor, from 0 at the left end line
to 4 at the right one, and never with the functions that are tested.
"""

from __future__ import annotations

from itertools import product
from typing import NamedTuple

import pytest

from evaluations.core.mechanics.court import (
    Court,
    End,
    Position,
    Resumes,
    Side,
    Whistle,
    end_of,
    position_at,
    possible,
)
from evaluations.core.mechanics.zones import (
    CALLED,
    Called,
    Ends,
    Follows,
    Zone,
    caller_at,
    exchanged,
    stand,
)
from tests.core.mechanics.crews import REFEREE, UMPIRE

REFEREE_LEFT = {REFEREE: End.LEFT, UMPIRE: End.RIGHT}
REFEREE_RIGHT = {REFEREE: End.RIGHT, UMPIRE: End.LEFT}
EVERY = list(product(Zone, (False, True), (REFEREE_LEFT, REFEREE_RIGHT)))
NAMED = {f"{side}{column}" for side in "to" for column in "1234"}
LEFT_TO_RIGHT = {"1": "4", "2": "3", "3": "2", "4": "1"}


class Floor(NamedTuple):
    """A caller on the floor: metres don't matter, quarters do."""

    along: float
    basket_at: int
    behind_the_ball: bool


def attacks(zone: Zone, back_court: bool) -> Floor:
    """Play is in the half of the zone; it goes to that half's basket, or away from it."""
    along = int(zone.value[1]) - 0.5
    near = 0 if along < 2 else 4
    basket_at = 4 - near if back_court else near
    from_basket = abs(along - basket_at)
    # The ball is in the middle of the half where play is.
    ball = abs((3 if near == 4 else 1) - basket_at)
    return Floor(along, basket_at, from_basket > ball)


def mirrored(zone: Zone) -> Zone:
    return Zone(zone.value[0] + LEFT_TO_RIGHT[zone.value[1]])


def across(zone: Zone) -> Zone:
    return Zone({"t": "o", "o": "t"}[zone.value[0]] + zone.value[1])


def test_the_floor_has_eight_zones_four_along_each_side() -> None:
    assert {zone.value for zone in Zone} == NAMED
    assert [zone.side for zone in Zone] == [Side.TABLE] * 4 + [Side.OPPOSITE] * 4


@pytest.mark.parametrize(("zone", "back_court"), list(product(Zone, (False, True))))
def test_the_lead_is_nearer_to_the_basket_than_the_ball_and_the_trail_behind_it(
    zone: Zone, back_court: bool
) -> None:
    floor, where = attacks(zone, back_court), stand(zone, back_court)
    assert where.basket is (End.LEFT if floor.basket_at == 0 else End.RIGHT)
    assert where.position is (Position.TRAIL if floor.behind_the_ball else Position.LEAD)
    assert where.court is (Court.BACK if back_court else Court.FRONT)
    assert where.side is (Side.TABLE if zone.value[0] == "t" else Side.OPPOSITE)


@pytest.mark.parametrize(("zone", "back_court", "ends"), EVERY)
def test_the_caller_is_the_one_whose_end_gives_the_position(
    zone: Zone, back_court: bool, ends: Ends
) -> None:
    where = stand(zone, back_court)
    caller = caller_at(where, ends)
    assert caller is not None
    assert position_at(ends[caller], where.basket) is where.position
    assert end_of(where.position, where.basket) is ends[caller]
    (partner,) = set(ends) - {caller}
    assert position_at(ends[partner], where.basket) is not where.position


@pytest.mark.parametrize(("zone", "back_court", "ends"), EVERY)
def test_the_other_one_exchanges_the_ends_and_so_the_caller(
    zone: Zone, back_court: bool, ends: Ends
) -> None:
    where = stand(zone, back_court)
    other = exchanged(ends)
    assert {other[REFEREE], other[UMPIRE]} == set(End)
    assert other[REFEREE] is not ends[REFEREE]
    assert caller_at(where, other) is not caller_at(where, ends)
    assert exchanged(other) == ends


@pytest.mark.parametrize(("zone", "back_court", "ends"), EVERY)
def test_on_the_mirrored_floor_only_the_basket_is_another(
    zone: Zone, back_court: bool, ends: Ends
) -> None:
    here, there = stand(zone, back_court), stand(mirrored(zone), back_court)
    assert there == here._replace(basket=here.basket.other)
    assert caller_at(there, exchanged(ends)) is caller_at(here, ends)


@pytest.mark.parametrize(("zone", "back_court", "ends"), EVERY)
def test_across_the_floor_only_the_side_is_another(
    zone: Zone, back_court: bool, ends: Ends
) -> None:
    here, there = stand(zone, back_court), stand(across(zone), back_court)
    assert there.side is not here.side
    assert there._replace(side=here.side) == here
    assert caller_at(there, ends) is caller_at(here, ends)


@pytest.mark.parametrize("zone", Zone)
def test_the_back_court_toggle_turns_the_attack_round(zone: Zone) -> None:
    """The official stays where he or she stands, so at the same end."""
    front, back = stand(zone, back_court=False), stand(zone, back_court=True)
    assert back.basket is front.basket.other
    assert back.position is not front.position
    assert end_of(back.position, back.basket) is end_of(front.position, front.basket)


def test_no_two_taps_say_the_same() -> None:
    said = {stand(zone, back_court) for zone, back_court in product(Zone, (False, True))}
    assert said == set(product(End, (Position.LEAD, Position.TRAIL), Side, Court))


def test_while_the_ends_are_not_known_nobody_is_the_caller() -> None:
    assert caller_at(stand(Zone.T1, back_court=False), {}) is None


@pytest.mark.parametrize(
    ("follows", "called"),
    [
        (Follows.FREE_THROWS, Called(Whistle.SHOOTING, Resumes.FREE_THROWS, False)),
        (Follows.END_LINE, Called(Whistle.COMMON, Resumes.END_LINE, False)),
        (Follows.SIDE_LINE, Called(Whistle.COMMON, Resumes.SIDE_LINE, False)),
        (Follows.PLAYER_CONTROL, Called(Whistle.PLAYER_CONTROL, None, True)),
        (Follows.TECHNICAL, Called(Whistle.TECHNICAL, None, None)),
        (Follows.NO_FOUL, Called(Whistle.VIOLATION, None, None)),
    ],
)
def test_what_follows_is_a_whistle_after_which_a_game_can_go_on(
    follows: Follows, called: Called
) -> None:
    assert CALLED[follows] == called
    whistle, resumes, flip = called
    ways = Resumes if resumes is None else (resumes,)
    turns = (False, True) if flip is None else (flip,)
    assert any(possible(whistle, way, turn) for way, turn in product(ways, turns))
    assert whistle.is_foul is (follows is not Follows.NO_FOUL)
