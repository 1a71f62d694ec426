"""Drawing who stood where: by mouse, by finger, by keys, and by figures alone."""

from __future__ import annotations

from statistics import median

import pytest
from playwright.sync_api import CDPSession, Page, ViewportSize, expect

from tests.browser.accessibility import overflow, small_targets, violations
from tests.browser.floor.conftest import Logged
from tests.browser.floor.drawing import (
    SignIn,
    Spot,
    drag_times,
    dragged,
    figures,
    lines,
    middle_of,
    saved,
    scale,
    signed_in,
    somebody,
    spot_of,
    started,
    typed,
)
from tests.browser.pages import LAPTOP, PHONE, OpenPage

NARROW = ViewportSize(width=320, height=640)


@pytest.fixture
def pad(laptop: Page, sign_in: SignIn, logged: Logged) -> Page:
    """A free throw at the right basket, on a laptop."""
    page = signed_in(laptop, sign_in, logged())
    started(page)
    return page


# --- By mouse ------------------------------------------------------------------------------------
def test_somebody_who_is_dragged_moves_in_the_figures_too(pad: Page) -> None:
    x, y = figures(pad, "player-4")
    metre = scale(pad)
    dragged(pad, spot_of(pad, "player-4"), -2 * metre, 1 * metre)
    assert figures(pad, "player-4") == pytest.approx((x - 2, y - 1), abs=0.06)


def test_a_facing_handle_turns_its_official_and_moves_nobody(pad: Page) -> None:
    x, y, _facing = figures(pad, "umpire")
    spot, handle = spot_of(pad, "umpire"), middle_of(somebody(pad, "umpire").locator(".handle"))
    dragged(pad, handle, spot.x + 80 - handle.x, spot.y - handle.y)
    assert figures(pad, "umpire") == (x, y, 0)


def test_results_follow_the_drag_and_the_unseen_are_crossed_out_in_words(pad: Page) -> None:
    typed(pad, referee_facing="0", umpire_facing="270")
    assert lines(pad)["coverage"] == "0 of 10"
    expect(pad.locator(".piece.unseen")).to_have_count(10)
    expect(pad.locator(".piece.unseen .cross:visible")).to_have_count(10)
    spot, handle = spot_of(pad, "umpire"), middle_of(somebody(pad, "umpire").locator(".handle"))
    pad.mouse.move(*handle)
    pad.mouse.down()
    pad.mouse.move(spot.x + 20, spot.y - 80)
    assert lines(pad)["coverage"] != "0 of 10"
    expect(pad.locator(".pad-summary")).to_contain_text("players in view. Unseen:")
    pad.mouse.up()
    unseen = pad.locator(".piece.unseen")
    assert 0 < unseen.count() < 10
    expect(unseen.first.get_by_text("unseen")).to_be_visible()
    expect(somebody(pad, "player-5").get_by_text("unseen")).to_be_hidden()


def test_people_are_placed_by_choosing_one_and_clicking_one_after_another(
    laptop: Page, sign_in: SignIn, logged: Logged
) -> None:
    page = signed_in(laptop, sign_in, logged())
    page.get_by_label("Place by tapping the floor").select_option("player-9")
    box = page.locator(".floor-pad").bounding_box()
    assert box is not None
    for share in (0.4, 0.6):
        page.mouse.click(box["x"] + box["width"] * share, box["y"] + box["height"] / 2)
    nine, ten = figures(page, "player-9"), figures(page, "player-10")
    assert nine[1] == pytest.approx(7.62, abs=0.1)
    assert ten[0] - nine[0] == pytest.approx(0.2 * (25.6032 + 6), abs=0.1)
    expect(page.get_by_label("Place by tapping the floor")).to_have_value("")


