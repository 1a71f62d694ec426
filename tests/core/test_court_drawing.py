"""A court to scale, and where officials stand on it."""

from __future__ import annotations

from itertools import product
from math import hypot

import pytest

from evaluations.core.court_drawing import (
    COURT_HEIGHT,
    LENGTH,
    WIDTH,
    Mark,
    Marked,
    court,
    movement_court,
    spot,
)
from evaluations.core.drawing import Box, Dot, Drawing, Label, Ring, Shape, Stroke, Style
from evaluations.core.mechanics.court import End, Place, Position, Side
from tests.core.snapshots import moved

LEAD, TRAIL, CENTRE = Position
TABLE, OPPOSITE = Side
Point = tuple[float, float]


def styled(drawing: Drawing, style: Style) -> list[Shape]:
    return [shape for shape in drawing.shapes if getattr(shape, "style", None) == style]


def middle(shape: Shape) -> Point:
    """The middle of a mark."""
    if isinstance(shape, Stroke):
        xs, ys = zip(*shape.points, strict=True)
        return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    assert isinstance(shape, Dot | Ring)
    return shape.x, shape.y


def marks(drawing: Drawing) -> dict[str, Point]:
    """Where the three marks of a movement lie."""
    styles = {"before": Style.BEFORE, "due": Style.DUE, "ended": Style.ENDED}
    return {name: middle(styled(drawing, style)[0]) for name, style in styles.items()}


# --- The floor: FIBA Official Basketball Rules, Art. 2 ------------------------------------------
def test_the_floor_is_28_by_15_metres() -> None:
    outline = next(s for s in styled(court([], ""), Style.COURT) if isinstance(s, Stroke))
    xs, ys = zip(*outline.points, strict=True)
    assert (max(xs) - min(xs)) / (max(ys) - min(ys)) == pytest.approx(28 / 15)


def test_lines_are_to_scale() -> None:
    drawing = court([], "")
    strokes = [s for s in styled(drawing, Style.COURT) if isinstance(s, Stroke)]
    metre = (strokes[0].points[1][0] - strokes[0].points[0][0]) / LENGTH
    circle, *rims = (s for s in styled(drawing, Style.COURT) if isinstance(s, Ring))
    assert circle.radius == pytest.approx(1.8 * metre)
    left = strokes[0].points[0][0]
    assert sorted(round((rim.x - left) / metre, 3) for rim in rims) == [1.575, 26.425]
    key, arc = strokes[2], strokes[3]
    assert abs(key.points[1][0] - key.points[0][0]) == pytest.approx(5.8 * metre)
    assert abs(key.points[2][1] - key.points[1][1]) == pytest.approx(4.9 * metre)
    basket = next(rim for rim in rims if abs(rim.x - arc.points[0][0]) < 3 * metre)
    far = {round(hypot(x - basket.x, y - basket.y) / metre, 6) for x, y in arc.points[1:-1]}
    assert far == {6.75}
    # Where the straight part meets the arc, by the same article: 2.9901 m from the end line.
    assert abs(arc.points[1][0] - arc.points[0][0]) / metre == pytest.approx(2.9901, abs=1e-4)


def test_the_table_is_at_the_lower_side_line_and_may_be_named() -> None:
    drawing = court([], "", table="mesa")
    (table,) = (s for s in drawing.shapes if isinstance(s, Box))
    outline = next(s for s in drawing.shapes if isinstance(s, Stroke))
    assert table.y > max(y for _x, y in outline.points)
    (name,) = (s for s in drawing.shapes if isinstance(s, Label))
    assert name.text == "mesa"
    assert table.x < name.x < table.x + table.width
    assert table.y < name.y < table.y + table.height


# --- Where positions stand: common practice, no source -------------------------------------------
@pytest.mark.parametrize(("position", "from_end_line"), [(LEAD, -1.2), (TRAIL, 8.5), (CENTRE, 5.8)])
@pytest.mark.parametrize("basket", End)
def test_a_position_is_measured_from_the_end_line_under_attack(
    position: Position, from_end_line: float, basket: End
) -> None:
    x, _y = spot(position, TABLE, basket)
    assert x == pytest.approx(from_end_line if basket is End.LEFT else LENGTH - from_end_line)


@pytest.mark.parametrize(("position", "basket"), list(product(Position, End)))
def test_the_two_sides_mirror_each_other_and_none_is_the_middle(
    position: Position, basket: End
) -> None:
    (_x, near), (_x2, far) = (spot(position, side, basket) for side in (TABLE, OPPOSITE))
    assert near > WIDTH / 2 > far
    assert near + far == pytest.approx(WIDTH)
    assert spot(position, None, basket)[1] == WIDTH / 2


