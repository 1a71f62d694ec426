"""Words on a drawing stand beside their marks, off other marks and on the sheet."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluations.core.drawing import Anchor, Box, Dot, Ring, Shape, Stroke, Style
from evaluations.core.sheet import Area, Sheet, Spot

SHEET = Area(0.0, 0.0, 100.0, 60.0)
SPOT = (50.0, 30.0)

inside = st.tuples(st.floats(0, 100), st.floats(0, 60))
anywhere = st.tuples(st.floats(-80, 180), st.floats(-80, 140))


def where(*shapes: Shape, spot: Spot = SPOT, text: str = "you") -> str:
    """On which side of its mark a word stands."""
    label = Sheet(SHEET, shapes).word(spot, text)
    if label.anchor is not Anchor.MIDDLE:
        return "right" if label.anchor is Anchor.START else "left"
    return "above" if label.y < spot[1] else "below"


ABOVE, BELOW, RIGHT = (
    Dot(50, 20, 3, Style.DARK),
    Dot(50, 41, 3, Style.DARK),
    Dot(62, 30, 3, Style.DARK),
)


@pytest.mark.parametrize(
    ("taken", "side"),
    [
        ((), "above"),
        ((ABOVE,), "below"),
        ((ABOVE, BELOW), "right"),
        ((ABOVE, BELOW, RIGHT), "left"),
        ((Box(40, 15, 20, 10, Style.TABLE),), "below"),
        ((Stroke(((0, 20), (100, 20)), Style.VIEW),), "below"),
    ],
)
def test_a_word_goes_where_nothing_else_is(taken: tuple[Shape, ...], side: str) -> None:
    assert where(*taken) == side


def test_a_line_of_the_court_gives_way_before_a_view_and_both_before_a_mark() -> None:
    sides = (Stroke(((45, 0), (45, 18.5)), Style.VIEW), Stroke(((45, 60), (45, 41.5)), Style.COURT))
    assert where(*sides, RIGHT, Dot(38, 30, 3, Style.DARK)) == "below"
    assert where(ABOVE, BELOW, RIGHT, Stroke(((40, 0), (40, 60)), Style.WAY)) == "left"


def test_a_circle_of_the_court_is_no_mark_but_a_line() -> None:
    assert where(Ring(50, 30, 25, Style.COURT)) == "above"
    assert where(Ring(50, 22, 3, Style.COURT)) == "below"


def test_a_word_stays_on_the_sheet() -> None:
    assert where(spot=(50.0, 4.0)) == "below"
    assert where(spot=(50.0, 4.0), text="u" * 20) == "below"
    assert where(BELOW, ABOVE, spot=(96.0, 30.0)) == "left"


def test_of_a_crowd_one_is_named_and_whoever_else_has_room() -> None:
    crowd = [(50.0 + 4 * n, 30.0) for n in range(5)]
    marks = [Ring(x, y, 3, Style.LIGHT) for x, y in crowd]
    apart = (15.0, 30.0)
    named = list(Sheet(SHEET, marks).words([*crowd, apart], "unseen"))
    assert len(named) < 6
    assert named[0].x == 50.0
    assert named[-1].x == 15.0


def test_with_no_room_at_all_the_first_is_named_all_the_same() -> None:
    full = Box(0, 0, 100, 60, Style.TABLE)
    assert len(list(Sheet(SHEET, [full]).words([SPOT, (20.0, 20.0)], "unseen"))) == 1


# --- The edge ------------------------------------------------------------------------------------
@given(inside, anywhere)
def test_a_line_from_the_sheet_ends_at_its_edge(start: Spot, end: Spot) -> None:
    part = SHEET.part(start, end)
    if part is None:
        return
    (x1, y1), (x2, y2) = part
    assert (x1, y1) == pytest.approx(start)
    assert -1e-9 <= x2 <= 100 + 1e-9
    assert -1e-9 <= y2 <= 60 + 1e-9
    # It ends there, or where the line ended by itself.
    on_edge = min(abs(x2), abs(x2 - 100), abs(y2), abs(y2 - 60)) < 1e-9
    assert on_edge or (x2, y2) == pytest.approx(end)


@pytest.mark.parametrize(
    ("start", "end"), [((-5, 10), (-5, 50)), ((-9, -9), (-1, -1)), ((0, 0), (0, -5))]
)
def test_a_line_past_the_sheet_has_no_part_on_it(start: Spot, end: Spot) -> None:
    assert SHEET.part(start, end) is None