def test_an_official_who_is_placed_faces_the_players(pad: Page) -> None:
    typed(pad, umpire_x="", umpire_y="", umpire_facing="")
    expect(somebody(pad, "umpire")).to_be_hidden()
    pad.get_by_label("Place by tapping the floor").select_option("umpire")
    at = spot_of(pad, "player-5")
    pad.mouse.click(at.x, at.y + 90)
    _x, _y, facing = figures(pad, "umpire")
    assert 20 < facing < 90
    assert lines(pad)["view-umpire"] != "nobody"


def test_a_way_is_drawn_and_kept_to_two_hundred_points(pad: Page) -> None:
    pad.get_by_role("button", name="Draw the way to report").click()
    start = spot_of(pad, "player-4")
    pad.mouse.move(*start)
    pad.mouse.down()
    for n in range(260):
        pad.mouse.move(start.x - n, start.y + (40 if n % 2 else 0))
    pad.mouse.up()
    points = pad.locator("[name=route]").input_value().splitlines()
    assert 2 < len(points) <= 200
    assert lines(pad)["route"].startswith(("around", "through"))
    expect(pad.get_by_role("button", name="Draw the way")).to_have_attribute(
        "aria-pressed", "false"
    )
    pad.get_by_role("button", name="Erase the way").click()
    assert lines(pad)["route"] == "not judged"


def test_from_opposite_the_table_the_same_floor_is_turned_about(pad: Page) -> None:
    before, stood = spot_of(pad, "umpire"), figures(pad, "umpire")
    told = lines(pad)
    pad.get_by_role("button", name="Seen from opposite").click()
    after = spot_of(pad, "umpire")
    box = pad.locator(".floor-pad").bounding_box()
    assert box is not None
    assert before.x + after.x == pytest.approx(2 * box["x"] + box["width"], abs=2)
    assert lines(pad) == told
    dragged(pad, after, 3 * scale(pad), 0)
    assert figures(pad, "umpire")[0] == pytest.approx(stood[0] - 3, abs=0.06)


def test_steps_are_undone_and_done_again(pad: Page) -> None:
    undo, redo = (pad.get_by_role("button", name=n, exact=True) for n in ("Undo", "Do again"))
    started_at = figures(pad, "player-4")
    dragged(pad, spot_of(pad, "player-4"), -60, 0)
    moved_to = figures(pad, "player-4")
    typed(pad, player_4_x="3")
    undo.click()
    assert figures(pad, "player-4") == moved_to
    undo.click()
    assert figures(pad, "player-4") == started_at
    redo.click()
    assert figures(pad, "player-4") == moved_to
    undo.click()
    undo.click()
    expect(undo).to_be_disabled()
    assert pad.locator("[name=player-4-x]").input_value() == ""


def test_what_is_typed_moves_the_drawing(pad: Page) -> None:
    before = spot_of(pad, "player-4")
    metre = scale(pad)
    x, _y = figures(pad, "player-4")
    typed(pad, player_4_x=str(x - 4).replace(".", ","))
    assert spot_of(pad, "player-4").x == pytest.approx(before.x - 4 * metre, abs=1)
    typed(pad, player_4_x="")
    expect(somebody(pad, "player-4")).to_be_hidden()
    assert lines(pad)["coverage"].endswith("of 9")


def test_a_drag_is_on_the_picture_within_a_frame(pad: Page) -> None:
    typed(pad, route="20 7\n15 5\n13 -0.5")
    assert median(drag_times(pad, 100)) <= 16


def test_nobody_is_dragged_farther_than_the_floor_goes(pad: Page) -> None:
    dragged(pad, spot_of(pad, "referee"), 600, -600)
    assert figures(pad, "referee")[:2] == (28.6, 18.24)
    saved(pad)


