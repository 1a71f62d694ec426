"""Who is seen: the field of view, and bodies in the way."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely
from hypothesis import assume, given

from evaluations.core.floor.measures import measure
from evaluations.core.floor.sight import BODY_RADIUS, seen_by
from evaluations.core.floor.sketch import Sketch, direction
from evaluations.core.games import POSITIONS
from tests.core.floor.sketches import REFEREE, official, players, sketches


def sees(place: tuple[float, float], *others: tuple[float, float], field: float = 120.0) -> bool:
    """Whether an official at (5, 5) who faces the right end sees a player, beside these others."""
    return seen_by(official(REFEREE, 5, 5, 0), players(place, *others), field)[0]


@pytest.mark.parametrize(
    ("where", "place", "seen"),
    [
        ("straight ahead", (9, 5), True),
        ("just within sixty degrees", (7, 5 + 2 * 1.73), True),
        ("just beyond sixty degrees", (7, 5 + 2 * 1.74), False),
        ("just beyond on the other side", (7, 5 - 2 * 1.74), False),
        ("abreast", (5, 9), False),
        ("behind", (2, 5), False),
        ("on the official's own spot", (5, 5), True),
    ],
)
def test_a_field_of_120_degrees(where: str, place: tuple[float, float], seen: bool) -> None:
    assert sees(place) is seen, where


def test_the_edge_of_the_field_is_within_it() -> None:
    assert sees((8, 8), field=90)
    assert not sees((8, 8), field=89.9)


def test_a_nearer_body_on_the_line_hides() -> None:
    assert not sees((9, 5), (7, 5))
    assert sees((7, 5), (9, 5)), "the nearer one is seen"
    assert not sees((9, 5), (7, 5 + BODY_RADIUS - 0.01))
    assert sees((9, 5), (7, 5 + BODY_RADIUS + 0.01))


def test_a_body_behind_the_official_hides_nobody() -> None:
    assert sees((9, 5), (3, 5))


def test_a_body_that_the_official_touches_hides_nobody() -> None:
    assert sees((9, 5), (5.1, 5))


def test_two_players_on_one_spot_hide_each_other_not() -> None:
    assert seen_by(official(REFEREE, 5, 5, 0), players((9, 5), (9, 5)), 120) == (True, True)


def test_without_players_nobody_is_seen() -> None:
    assert seen_by(official(REFEREE, 5, 5, 0), (), 120) == ()


@given(sketches(least_players=1))
def test_shapely_finds_the_same_bodies_in_the_way(sketch: Sketch) -> None:
    """shapely used independently: discs and segments instead of products of vectors."""
    watcher = sketch.officials[0]
    places = [shapely.Point(p.at) for p in sketch.players]
    eye = shapely.Point(watcher.at)
    far = [eye.distance(p) for p in places]
    found = seen_by(watcher, sketch.players, 190.0)
    for n, place in enumerate(places):
        line = shapely.LineString([watcher.at, sketch.players[n].at])
        gaps = [line.distance(p) for p in places]
        # Away from boundaries only: rounding may fall either way on them.
        assume(all(abs(gap - BODY_RADIUS) > 1e-6 for m, gap in enumerate(gaps) if m != n))
        assume(all(abs(d - BODY_RADIUS) > 1e-6 for d in far))
        in_way = any(
            gaps[m] < BODY_RADIUS and BODY_RADIUS <= far[m] < far[n] - 1e-9
            for m in range(len(places))
            if m != n
        )
        if found[n]:
            assert not in_way
        elif not in_way:
            facing = direction(watcher.facing)
            ahead = (place.x - eye.x) * facing.x + (place.y - eye.y) * facing.y
            assert ahead < 0, "only outside the widest field"


@given(sketches(least_players=1))
def test_a_wider_field_never_lowers_coverage(sketch: Sketch) -> None:
    wider = replace(sketch, field_of_view=min(190.0, sketch.field_of_view + 15))
    before, after = measure(sketch).coverage, measure(wider).coverage
    assert before is not None
    assert after is not None
    assert after >= before


@given(sketches(least_players=1))
def test_another_official_never_lowers_coverage(sketch: Sketch) -> None:
    fewer = replace(sketch, officials=sketch.officials[:-1], reporter=None)
    more = replace(sketch, reporter=None)
    before, after = measure(fewer).coverage, measure(more).coverage
    assert before is not None
    assert after is not None
    assert after >= before
    assert len(fewer.officials) < len(POSITIONS[sketch.crew])
