"""Shapes to start from: ten people on every court, in front of the officials."""

from __future__ import annotations

from itertools import combinations
from math import dist

import pytest

from evaluations.core.floor.frames import FRAMES, Frame
from evaluations.core.floor.measures import measure
from evaluations.core.floor.presets import Shape, preset
from evaluations.core.floor.sight import BODY_RADIUS
from evaluations.core.floor.sketch import Sketch, Team
from evaluations.core.games import POSITIONS
from evaluations.core.mechanics.court import End

EVERY = [
    preset(shape, crew, frame, end)
    for shape in Shape
    for crew in POSITIONS
    for frame in Frame
    for end in End
]


@pytest.mark.parametrize("sketch", EVERY)
def test_a_whole_crew_and_five_of_each_team_are_there(sketch: Sketch) -> None:
    assert tuple(official.member for official in sketch.officials) == POSITIONS[sketch.crew]
    teams = [player.team for player in sketch.players]
    assert teams == [Team.LIGHT] * 5 + [Team.DARK] * 5


@pytest.mark.parametrize("sketch", EVERY)
def test_nobody_stands_in_somebody_else(sketch: Sketch) -> None:
    people = [player.at for player in sketch.players] + [o.at for o in sketch.officials]
    assert min(dist(a, b) for a, b in combinations(people, 2)) > 2 * BODY_RADIUS


@pytest.mark.parametrize("sketch", EVERY)
def test_one_player_at_most_is_off_the_court_and_throws_in(sketch: Sketch) -> None:
    court = FRAMES[sketch.frame]
    off = [
        n
        for n, player in enumerate(sketch.players)
        if not (0 <= player.at.x <= court.length and 0 <= player.at.y <= court.width)
    ]
    assert off in ([], [0])


@pytest.mark.parametrize("shape", [Shape.END_LINE, Shape.SIDE_LINE])
def test_at_a_throw_in_somebody_of_the_light_team_is_behind_the_line(shape: Shape) -> None:
    court = FRAMES[Frame.FEET_84]
    thrower = preset(shape, 2, Frame.FEET_84).players[0]
    behind = {
        Shape.END_LINE: thrower.at.x > court.length,
        Shape.SIDE_LINE: thrower.at.y > court.width,
    }
    assert behind[shape]
    assert thrower.team is Team.LIGHT


@pytest.mark.parametrize("sketch", EVERY)
def test_the_crew_faces_the_players_and_the_lead_is_behind_the_end_line(sketch: Sketch) -> None:
    found = measure(sketch)
    assert found.coverage is not None
    assert found.coverage >= 0.7
    assert found.inside == ()
    assert not 0 <= sketch.officials[0].at.x <= FRAMES[sketch.frame].length


@pytest.mark.parametrize("shape", Shape)
@pytest.mark.parametrize("crew", POSITIONS)
@pytest.mark.parametrize("frame", Frame)
def test_the_left_end_is_the_right_end_mirrored(shape: Shape, crew: int, frame: Frame) -> None:
    left, right = (preset(shape, crew, frame, end) for end in (End.LEFT, End.RIGHT))
    long = FRAMES[frame].length
    for ours, theirs in zip(left.players, right.players, strict=True):
        assert theirs.at == pytest.approx((long - ours.at.x, ours.at.y), abs=0.011)
    for one, other in zip(left.officials, right.officials, strict=True):
        turn = (180 - one.facing - other.facing) % 360
        assert min(turn, 360 - turn) <= 1
