"""A click on the paused film is a place on the floor once four court points are set."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

import pytest
from playwright.sync_api import Page, expect

from evaluations.core.floor.frames import FRAMES, Frame, court_points
from evaluations.core.floor.homography import Homography, fit, floor_error, to_floor
from evaluations.core.floor.presets import Shape, preset
from evaluations.services.floor import keep_sketch
from tests.browser.accessibility import violations
from tests.browser.floor.conftest import Logged
from tests.browser.floor.filming import SignIn, at_the_desk, press, with_film
from tests.factories.releases import THAT_NIGHT

COURT: Final = FRAMES[Frame.FEET_84]
POINTS: Final = court_points(COURT)
CORNERS: Final = {
    "left-corner-near": (0.10, 0.92),
    "right-corner-near": (0.94, 0.88),
    "right-corner-far": (0.80, 0.30),
    "left-corner-far": (0.22, 0.32),
}
"""Where a camera above the table sees them, in shares of the picture."""


def click(page: Page, what: str, share: tuple[float, float]) -> tuple[float, float]:
    """The pixel of the film that was clicked, as the page counts it."""
    page.get_by_label("A click on the film is").select_option(what)
    video = page.locator("[data-video]")
    video.scroll_into_view_if_needed()
    box = video.bounding_box()
    assert box is not None
    # A mouse stands on whole pixels of the window.
    x, y = round(box["x"] + share[0] * box["width"]), round(box["y"] + share[1] * box["height"])
    page.mouse.click(x, y)
    return x - box["x"], y - box["y"]


def set_by(page: Page, points: dict[str, tuple[float, float]]) -> Homography:
    pixels = [click(page, key, share) for key, share in points.items()]
    return fit(pixels, [POINTS[key] for key in points])


def says(page: Page, text: str) -> None:
    expect(page.locator("[data-floor-says]")).to_contain_text(text)


def test_four_points_set_the_floor_and_the_pointer_says_how_sure_it_is(desk: Page) -> None:
    found = set_by(desk, CORNERS)
    says(desk, "The floor is set by 4 points. With four points nothing shows a wrong click")
    pixel = click(desk, "place", (0.5, 0.5))
    shown = desk.locator("[data-clicked] li").last.inner_text()
    x, y, error = (float(figure) for figure in re.findall(r"\d+\.\d\d", shown))
    assert (x, y) == pytest.approx(
        tuple(found.matrix[:2] @ [*pixel, 1] / (found.matrix[2] @ [*pixel, 1])), abs=0.006
    )
    assert error == pytest.approx(floor_error(found, pixel), abs=0.006)
    assert "at 95 % for clicks off by 2 pixels" in shown
    expect(desk.locator("[data-pointer]")).to_contain_text("m from the left end line")


def test_from_five_points_on_it_says_how_far_they_are_off(desk: Page) -> None:
    found = set_by(desk, {**CORNERS, "division-far": (0.5, 0.34)})
    assert found.residual is not None and found.residual > 0.05
    says(desk, f"They are off by {found.residual:.2f} m on average (root mean square).")


def test_fewer_than_four_points_set_nothing(desk: Page) -> None:
    for n, (key, share) in enumerate(list(CORNERS.items())[:3], start=1):
        click(desk, key, share)
        says(desk, f"{n} of 4 court points are clicked.")
    click(desk, "place", (0.5, 0.5))
    expect(desk.locator("[data-clicked] li")).to_have_count(3)


def test_crossed_points_are_refused_with_words(desk: Page) -> None:
    near, far = CORNERS["left-corner-near"], CORNERS["left-corner-far"]
    for key, share in {**CORNERS, "left-corner-near": far, "left-corner-far": near}.items():
        click(desk, key, share)
    says(desk, "The clicks are in another order than their court points.")
    # Clicked again where they are, all is well.
    click(desk, "left-corner-near", near)
    click(desk, "left-corner-far", far)
    says(desk, "The floor is set by 4 points.")


def test_points_in_a_line_are_refused_with_words(desk: Page) -> None:
    in_line = {key: (0.1 + 0.2 * n, 0.9) for n, key in enumerate(list(CORNERS)[:3])}
    for key, share in {**in_line, "left-corner-far": (0.2, 0.3)}.items():
        click(desk, key, share)
    says(desk, "Three of the points are in a line or on one spot.")


def test_a_point_can_be_taken_away_again(desk: Page) -> None:
    set_by(desk, CORNERS)
    desk.get_by_role("button", name="Remove left corner, far side").click()
    says(desk, "3 of 4 court points are clicked.")


def test_above_the_horizon_there_is_no_floor(desk: Page) -> None:
    near_and_low = [(0.02, 0.95), (0.98, 0.95), (0.62, 0.45), (0.38, 0.45)]
    set_by(desk, dict(zip(CORNERS, near_and_low, strict=True)))
    click(desk, "place", (0.5, 0.1))
    expect(desk.locator("[data-pointer]")).to_have_text("Above the floor's horizon")


def test_once_the_film_moves_on_the_page_says_when_the_points_were_clicked(desk: Page) -> None:
    set_by(desk, CORNERS)
    desk.get_by_label("A click on the film is").select_option("")
    desk.locator("[data-stage]").focus()
    press(desk, "ArrowRight")
    says(desk, "The points were clicked at 0:00.000. If the camera moved since")


def test_the_cross_is_moved_by_key(desk: Page) -> None:
    set_by(desk, CORNERS)
    desk.get_by_label("A click on the film is").select_option("umpire")
    desk.locator("[data-stage]").focus()
    press(desk, "Shift+ArrowRight", "ArrowDown", "ArrowLeft", "Enter")
    expect(desk.locator("[data-clicked]")).to_contain_text("Mara Odell: ")
    expect(desk.locator("[data-clock]")).to_have_text("0:00.000")
    assert violations(desk) == []


def test_places_wait_for_the_sketch_in_the_browser(desk: Page) -> None:
    set_by(desk, CORNERS)
    desk.get_by_role("button", name="for the sketch while the foul is reported").click()
    says(desk, "Click somebody's place first.")
    click(desk, "referee", (0.5, 0.6))
    click(desk, "player-7", (0.6, 0.5))
    desk.get_by_role("button", name="for the sketch while the foul is reported").click()
    says(desk, "Kept for the sketch: 2.")
    kept = desk.evaluate("JSON.parse(Object.values(sessionStorage)[0])")
    assert set(kept["report"]) == {"referee", "player-7"}
    assert kept["report"]["player-7"]["team"] == "dark"
    assert 0 < kept["report"]["referee"]["x"] < COURT.length
    desk.get_by_role("link", name="Sketch while the foul is reported").click()
    desk.get_by_role("button", name="Fill in 2 places from the film").click()
    for who in kept["report"]:
        for axis in ("x", "y"):
            shown = desk.locator(f"[name={who}-{axis}]").input_value()
            assert float(shown) == kept["report"][who][axis]


def test_a_sketch_lies_over_the_film_where_its_people_should_be(
    laptop: Page, sign_in: SignIn, logged: Logged, film: Path
) -> None:
    log = logged()
    sketch = preset(Shape.FREE_THROW, 2, Frame.FEET_84)
    observer, ball = log.observation.observer, log.dead_balls.get()
    keep_sketch(dead_ball=ball, sketch=sketch, by=observer, now=THAT_NIGHT)
    page = at_the_desk(laptop, sign_in, log)
    with_film(page, film)
    page.get_by_label("Lay over the film").select_option("report")
    expect(page.locator("[data-overlay] .drawn")).to_have_count(0)
    found = set_by(page, CORNERS)
    expect(page.locator("[data-overlay] .drawn")).to_have_count(12)
    circles = page.locator("[data-overlay] circle.drawn").evaluate_all(
        "circles => circles.map((one) => [+one.getAttribute('cx'), +one.getAttribute('cy')])"
    )
    for player, pixel in zip(sketch.players, circles, strict=True):
        assert to_floor(found, tuple(pixel)) == pytest.approx(player.at, abs=1e-6)
