"""How officials stand around players: between them, apart, inside."""

from __future__ import annotations

from dataclasses import replace
from math import atan2, degrees

import numpy as np
import pytest
import shapely
from hypothesis import given
from scipy.spatial import ConvexHull, QhullError

from evaluations.core.floor.measures import measure
from evaluations.core.floor.sketch import Sketch
from evaluations.core.games import POSITIONS
from tests.core.floor.sketches import REFEREE, UMPIRE, official, players, sketches, two

FIRST, SECOND, THIRD = POSITIONS[3]


def three(reporter: object = None, **changes: object) -> Sketch:
    """A triangle around (10, 7)."""
    sketch = Sketch(
        crew=3,
        officials=(
            official(FIRST, 6, 4, 45),
            official(SECOND, 14, 4, 135),
            official(THIRD, 10, 12, 270),
        ),
        players=(),
        reporter=reporter,  # type: ignore[arg-type]
    )
    return replace(sketch, **changes)  # type: ignore[arg-type]


def test_players_between_the_two_are_boxed_in() -> None:
    sketch = two(players=players((7, 7), (10, 12), (16, 7), (4, 2)))
    assert measure(sketch).boxed == pytest.approx(0.5)


def test_abreast_of_an_official_is_not_between() -> None:
    assert measure(two(players=players((5, 10), (15, 2)))).boxed == 0


def test_two_on_one_side_line_box_everybody_and_still_stand_together() -> None:
    """Why the angle always stands beside the boxed share."""
    sketch = two(
        officials=(official(REFEREE, 2, 0, 90), official(UMPIRE, 12, 0, 90)),
        players=players((6, 10), (7, 11), (8, 10)),
    )
    found = measure(sketch)
    assert found.boxed == 1
    assert found.apart is not None
    assert found.apart[0] < 55


def test_exactly_opposite_is_180_degrees() -> None:
    assert measure(two(players=players((8, 7), (12, 7)))).apart == (180.0,)


def test_of_three_the_triangle_counts_when_nobody_reports() -> None:
    found = measure(three(players=players((10, 6), (10, 8), (3, 3), (10, 4))))
    assert found.boxed == pytest.approx(0.5), "on the edge isn't inside"
    assert found.watchers == (FIRST, SECOND, THIRD)
    assert found.apart is not None
    assert sum(found.apart) == pytest.approx(360)


def test_of_three_the_two_who_don_t_report_count() -> None:
    found = measure(three(reporter=THIRD, players=players((10, 6), (3, 3))))
    assert found.watchers == (FIRST, SECOND)
    assert found.boxed == pytest.approx(0.5)
    assert len(found.seen) == 2


@pytest.mark.parametrize(
    ("what", "sketch"),
    [
        ("no players", two()),
        ("one official", two(officials=(official(REFEREE, 5, 7, 0),), players=players((7, 7)))),
        (
            "two officials on one spot",
            two(
                officials=(official(REFEREE, 5, 7, 0), official(UMPIRE, 5, 7, 0)),
                players=players((7, 7)),
            ),
        ),
        (
            "three officials in a line",
            three(
                officials=(
                    official(FIRST, 2, 4, 0),
                    official(SECOND, 4, 4, 0),
                    official(THIRD, 9, 4, 0),
                ),
                players=players((7, 7)),
            ),
        ),
    ],
)
def test_no_boxed_share_is_judged_with(what: str, sketch: Sketch) -> None:
    assert measure(sketch).boxed is None, what


def test_an_official_on_the_players_centre_has_no_angle() -> None:
    assert measure(two(players=players((4, 7), (6, 7)))).apart is None


def test_one_player_is_a_centre() -> None:
    found = measure(two(players=players((10, 7))))
    assert (found.boxed, found.apart, found.inside) == (1.0, (180.0,), ())


def test_an_official_among_the_players_is_inside() -> None:
    around = players((3, 5), (7, 5), (5, 9.5))
    assert measure(two(players=around)).inside == (REFEREE,)


def test_nobody_drawn_is_nowhere_inside() -> None:
    around = players((0, 0), (10, 0), (10, 14), (0, 14))
    found = measure(two(players=around, officials=()))
    assert (found.inside, found.coverage, found.boxed, found.apart) == ((), None, None, None)


def test_players_in_a_line_have_no_inside() -> None:
    assert measure(two(players=players((3, 7), (5, 7), (8, 7)))).inside == ()
    assert measure(two(players=players((5, 7), (5, 7), (5, 7)))).inside == ()


@given(sketches(least_players=3))
def test_the_hull_s_inside_is_that_of_scipy(sketch: Sketch) -> None:
    """scipy.spatial's hull as half-planes, away from its edges."""
    try:
        hull = ConvexHull(np.array([p.at for p in sketch.players]))
    except QhullError:
        assert measure(sketch).inside == ()
        return
    for watcher in sketch.watchers:
        room = (hull.equations @ np.array([*watcher.at, 1.0])).max()
        if abs(room) > 1e-7:
            assert (watcher.member in measure(sketch).inside) == (room < 0)


@given(sketches(least_players=1))
def test_the_boxed_share_of_two_is_that_of_shapely(sketch: Sketch) -> None:
    if len(sketch.watchers) != 2 or sketch.watchers[0].at == sketch.watchers[1].at:
        return
    line = shapely.LineString([w.at for w in sketch.watchers])
    along = [shapely.line_locate_point(line, shapely.Point(p.at)) for p in sketch.players]
    if any(t < 1e-9 or t > line.length - 1e-9 for t in along) and not all(
        t <= 0 or t >= line.length or 1e-9 < t < line.length - 1e-9 for t in along
    ):
        return
    between = sum(0 < t < line.length for t in along)
    assert measure(sketch).boxed == pytest.approx(between / len(along))


@given(sketches(least_players=1))
def test_the_angle_of_two_is_the_difference_of_bearings(sketch: Sketch) -> None:
    found = measure(sketch).apart
    if len(sketch.watchers) != 2 or found is None:
        return
    centre = np.mean([p.at for p in sketch.players], axis=0)
    bearings = [degrees(atan2(*(np.array(w.at) - centre)[::-1])) for w in sketch.watchers]
    turn = abs(bearings[0] - bearings[1]) % 360
    assert found[0] == pytest.approx(min(turn, 360 - turn), abs=1e-6)
