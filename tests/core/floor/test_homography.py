"""A click on the film as a place on the floor."""

from __future__ import annotations

from itertools import permutations

import cv2
import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from evaluations.core.floor.homography import (
    CHI_SQUARE_95,
    HomographyError,
    fit,
    floor_error,
    to_floor,
)

CORNERS = ((0.0, 0.0), (28.0, 0.0), (28.0, 15.0), (0.0, 15.0))
CLICKS = ((100.0, 500.0), (700.0, 480.0), (620.0, 200.0), (180.0, 210.0))
"""A court as seen from high up on the table's side: the far side line is higher on the picture."""


def test_each_click_lies_on_its_court_point() -> None:
    found = fit(CLICKS, CORNERS)
    for click, corner in zip(CLICKS, CORNERS, strict=True):
        assert to_floor(found, click) == pytest.approx(corner, abs=1e-9)
    assert found.residual is None


def test_the_diagonals_meet_in_the_middle_of_the_court() -> None:
    """A homography keeps straight lines, so the middle needs no matrix to be known."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = CLICKS
    lines = np.array([[cx - ax, -(dx - bx)], [cy - ay, -(dy - by)]])
    along, _other = np.linalg.solve(lines, np.array([bx - ax, by - ay]))
    middle = (ax + along * (cx - ax), ay + along * (cy - ay))
    assert to_floor(fit(CLICKS, CORNERS), middle) == pytest.approx((14, 7.5))


def test_a_unit_square_onto_any_four_points() -> None:
    """The closed form of P. Heckbert, Fundamentals of Texture Mapping and Image Warping (1989),
    section 2.2.3, from memory: the square's corners (0,0), (1,0), (1,1), (0,1) to a quadrilateral.
    """
    # Pictures have y running down, so that the square appears turned over.
    square = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    target = ((2.0, 9.0), (10.0, 8.0), (8.0, 3.0), (3.0, 2.0))
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = target
    dx1, dx2, sx = x1 - x2, x3 - x2, x0 - x1 + x2 - x3
    dy1, dy2, sy = y1 - y2, y3 - y2, y0 - y1 + y2 - y3
    det = dx1 * dy2 - dx2 * dy1
    g, h = (sx * dy2 - dx2 * sy) / det, (dx1 * sy - sx * dy1) / det
    expected = [
        [x1 - x0 + g * x1, x3 - x0 + h * x3, x0],
        [y1 - y0 + g * y1, y3 - y0 + h * y3, y0],
        [g, h, 1],
    ]
    found = fit(square, target).matrix
    assert found / found[2, 2] == pytest.approx(np.array(expected))


@given(st.lists(st.floats(-40, 40), min_size=8, max_size=8))
def test_opencv_finds_the_same_places(off: list[float]) -> None:
    """To a millimetre: it takes its points as numbers of single precision."""
    clicks = [(x + off[2 * n], y + off[2 * n + 1]) for n, (x, y) in enumerate(CLICKS)]
    found = fit(clicks, CORNERS)
    matrix, _mask = cv2.findHomography(np.array(clicks), np.array(CORNERS))
    for pixel in ((200.0, 400.0), (400.0, 330.0), (600.0, 300.0)):
        expected = cv2.perspectiveTransform(np.array([[pixel]]), matrix)[0, 0]
        assert to_floor(found, pixel) == pytest.approx(expected, abs=1e-3)


def test_more_than_four_points_show_how_well_they_agree() -> None:
    truth = fit(CLICKS, CORNERS)
    more = ((150.0, 470.0), (420.0, 330.0))
    exact = fit((*CLICKS, *more), (*CORNERS, *(to_floor(truth, m) for m in more)))
    assert exact.residual == pytest.approx(0, abs=1e-9)
    shifted = [(x + 0.5, y) for x, y in (to_floor(truth, m) for m in more)]
    off = fit((*CLICKS, *more), (*CORNERS, *shifted))
    assert off.residual is not None
    assert 0.05 < off.residual < 0.5


def test_a_click_s_error_on_the_floor_is_that_of_a_simulation() -> None:
    """20,000 rounds of jittered clicks through OpenCV; the ellipse that holds 95 % of them."""
    place = (400.0, 300.0)
    found = fit(CLICKS, CORNERS)
    chance = np.random.default_rng(1936)
    hits = []
    for _round in range(20_000):
        clicks = np.array(CLICKS) + chance.normal(0, 2, (4, 2))
        matrix = cv2.getPerspectiveTransform(
            clicks.astype(np.float32), np.array(CORNERS, np.float32)
        )
        hit = matrix @ np.array([*(place + chance.normal(0, 2, 2)), 1.0])
        hits.append(hit[:2] / hit[2])
    widest = np.linalg.eigvalsh(np.cov(np.array(hits).T))[-1]
    assert floor_error(found, place) == pytest.approx(np.sqrt(CHI_SQUARE_95 * widest), rel=0.03)


def test_farther_away_the_error_is_larger() -> None:
    found = fit(CLICKS, CORNERS)
    assert floor_error(found, (400.0, 220.0)) > floor_error(found, (400.0, 450.0))
    assert floor_error(found, (400.0, 300.0), 4.0) == pytest.approx(
        2 * floor_error(found, (400.0, 300.0), 2.0)
    )


@pytest.mark.parametrize("order", [o for o in permutations(range(4)) if o != (0, 1, 2, 3)])
def test_clicks_in_another_order_are_refused(order: tuple[int, ...]) -> None:
    """Crossed or mirrored; three orders only turn the court, and no click can tell them."""
    clicks = [CLICKS[n] for n in order]
    turned = order in [(1, 2, 3, 0), (2, 3, 0, 1), (3, 0, 1, 2)]
    if turned:
        assert fit(clicks, CORNERS).residual is None
        return
    with pytest.raises(HomographyError, match="another order"):
        fit(clicks, CORNERS)


@pytest.mark.parametrize(
    ("what", "clicks"),
    [
        ("three in a line", ((0.0, 0.0), (100.0, 0.0), (200.0, 0.0), (50.0, 90.0))),
        ("nearly in a line", ((0.0, 0.0), (100.0, 1.0), (200.0, 0.0), (50.0, 90.0))),
        ("twice on one spot", ((0.0, 0.0), (0.0, 0.0), (200.0, 0.0), (50.0, 90.0))),
    ],
)
def test_collinear_clicks_are_refused(what: str, clicks: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(HomographyError, match="in a line"):
        fit(clicks, CORNERS)
    with pytest.raises(HomographyError, match="in a line"):
        fit(CLICKS, clicks)


def test_three_points_are_too_few() -> None:
    with pytest.raises(HomographyError, match="four"):
        fit(CLICKS[:3], CORNERS[:3])


def test_above_the_horizon_there_is_no_floor() -> None:
    with pytest.raises(HomographyError, match="horizon"):
        to_floor(fit(CLICKS, CORNERS), (400.0, -800.0))


@given(st.floats(110, 690), st.floats(215, 475))
def test_places_come_back_through_opencv(x: float, y: float) -> None:
    found = fit(CLICKS, CORNERS)
    back = cv2.perspectiveTransform(
        np.array([[to_floor(found, (x, y))]]), np.linalg.inv(found.matrix)
    )[0, 0]
    assume(np.isfinite(back).all())
    assert back == pytest.approx((x, y), abs=1e-6)
