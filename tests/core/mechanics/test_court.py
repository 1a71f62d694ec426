"""Ends, positions and switches: in a crew of two a switch is an exchange of ends."""

from __future__ import annotations

from itertools import product

import pytest

from evaluations.core.mechanics.court import (
    POSITIONS_OF,
    End,
    Position,
    Resumes,
    Whistle,
    end_of,
    position_at,
    possible,
    standing_still,
)

CREWS_OF_TWO = list(product(POSITIONS_OF[2], End, (False, True), (False, True)))


def afterwards(position: Position, basket: End, flip: bool, switch: bool) -> Position:
    """The position of an official of two, worked out with ends alone."""
    end = end_of(position, basket)
    assert end is not None
    attacked = basket.other if flip else basket
    return position_at(end.other if switch else end, attacked)


@pytest.mark.parametrize(("position", "basket", "flip", "switch"), CREWS_OF_TWO)
def test_two_officials_are_at_different_ends_and_stay_so(
    position: Position, basket: End, flip: bool, switch: bool
) -> None:
    (partner,) = set(POSITIONS_OF[2]) - {position}
    after = afterwards(position, basket, flip, switch)
    assert afterwards(partner, basket, flip, switch) is not after


@pytest.mark.parametrize(("position", "basket"), list(product(POSITIONS_OF[2], End)))
def test_what_a_switch_does(position: Position, basket: End) -> None:
    (other,) = set(POSITIONS_OF[2]) - {position}
    assert afterwards(position, basket, flip=False, switch=False) is position
    assert afterwards(position, basket, flip=False, switch=True) is other
    # When the direction turns, who stands still changes position and who switches keeps it.
    assert afterwards(position, basket, flip=True, switch=False) is other
    assert afterwards(position, basket, flip=True, switch=True) is position


@pytest.mark.parametrize(("position", "basket", "flip", "switch"), CREWS_OF_TWO)
def test_standing_still_is_staying_at_ones_end(
    position: Position, basket: End, flip: bool, switch: bool
) -> None:
    stays = afterwards(position, basket, flip, switch) is standing_still(position, flip)
    assert stays is not switch


@pytest.mark.parametrize(("position", "basket"), list(product(Position, End)))
def test_the_mirrored_floor_has_the_same_positions(position: Position, basket: End) -> None:
    end = end_of(position, basket)
    assert position_at(end, basket) is position
    mirrored = None if end is None else end.other
    assert end_of(position, basket.other) is mirrored


def test_a_centre_is_at_no_end_and_stays_centre() -> None:
    assert end_of(Position.CENTRE, End.LEFT) is None
    assert standing_still(Position.CENTRE, flip=True) is Position.CENTRE


FREE, END, SIDE, DIVISION = Resumes
ANY_WAY = {FREE, END, SIDE, DIVISION}


@pytest.mark.parametrize(
    ("whistle", "ways"),
    [
        (Whistle.COMMON, {END, SIDE}),
        (Whistle.SHOOTING, {FREE}),
        (Whistle.PLAYER_CONTROL, {END, SIDE}),
        (Whistle.INTENTIONAL, {FREE}),
        (Whistle.TECHNICAL, ANY_WAY),
        (Whistle.DISQUALIFYING, ANY_WAY),
        (Whistle.DOUBLE, {FREE, END, SIDE}),
        (Whistle.VIOLATION, {END, SIDE}),
        (Whistle.HELD_BALL, {END, SIDE}),
    ],
)
def test_how_a_game_can_go_on_after_each_whistle(whistle: Whistle, ways: set[Resumes]) -> None:
    assert {way for way in Resumes if possible(whistle, way, flip=True)} == ways


def test_a_player_control_foul_turns_the_direction_and_brings_no_free_throws() -> None:
    ways = [
        (resumes, flip)
        for resumes, flip in product(Resumes, (False, True))
        if possible(Whistle.PLAYER_CONTROL, resumes, flip)
    ]
    assert ways == [(Resumes.END_LINE, True), (Resumes.SIDE_LINE, True)]


@pytest.mark.parametrize(
    ("whistle", "is_foul"),
    [
        (Whistle.COMMON, True),
        (Whistle.TECHNICAL, True),
        (Whistle.DOUBLE, True),
        (Whistle.VIOLATION, False),
        (Whistle.HELD_BALL, False),
    ],
)
def test_only_fouls_are_reported(whistle: Whistle, is_foul: bool) -> None:
    assert whistle.is_foul is is_foul