@pytest.mark.parametrize("crew", [2, 3])
@pytest.mark.parametrize("shape", ["free_throw", "end_line", "side_line", "spread"])
def test_the_site_finds_in_words_what_the_pad_showed(
    laptop: Page, sign_in: SignIn, logged: Logged, shape: str, crew: int
) -> None:
    page = signed_in(laptop, sign_in, logged(crew=crew))
    started(page, shape, "left")
    typed(page, route="12 7\n9 5,5\n4.25 -0.5", referee_facing="100")
    page.get_by_label("Who reports").select_option("referee")
    shown = lines(page)
    sketch = saved(page)
    assert lines(page) == shown
    assert (len(sketch.players), len(sketch.route)) == (10, 3)
    expect(page.locator("[data-pad-instead]")).to_be_hidden()


# --- By finger -----------------------------------------------------------------------------------
def finger(page: Page, steps: list[Spot]) -> None:
    """Down on the first, over the others, and up."""
    hand: CDPSession = page.context.new_cdp_session(page)
    for n, spot in enumerate(steps):
        name = "touchMove" if n else "touchStart"
        points = [{"x": spot.x, "y": spot.y}]
        hand.send("Input.dispatchTouchEvent", {"type": name, "touchPoints": points})
    hand.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


@pytest.fixture
def in_hand(phone: Page, sign_in: SignIn, logged: Logged) -> Page:
    page = signed_in(phone, sign_in, logged())
    started(page)
    return page


def test_a_finger_beside_somebody_drags_the_nearest_and_the_page_stays(in_hand: Page) -> None:
    x, y = figures(in_hand, "player-4")
    metre, scrolled = scale(in_hand), in_hand.evaluate("scrollY")
    near = Spot(spot_of(in_hand, "player-4").x - 12, spot_of(in_hand, "player-4").y - 12)
    steps = [near, Spot(near.x, near.y + metre), Spot(near.x, near.y + 4 * metre)]
    finger(in_hand, steps)
    assert figures(in_hand, "player-4") == pytest.approx((x, y - 4), abs=0.1)
    assert in_hand.evaluate("scrollY") == scrolled


def test_on_a_phone_a_shape_is_shown_by_its_half_of_the_floor(in_hand: Page) -> None:
    expect(in_hand.get_by_label("Show", exact=True)).to_have_value("right")
    half = scale(in_hand)
    in_hand.get_by_label("Show", exact=True).select_option("whole")
    assert half > 1.8 * scale(in_hand)


def test_a_tap_places_whom_one_chose(in_hand: Page) -> None:
    in_hand.get_by_label("Place by tapping the floor").select_option("player-2")
    at = spot_of(in_hand, "player-4")
    in_hand.touchscreen.tap(at.x - 40, at.y - 30)
    metre = scale(in_hand)
    x, y = figures(in_hand, "player-4")
    placed = (x - 40 / metre, y + 30 / metre)
    assert figures(in_hand, "player-2") == pytest.approx(placed, abs=0.1)


def test_a_finger_draws_the_way(in_hand: Page) -> None:
    in_hand.get_by_role("button", name="Draw the way to report").click()
    start = spot_of(in_hand, "player-4")
    finger(in_hand, [Spot(start.x - 30 + n, start.y + 12 * n) for n in range(14)])
    assert len(in_hand.locator("[name=route]").input_value().splitlines()) >= 2


# --- By keys -------------------------------------------------------------------------------------
def test_arrow_keys_move_by_a_quarter_and_with_shift_by_a_metre(pad: Page) -> None:
    x, y = figures(pad, "player-4")
    somebody(pad, "player-4").focus()
    for key in ("ArrowLeft", "ArrowLeft", "ArrowUp", "Shift+ArrowDown"):
        pad.keyboard.press(key)
    assert figures(pad, "player-4") == pytest.approx((x - 0.5, y - 0.75))
    pad.keyboard.press("Control+z")
    assert figures(pad, "player-4") == (x, y)
    pad.keyboard.press("Control+y")
    assert figures(pad, "player-4") == pytest.approx((x - 0.5, y - 0.75))


