"""Turning, moving or mirroring a whole sketch changes nothing that is measured."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from evaluations.core.floor.measures import Measures, measure
from evaluations.core.floor.sight import seen_by
from evaluations.core.floor.sketch import BEYOND, Point, Sketch
from tests.core.floor.sketches import moved, sketches

CENTRE = Point(14.0, 7.5)
ANGLE = 1e-7
METRES = 1e-7


def exact(found: Measures) -> dict[str, Any]:
    """All measures but the lengths and angles, whose last bits may turn with the sketch."""
    return {
        "watchers": found.watchers,
        "seen": found.seen,
        "coverage": found.coverage,
        "unseen": found.unseen,
        "boxed": found.boxed,
        "inside": found.inside,
    }


def assert_alike(first: Measures, second: Measures) -> None:
    assert exact(first) == exact(second)
    assert (first.apart is None) == (second.apart is None)
    if first.apart and second.apart:
        assert first.apart == pytest.approx(second.apart, abs=1e-6)
    assert (first.route is None) == (second.route is None)
    if first.route and second.route:
        assert first.route.length == pytest.approx(second.route.length, abs=METRES)
        assert first.route.inside == pytest.approx(second.route.inside, abs=1e-5)


def fits(sketch: Sketch, place: Any) -> bool:
    """Whether everybody is still near the floor after the move."""
    points = [o.at for o in sketch.officials] + [p.at for p in sketch.players] + [*sketch.route]
    return all(
        -BEYOND <= q.x <= 28 + BEYOND and -BEYOND <= q.y <= 15 + BEYOND for q in map(place, points)
    )


def stable(sketch: Sketch) -> bool:
    """Whether no result hangs on a boundary: it stays as it is when fields and places move a
    little."""
    first = exact(measure(sketch))
    wider = replace(sketch, field_of_view=min(190.0, sketch.field_of_view + 1e-6))
    smaller = replace(sketch, field_of_view=sketch.field_of_view - 1e-6)
    if any(exact(measure(s)) != first for s in (wider, smaller)):
        return False
    for n, nudge in enumerate((1e-7, -1e-7) * 3):
        shifted = replace(
            sketch,
            officials=tuple(
                replace(o, at=Point(o.at.x + nudge * (n + k + 1), o.at.y - nudge * (2 * k + 1)))
                for k, o in enumerate(sketch.officials)
            ),
        )
        if exact(measure(shifted)) != first or measure(sketch).apart is None:
            return False
    return True


@given(sketches())
def test_mirrored_left_to_right(sketch: Sketch) -> None:
    mirror = moved(sketch, lambda p: Point(28.0 - p.x, p.y), lambda f: 180.0 - f)
    assume(stable(sketch))
    assert_alike(measure(sketch), measure(mirror))


@given(sketches(), st.sampled_from((1, 2, 3)))
def test_quarter_turns_change_who_is_seen_not_at_all(sketch: Sketch, quarters: int) -> None:
    """Exactly, boundaries included: about the origin no place is rounded."""
    turns = {
        1: lambda p: Point(-p.y, p.x),
        2: lambda p: Point(-p.x, -p.y),
        3: lambda p: Point(p.y, -p.x),
    }
    for official in sketch.officials:
        turned = replace(
            official, at=turns[quarters](official.at), facing=official.facing + 90.0 * quarters
        )
        players = tuple(replace(p, at=turns[quarters](p.at)) for p in sketch.players)
        field = sketch.field_of_view
        assert seen_by(official, sketch.players, field) == seen_by(turned, players, field)


@given(sketches(), st.floats(-180, 180))
def test_turned_by_any_angle(sketch: Sketch, degrees: float) -> None:
    c, s = cos(radians(degrees)), sin(radians(degrees))

    def place(p: Point) -> Point:
        x, y = p.x - CENTRE.x, p.y - CENTRE.y
        return Point(CENTRE.x + c * x - s * y, CENTRE.y + s * x + c * y)

    assume(fits(sketch, place))
    assume(stable(sketch))
    assert_alike(measure(sketch), measure(moved(sketch, place, lambda f: f + degrees)))


@given(sketches(), st.floats(-3, 3), st.floats(-3, 3))
def test_moved_along_the_floor(sketch: Sketch, x: float, y: float) -> None:
    def place(p: Point) -> Point:
        return Point(p.x + x, p.y + y)

    assume(fits(sketch, place))
    assume(stable(sketch))
    assert_alike(measure(sketch), measure(moved(sketch, place, lambda f: f)))


@given(sketches(least_players=1))
def test_players_may_be_listed_in_any_order(sketch: Sketch) -> None:
    backwards = replace(sketch, players=sketch.players[::-1])
    first, second = measure(sketch), measure(backwards)
    assert first.coverage == second.coverage
    assert first.boxed == second.boxed
    assert first.apart == pytest.approx(second.apart)
    assert tuple(row[::-1] for row in second.seen) == first.seen