def test_no_two_places_share_a_spot() -> None:
    places = list(product(Position, Side, End))
    assert len({spot(*place) for place in places}) == len(places)


# --- Movements ------------------------------------------------------------------------------------
def test_what_a_mark_means_is_told_by_its_shape() -> None:
    drawing = movement_court(moved(), "")
    assert [type(s) for s in styled(drawing, Style.BEFORE)] == [Ring]
    assert [type(s) for s in styled(drawing, Style.DUE)] == [Stroke]
    assert [type(s) for s in styled(drawing, Style.ENDED)] == [Dot]


def test_who_stayed_has_the_dot_in_the_ring_and_a_broken_arrow_to_where_to_go() -> None:
    drawing = movement_court(moved(), "")
    at = marks(drawing)
    assert at["before"] == at["ended"] != at["due"]
    (shaft,) = styled(drawing, Style.WAY_DUE)
    assert isinstance(shaft, Stroke)
    start, end = shaft.points
    assert hypot(start[0] - at["before"][0], start[1] - at["before"][1]) < 8
    assert hypot(end[0] - at["due"][0], end[1] - at["due"][1]) < 8


def test_who_went_where_the_code_sends_has_one_unbroken_arrow() -> None:
    drawing = movement_court(moved(actual=Place(TRAIL, TABLE)), "")
    at = marks(drawing)
    assert at["ended"] == at["due"] != at["before"]
    assert not styled(drawing, Style.WAY_DUE)
    assert len(styled(drawing, Style.WAY)) == 2  # the shaft and its head


def test_a_wrong_end_has_both_arrows() -> None:
    drawing = movement_court(moved(actual=Place(TRAIL, OPPOSITE)), "")
    assert len(styled(drawing, Style.WAY_DUE)) == 1
    assert len(styled(drawing, Style.WAY)) == 3


def test_after_a_flip_places_are_those_of_the_other_basket() -> None:
    """A lead who stands still is trail then; one who stays lead runs the length of the floor."""
    metre = court([], "").width / 32
    stays = marks(movement_court(moved(flip=True, actual=Place(TRAIL, TABLE)), ""))
    runs = marks(movement_court(moved(flip=True, actual=Place(LEAD, TABLE)), ""))
    assert abs(runs["ended"][0] - runs["before"][0]) > LENGTH * metre
    assert abs(stays["ended"][0] - stays["before"][0]) > (LENGTH / 2) * metre


def test_a_side_that_was_not_seen_is_a_line_across_the_floor() -> None:
    seen = movement_court(moved(), "")
    assert not styled(seen, Style.SOMEWHERE)
    trail = Place(TRAIL)
    drawing = movement_court(moved(before=trail, expected=Place(LEAD, TABLE), actual=trail), "")
    lines = styled(drawing, Style.SOMEWHERE)
    at = marks(drawing)["before"]
    for line in lines:
        assert isinstance(line, Stroke)
        (x, near), (x2, far) = line.points
        assert x == x2 == at[0]
        assert far < at[1] < near


def test_a_side_that_is_free_is_drawn_where_the_official_used_it() -> None:
    free = Place(TRAIL)
    for side in Side:
        at = marks(movement_court(moved(expected=free, actual=Place(TRAIL, side)), ""))
        assert at["due"] == at["ended"]


def test_every_movement_stays_on_its_paper() -> None:
    for before, due, ended, flip in product(
        product(Position, (*Side, None)), Position, product(Position, (*Side, None)), (True, False)
    ):
        drawing = movement_court(
            moved(
                before=Place(*before), expected=Place(due, TABLE), actual=Place(*ended), flip=flip
            ),
            "",
        )
        assert drawing.height == COURT_HEIGHT
        for x, y in marks(drawing).values():
            assert 5 <= x <= drawing.width - 5
            assert 5 <= y <= drawing.height - 5


def test_a_court_may_carry_letters_and_be_of_any_size() -> None:
    before = Marked(Mark.BEFORE, Place(LEAD, TABLE), End.LEFT, "L")
    after = Marked(Mark.ENDED, Place(TRAIL, TABLE), End.LEFT)
    small = court([before, after], "Lead goes to trail.", moves=[(before, after)], height=60)
    assert (small.height, small.alt) == (60, "Lead goes to trail.")
    (label,) = (s for s in small.shapes if isinstance(s, Label))
    assert (label.text, round(label.x, 2)) == (
        "L",
        round(middle(styled(small, Style.BEFORE)[0])[0], 2),
    )