@pytest.mark.parametrize(
    ("keys", "by"),
    [(["["], 15), (["]"], -15), (["{"], 5), (["Alt+ArrowLeft"], 15), (["Alt+ArrowRight"], -15)],
)
def test_brackets_and_alt_with_arrows_turn_an_official(pad: Page, keys: list[str], by: int) -> None:
    x, y, facing = figures(pad, "umpire")
    somebody(pad, "umpire").focus()
    for key in keys:
        pad.keyboard.press(key)
    assert figures(pad, "umpire") == (x, y, facing + by)


def test_without_a_mouse_somebody_is_put_on_the_floor_and_taken_off(
    laptop: Page, sign_in: SignIn, logged: Logged
) -> None:
    page = signed_in(laptop, sign_in, logged())
    chosen = page.get_by_label("Place by tapping the floor")
    chosen.focus()
    chosen.select_option("player-3")
    page.get_by_role("button", name="Put in the middle").focus()
    page.keyboard.press("Enter")
    expect(somebody(page, "player-3")).to_be_focused()
    assert figures(page, "player-3") == pytest.approx((12.8, 7.62), abs=0.1)
    page.keyboard.press("ArrowRight")
    assert figures(page, "player-3")[0] == pytest.approx(13.05, abs=0.1)
    page.keyboard.press("Delete")
    expect(somebody(page, "player-3")).to_be_hidden()
    expect(chosen).to_be_focused()


def test_what_changed_is_read_out_once_it_is_quiet(pad: Page) -> None:
    status = pad.locator("[data-pad-says]")
    expect(status).to_contain_text("The shape is on the floor")
    somebody(pad, "player-4").focus()
    pad.evaluate(
        """() => {
          window.spoken = [];
          new MutationObserver(() => window.spoken.push(1)).observe(
            document.querySelector("[data-pad-says]"), {childList: true});
        }"""
    )
    for _press in range(6):
        pad.keyboard.press("ArrowLeft")
    expect(status).to_contain_text("Player 4, light:")
    expect(status).to_contain_text("of 10 players in view.")
    assert pad.evaluate("window.spoken.length") == 1
    expect(somebody(pad, "player-4")).to_have_attribute("aria-label", _told(pad))


def _told(page: Page) -> str:
    x, y = (f"{figure:g}" for figure in figures(page, "player-4"))
    return f"Player 4, light: {x} m from the left, {y} m from the table, in view"


# --- By figures alone, and for everybody ---------------------------------------------------------
def test_without_scripts_a_shape_is_started_from_figures_typed_and_the_drawing_shown(
    open_page: OpenPage, sign_in: SignIn, logged: Logged
) -> None:
    page = signed_in(open_page(LAPTOP, scripts=False), sign_in, logged())
    expect(page.locator("[data-pad]")).to_be_hidden()
    started(page, "spread", "left")
    typed(page, umpire_x="middle")
    page.get_by_role("button", name="Save the sketch").click()
    expect(page.get_by_role("link", name="Give a figure")).to_be_visible()
    assert page.locator("[name=umpire-x]").input_value() == "middle"
    typed(page, umpire_x="8,25")
    saved(page)
    expect(page.get_by_role("img", name="players are in an official's view")).to_be_visible()
    assert lines(page)["coverage"].endswith("of 10")


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("size", [PHONE, LAPTOP, NARROW], ids=["phone", "laptop", "narrow"])
def test_the_pad_is_accessible_and_no_wider_than_the_window(
    open_page: OpenPage, sign_in: SignIn, logged: Logged, size: ViewportSize, dark: bool
) -> None:
    page = signed_in(open_page(size, dark=dark), sign_in, logged())
    page.emulate_media(reduced_motion="reduce")
    found = faults(page)
    started(page)
    found += faults(page)
    typed(page, referee_x="middle")
    page.get_by_role("button", name="Save the sketch").click()
    expect(page.get_by_role("link", name="Give a figure")).to_be_visible()
    found += faults(page)
    assert found == []


def faults(page: Page) -> list[str]:
    return [*violations(page), *small_targets(page), *overflow(page)]
