"""A sketch's drawing: everybody on it, and nothing over its edge."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from evaluations.core.court_drawing import COURT_HEIGHT, Paper
from evaluations.core.drawing import Box, Dot, Drawing, Label, Ring, Stroke
from evaluations.core.floor.frames import FRAMES, Frame
from evaluations.core.floor.measures import measure
from evaluations.core.floor.presets import Shape, preset
from evaluations.core.floor.sketch import BEYOND, OfficialAt, PlayerAt, Point, Sketch, Team
from evaluations.core.floor_drawing import sketch_drawing
from evaluations.core.games import POSITIONS

COURT = FRAMES[Frame.FIBA]
REFEREE, UMPIRE = POSITIONS[2]
NAMES = {REFEREE: "referee", UMPIRE: "umpire"}

places = st.builds(
    Point, st.floats(-BEYOND, COURT.length + BEYOND), st.floats(-BEYOND, COURT.width + BEYOND)
)
players = st.lists(st.builds(PlayerAt, places, st.sampled_from(Team)), max_size=10)


def drawn(sketch: Sketch, unseen: str = "unseen") -> Drawing:
    found = measure(sketch)
    return sketch_drawing(
        sketch, found, "", names=NAMES, unseen=unseen, table="table", height=COURT_HEIGHT
    )


def spots(drawing: Drawing) -> Iterator[tuple[float, float]]:
    """The corners of everything drawn; of a word its place."""
    for shape in drawing.shapes:
        match shape:
            case Stroke(points):
                yield from points
            case Dot(x, y, reach) | Ring(x, y, reach):
                yield from ((x - reach, y - reach), (x + reach, y + reach))
            case Box(x, y, width, height):
                yield from ((x, y), (x + width, y + height))
            case Label(x, y):
                yield (x, y)


def sketch(
    referee: Point, umpire: Point, facing: float, those: list[PlayerAt], route: list[Point]
) -> Sketch:
    officials = (OfficialAt(REFEREE, referee, facing), OfficialAt(UMPIRE, umpire, facing + 90))
    return Sketch(crew=2, officials=officials, players=tuple(those), route=tuple(route))


@given(places, places, st.floats(0, 360), players, st.lists(places, max_size=4))
def test_nothing_reaches_over_the_edge(
    referee: Point, umpire: Point, facing: float, those: list[PlayerAt], route: list[Point]
) -> None:
    """Also of somebody three metres outside the lines who looks away: text stands there."""
    drawing = drawn(sketch(referee, umpire, facing, those, route))
    for x, y in spots(drawing):
        assert -0.01 <= x <= drawing.width + 0.01
        assert -0.01 <= y <= drawing.height + 0.01


def test_within_the_lines_a_sketch_is_as_wide_as_a_letters_court() -> None:
    shape = preset(Shape.FREE_THROW, 2)
    within = replace(shape, officials=shape.officials[1:])
    assert drawn(within).width == Paper(COURT_HEIGHT).width


def test_whoever_stands_far_out_makes_the_floor_smaller() -> None:
    usual = preset(Shape.FREE_THROW, 2)
    out = replace(
        usual, officials=(OfficialAt(REFEREE, Point(20.0, -BEYOND), 90.0), usual.officials[1])
    )
    paper = drawn(out)
    assert paper.height == COURT_HEIGHT
    assert paper.width < drawn(usual).width


def test_officials_are_all_named_and_of_the_unseen_those_with_room() -> None:
    away = replace(
        preset(Shape.FREE_THROW, 2),
        officials=tuple(
            OfficialAt(member, Point(x, 0.5), 270.0)
            for member, x in zip(POSITIONS[2], (12.0, 20.0), strict=True)
        ),
    )
    assert len(measure(away).unseen) == 10
    words = [shape.text for shape in drawn(away).shapes if isinstance(shape, Label)]
    assert words[:3] == ["table", "referee", "umpire"]
    assert 1 <= words.count("unseen") < 10
    plain = [shape.text for shape in drawn(away, "").shapes if isinstance(shape, Label)]
    assert plain == ["table", "referee", "umpire"]


def test_words_do_not_lie_on_each_other() -> None:
    away = preset(Shape.END_LINE, 2)
    turned = replace(
        away, officials=tuple(replace(o, facing=o.facing + 180) for o in away.officials)
    )
    words = [shape for shape in drawn(turned).shapes if isinstance(shape, Label)]
    rows = [(w.x, w.y) for w in words if w.text == "unseen"]
    assert len(rows) > 1
    for n, (x, y) in enumerate(rows):
        assert all(abs(x - left) > 20 or abs(y - top) > 7 for left, top in rows[:n])
