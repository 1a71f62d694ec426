"""Orla Finch marks a film of her own device at a dead ball: by key, by mouse, without scripts."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from playwright.sync_api import Dialog, Page, Request, expect

from evaluations.core.floor.eyes import DeadTime, Facing, Mark
from evaluations.models import EyesMarks
from evaluations.queries.floor_values import dead_time
from tests.browser.accessibility import overflow, small_targets, violations
from tests.browser.floor.conftest import Logged
from tests.browser.floor.filming import (
    FRAME,
    SignIn,
    address,
    at_the_desk,
    clock,
    go_to,
    line,
    milliseconds,
    press,
    save,
    shapes,
    stated,
    steps,
    value,
    with_film,
)
from tests.browser.pages import LAPTOP, PHONE, OpenPage
from tests.factories.logs import REFEREE, UMPIRE


def marked(page: Page) -> None:
    """Whistle 2 s, report ended 6 s, live 10 s; both face away at 4 to 7 s."""
    for at, key in ((2_000, "w"), (6_000, "r"), (10_000, "l")):
        go_to(page, at)
        press(page, key)
    for name, text in {
        "referee-0-facing": "not_facing",
        "referee-0-from": "2",
        "referee-0-to": "9",
        "umpire-0-facing": "facing",
        "umpire-0-from": "2",
        "umpire-0-to": "4",
        "umpire-1-facing": "not_facing",
        "umpire-1-from": "4",
        "umpire-1-to": "7",
    }.items():
        control = page.locator(f"[name={name}]")
        if name.endswith("facing"):
            control.select_option(text)
        else:
            control.fill(text)
    page.locator("[data-stage]").focus()


# --- By key --------------------------------------------------------------------------------------
def test_a_film_is_marked_by_key_to_the_frame_and_nothing_leaves_before_it_is_saved(
    desk: Page, film: Path
) -> None:
    asked: list[str] = []

    def ask(request: Request) -> None:
        asked.append(request.url)

    desk.context.on("request", ask)
    with_film(desk, film)
    go_to(desk, 2_000)
    press(desk, "w", "1", "4")
    steps(desk, 10)
    press(desk, "1", "3")
    steps(desk, 5)
    press(desk, "r")
    go_to(desk, 5_000)
    press(desk, "l")
    assert value(desk, "whistle") == "0:02.000"
    assert value(desk, "report_ended") == "0:02.600"
    assert value(desk, "live") == "0:05.000"
    assert line(desk, "referee", 0) == ("facing", "0:02.000", "0:02.400")
    assert line(desk, "umpire", 0) == ("not_facing", "0:02.000", "0:02.400")
    # A jump away ends what is on.
    assert line(desk, "umpire", 1) == ("facing", "0:02.400", "0:02.600")
    assert [url for url in asked if not url.startswith("blob:")] == []
    save(desk)
    assert dead_time(EyesMarks.objects.get()) == DeadTime(
        crew=2,
        whistle=2_000,
        live=5_000,
        report_ended=2_600,
        caller=REFEREE,
        marks=(
            Mark(REFEREE, Facing.FACING, 2_000, 2_400),
            Mark(UMPIRE, Facing.NOT_FACING, 2_000, 2_400),
            Mark(UMPIRE, Facing.FACING, 2_400, 2_600),
        ),
    )


def test_a_key_held_while_the_film_plays_marks_as_long_as_it_is_held(desk: Page) -> None:
    press(desk, " ")
    desk.wait_for_function("() => document.querySelector('[data-video]').currentTime > 0.3")
    desk.keyboard.down("1")
    desk.wait_for_timeout(800)
    desk.keyboard.up("1")
    press(desk, " ")
    facing, start, end = line(desk, "referee", 0)
    assert facing == "facing"
    assert 400 <= milliseconds(end) - milliseconds(start) <= 2_000
    expect(desk.locator("[data-mark=referee][data-facing=facing]")).to_have_attribute(
        "aria-pressed", "false"
    )


def test_a_mark_that_would_end_before_it_began_is_taken_back(desk: Page) -> None:
    go_to(desk, 3_000)
    press(desk, "2", "ArrowLeft", "2")
    expect(desk.locator("[data-status]")).to_contain_text("was taken back")
    assert line(desk, "referee", 0) == ("", "", "")


def test_undo_takes_the_last_mark_back_and_leaves_the_others(desk: Page) -> None:
    go_to(desk, 2_000)
    press(desk, "w", "1")
    steps(desk, 1)
    press(desk, "2", "u")
    assert line(desk, "referee", 0) == ("facing", "0:02.000", "")
    press(desk, "u", "u")
    assert line(desk, "referee", 0) == ("", "", "")
    assert value(desk, "whistle") == ""


def test_keys_do_nothing_while_somebody_types(desk: Page) -> None:
    desk.locator("[name=whistle]").focus()
    press(desk, "1", "w", "l")
    assert value(desk, "whistle") == "1wl"
    assert value(desk, "live") == ""
    assert line(desk, "referee", 0) == ("", "", "")


def test_a_line_more_is_there_when_all_are_used(desk: Page) -> None:
    go_to(desk, 1_000)
    press(desk, "w")
    for _ in range(6):
        press(desk, "1")
        steps(desk, 1)
        press(desk, "1")
        steps(desk, 1)
    assert line(desk, "referee", 5) == ("facing", "0:01.400", "0:01.440")
    expect(desk.get_by_label("from (Nico Vale, line 6)")).to_have_value("0:01.400")
    save(desk)
    assert len(dead_time(EyesMarks.objects.get()).marks) == 6


# --- The ledger and its gaps ---------------------------------------------------------------------
def test_the_ledger_grows_under_the_film_as_it_is_drawn_once_saved(desk: Page) -> None:
    marked(desk)
    expect(desk.locator("[data-sums]")).to_have_text(
        "Covered 2.0 s, uncovered 3.0 s, unknown 3.0 s. The longest gap is 2.0 s."
    )
    of_desk = [one for one in shapes(desk, "[data-band]") if one[0] != "line"]
    save(desk)
    expect(desk.locator("[data-sums]")).to_contain_text("uncovered 3.0 s")
    assert of_desk == shapes(desk, "figure.ledger svg:not([data-band])")
    assert len(of_desk) == 19


def test_it_jumps_to_the_next_and_to_the_longest_gap(desk: Page) -> None:
    expect(desk.locator("[data-sums]")).to_have_text("Mark the whistle first.")
    marked(desk)
    go_to(desk, 1_000)
    press(desk, "n")
    expect(desk.locator("[data-clock]")).to_have_text("0:04.000")
    press(desk, "n")
    expect(desk.locator("[data-clock]")).to_have_text("0:06.000")
    desk.get_by_role("button", name="Longest gap").click()
    expect(desk.locator("[data-clock]")).to_have_text("0:04.000")


# --- By mouse ------------------------------------------------------------------------------------
def test_the_same_by_mouse(desk: Page) -> None:
    go_to(desk, 2_000)
    desk.get_by_role("button", name="Whistle").click()
    nico = desk.get_by_role("group", name="Nico Vale")
    nico.get_by_role("button", name="not facing").click()
    expect(nico.get_by_role("button", name="not facing")).to_have_attribute("aria-pressed", "true")
    desk.get_by_role("button", name="Frame on").click()
    expect(desk.locator("[data-clock]")).to_have_text("0:02.040")
    nico.get_by_role("button", name="facing", exact=True).click()
    desk.get_by_role("button", name="Frame on").click()
    expect(desk.locator("[data-clock]")).to_have_text("0:02.080")
    desk.get_by_role("button", name="Frame back").click()
    expect(desk.locator("[data-clock]")).to_have_text("0:02.040")
    assert line(desk, "referee", 0) == ("not_facing", "0:02.000", "0:02.040")
    assert line(desk, "referee", 1) == ("facing", "0:02.040", "")


def test_it_plays_at_the_chosen_speed_and_learns_how_long_a_frame_is(desk: Page) -> None:
    desk.get_by_label("Speed").select_option("0.5")
    desk.get_by_role("button", name="Play").click()
    expect(desk.get_by_label("Frames a second")).to_have_value("25")
    assert desk.locator("[data-video]").evaluate("video => video.playbackRate") == 0.5
    desk.get_by_role("button", name="Pause").click()
    assert clock(desk) % FRAME == 0


# --- What can go wrong ---------------------------------------------------------------------------
def test_a_film_that_cannot_be_played_says_so_and_what_to_do(
    laptop: Page, sign_in: SignIn, logged: Logged, tmp_path: Path, film: Path
) -> None:
    page = at_the_desk(laptop, sign_in, logged())
    broken = tmp_path / "phone.mp4"
    broken.write_bytes(b"\0\0\0\x18ftypheic" + bytes(4_000))
    page.get_by_label("A film on this device").set_input_files(broken)
    expect(page.get_by_role("alert")).to_contain_text("Convert it to an MP4 with H.264")
    expect(page.locator("[data-player]")).to_be_hidden()
    with_film(page, film)
    expect(page.get_by_role("alert")).to_be_hidden()


def test_unsaved_marks_are_not_left_behind_without_a_word(desk: Page) -> None:
    kinds: list[str] = []

    def stay(dialog: Dialog) -> None:
        kinds.append(dialog.type)
        dialog.dismiss()

    desk.on("dialog", stay)
    go_to(desk, 2_000)
    press(desk, "w")
    desk.get_by_role("link", name="Back without saving").click()
    desk.wait_for_timeout(300)
    assert kinds == ["beforeunload"]
    assert value(desk, "whistle") == "0:02.000"
    save(desk)
    desk.get_by_role("link", name="Back without saving").click()
    desk.wait_for_url("**/log/1/")
    assert kinds == ["beforeunload"]


def test_a_wrong_time_comes_back_with_the_marks_and_the_desk(desk: Page) -> None:
    go_to(desk, 2_000)
    press(desk, "w", "1")
    desk.locator("[name=live]").fill("1")
    desk.get_by_role("button", name="Save the times").click()
    expect(desk.locator("#id_live_error")).to_be_visible()
    assert value(desk, "whistle") == "0:02.000"
    assert line(desk, "referee", 0) == ("facing", "0:02.000", "")
    expect(desk.get_by_label("A film on this device")).to_be_visible()


# --- Everybody -----------------------------------------------------------------------------------
def test_without_scripts_the_times_are_typed(
    open_page: OpenPage, sign_in: SignIn, logged: Logged
) -> None:
    log = logged()
    page = open_page(PHONE, scripts=False)
    sign_in(page, log.observation.observer.user)
    page.goto(address(log))
    page.get_by_label("my own").check()
    page.get_by_label("With what permission").fill("My own film")
    page.get_by_role("button", name="Save and go on").click()
    expect(page.locator("[data-desk]")).to_be_hidden()
    expect(page.get_by_text("Without scripts the film can't be played here.")).to_be_visible()
    page.get_by_label("Whistle", exact=True).fill("1:02.5")
    page.get_by_label("Ball live").fill("1:10")
    page.get_by_label("what was seen (Mara Odell, line 1)").select_option("facing")
    page.get_by_label("from (Mara Odell, line 1)").fill("63")
    save(page)
    expect(page.get_by_text("In 7.5 s somebody faced the players for 7.0 s")).to_be_visible()
    assert dead_time(EyesMarks.objects.get()).marks == (Mark(UMPIRE, Facing.FACING, 63_000),)


@pytest.mark.parametrize("size", [PHONE, LAPTOP], ids=["phone", "laptop"])
def test_the_open_desk_is_accessible_and_no_wider_than_the_window(
    open_page: OpenPage, sign_in: SignIn, logged: Logged, film: Path, size: object
) -> None:
    page = open_page(PHONE if size is PHONE else LAPTOP)
    at_the_desk(page, sign_in, logged())
    with_film(page, film)
    marked(page)
    page.get_by_text("How marks and keys work").click()
    page.evaluate("document.querySelector('.bar').style.setProperty('position', 'static')")
    assert violations(page) == []
    assert small_targets(page) == []
    assert overflow(page) == []


def test_a_crew_of_three_has_six_keys(
    laptop: Page, sign_in: SignIn, logged: Logged, film: Path
) -> None:
    page = at_the_desk(laptop, sign_in, logged(crew=3))
    with_film(page, film)
    go_to(page, 2_000)
    press(page, "w", "1", "4", "6")
    assert line(page, "referee", 0)[0] == "facing"
    assert line(page, "umpire_1", 0)[0] == "not_facing"
    assert line(page, "umpire_2", 0)[0] == "not_facing"
    save(page)
    stored = dead_time(EyesMarks.objects.get())
    assert [mark.end for mark in stored.marks] == [None, None, None]


def test_what_was_said_about_the_film_is_asked_once(
    laptop: Page, sign_in: SignIn, logged: Logged
) -> None:
    log = logged()
    stated(log)
    sign_in(laptop, log.observation.observer.user)
    laptop.goto(address(log, "dead_ball"))
    laptop.get_by_role("link", name="Mark a film").click()
    expect(laptop.get_by_text("My own, from the balcony")).to_be_visible()
    assert json.loads(laptop.locator("#desk-data").text_content() or "")["caller"] == "referee"
