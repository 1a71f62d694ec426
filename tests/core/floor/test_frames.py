"""Courts have their published dimensions."""

from __future__ import annotations

import json
from math import atan2, degrees, hypot
from pathlib import Path

import pytest

from evaluations.core.floor.frames import FOOT, FRAMES, Frame
from evaluations.core.floor.sketch import FIELD_OF_VIEW, WIDEST_FIELD

# FIBA Official Basketball Rules Art. 2; CIE international lighting vocabulary, visual field.
PUBLISHED = json.loads(
    (Path(__file__).parents[2] / "reference" / "court_and_vision.json").read_text("utf-8")
)["expected"]
FIBA = FRAMES[Frame.FIBA]


def test_a_court_has_the_rule_books_size() -> None:
    assert (FIBA.length, FIBA.width) == (PUBLISHED["length_m"], PUBLISHED["width_m"])
    assert FIBA.basket_inset == PUBLISHED["basket_from_end_line_m"]
    assert [FIBA.lane_width, FIBA.lane_length] == PUBLISHED["lane_m"]
    assert FIBA.arc_radius == PUBLISHED["three_point_m"]
    assert FIBA.width / 2 - FIBA.corner_inset == pytest.approx(PUBLISHED["corner_three_m"])


def test_what_follows_from_the_size_is_as_published() -> None:
    published = PUBLISHED["corner_three_meets_arc_m_from_end_line"]
    assert FIBA.arc_meets_corner == pytest.approx(published, abs=5e-5)
    full = hypot(FIBA.length, FIBA.width)
    assert full == pytest.approx(PUBLISHED["full_diagonal_m"], abs=5e-4)
    half = hypot(FIBA.length / 2, FIBA.width)
    assert half == pytest.approx(PUBLISHED["half_court_diagonal_m"], abs=5e-4)


@pytest.mark.parametrize(
    ("behind", "angle"), PUBLISHED["angle_over_50_ft_baseline_from_centre"].items()
)
def test_a_lead_behind_the_end_line_needs_so_wide_a_field(behind: str, angle: float) -> None:
    feet = float(behind.split(maxsplit=1)[0])
    width = FRAMES[Frame.FEET_84].width
    assert 2 * degrees(atan2(width / 2, feet * FOOT)) == pytest.approx(angle, abs=0.05)


def test_feet_are_the_international_ones() -> None:
    assert FRAMES[Frame.FEET_84].length == pytest.approx(25.6032)
    assert FRAMES[Frame.FEET_94].length == pytest.approx(28.6512)
    assert FRAMES[Frame.FEET_94].width == FRAMES[Frame.FEET_84].width == pytest.approx(15.24)


def test_the_fields_of_view_are_those_of_the_vocabulary() -> None:
    assert (FIELD_OF_VIEW, WIDEST_FIELD) == (120, 190)
