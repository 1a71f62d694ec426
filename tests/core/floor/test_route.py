"""The caller's route: around the players, or through them and how far."""

from __future__ import annotations

from itertools import pairwise

import pytest
import shapely
from hypothesis import given

from evaluations.core.floor.measures import measure
from evaluations.core.floor.route import RouteMeasure
from evaluations.core.floor.sketch import Point, Sketch
from tests.core.floor.sketches import players, sketches, two

SQUARE = players((8, 5), (12, 5), (12, 9), (8, 9))


def routed(*points: tuple[float, float], around: object = SQUARE) -> RouteMeasure | None:
    route = tuple(Point(*point) for point in points)
    return measure(two(players=around, route=route)).route


def test_straight_through_the_group() -> None:
    found = routed((2, 7), (18, 7))
    assert found is not None
    assert not found.around
    assert found.length == pytest.approx(16)
    assert found.inside == pytest.approx(6), "four metres of hull and one on either side"


def test_round_the_group() -> None:
    found = routed((2, 7), (6, 2), (14, 2), (18, 7))
    assert found is not None
    assert found.around
    assert found.inside == 0


def test_along_the_group_at_just_a_metre_is_around() -> None:
    found = routed((2, 4), (18, 4))
    assert found is not None
    assert found.around


def test_a_corner_is_round() -> None:
    """A right-angled corner's room is a quarter of a disc, not a square."""
    found = routed((7, 4.4), (7.4, 4))
    assert found is not None
    assert found.inside == pytest.approx(0.0, abs=1e-9)


def test_a_stretch_back_and_forth_counts_twice() -> None:
    found = routed((2, 7), (10, 7), (2, 7))
    assert found is not None
    assert found.inside == pytest.approx(6)


def test_one_player_has_a_metre_around() -> None:
    found = routed((5, 7), (15, 7), around=players((10, 7)))
    assert found is not None
    assert found.inside == pytest.approx(2)


def test_two_players_have_a_strip_around() -> None:
    found = routed((10, 2), (10, 12), around=players((8, 7), (12, 7)))
    assert found is not None
    assert found.inside == pytest.approx(2)


def test_an_official_who_stands_still_goes_around_or_is_inside_for_no_length() -> None:
    found = routed((10, 7), (10, 7))
    assert found == RouteMeasure(0.0, 0.0)


@pytest.mark.parametrize("points", [(), ((2, 7),)])
def test_no_route_is_not_judged(points: tuple[tuple[float, float], ...]) -> None:
    assert routed(*points) is None


def test_without_players_a_route_is_not_judged() -> None:
    assert routed((2, 7), (18, 7), around=()) is None


@given(sketches(least_players=1))
def test_shapely_finds_the_same_length_inside(sketch: Sketch) -> None:
    """shapely used independently: the hull's buffer, of many corners, cut with each piece."""
    found = measure(sketch).route
    if found is None:
        return
    room = shapely.MultiPoint([p.at for p in sketch.players]).convex_hull.buffer(1, quad_segs=256)
    pieces = [shapely.LineString(ends) for ends in pairwise(sketch.route)]
    inside = sum(piece.intersection(room).length for piece in pieces if piece.length)
    # A chord of a disc of 1 m is cut shorter by 256 corners a quarter by less than a centimetre.
    assert found.inside == pytest.approx(inside, abs=0.01 * len(pieces))
    assert found.length == pytest.approx(sum(piece.length for piece in pieces))
