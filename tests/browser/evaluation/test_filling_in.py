"""The evaluation form in a real browser: rated, written, checked and handed in."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from evaluations.models import Evaluation, Observation
from tests.browser.evaluation.doing import (
    SignIn,
    address,
    choose,
    crew_address,
    opened,
    rows,
    saved,
    scales,
    write_and_save,
)


def levels(evaluation: Evaluation) -> list[int | None]:
    return [rating.level for rating in evaluation.ratings.all()]


# --- Filling in ---------------------------------------------------------------------------------
def test_a_crew_of_two_is_rated_written_checked_and_handed_in_by_mouse(
    laptop: Page, sign_in: SignIn, observation: Observation, evaluation: Evaluation
) -> None:
    page = opened(laptop, sign_in, observation, address(evaluation))
    for number, scale in enumerate(scales(page)):
        choose(scale, (4, 3, "not_seen", 5)[number] if number < 4 else 4)
    rows(page).nth(3).get_by_label("What was seen").fill("In place before every throw-in.")
    expect(page.locator("[data-counts]")).to_have_text("12 of 12 answered, 1 not seen")
    saved(page)
    page.get_by_role("button", name="Next: words").click()
    step = page.locator("#step-route-round-players")
    step.get_by_label("What was seen").fill(
        "Twice straight through the group, both near the table."
    )
    step.get_by_label("raised after the game").check()
    page.get_by_role("button", name="Next: check").click()
    expect(page.get_by_text("Everything is there.")).to_be_visible()
    expect(page.locator(".headline")).to_contain_text("of 100")
    page.get_by_role("button", name="Submit").click()
    expect(page.get_by_role("status").get_by_text("Submitted.")).to_be_visible()
    page.get_by_role("link", name="Next: Mara Odell").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Evaluation of Mara Odell")
    evaluation.refresh_from_db()
    assert evaluation.state == "submitted"


def test_the_form_is_filled_in_without_a_mouse(
    laptop: Page, sign_in: SignIn, observation: Observation, evaluation: Evaluation
) -> None:
    page = opened(laptop, sign_in, observation, address(evaluation))
    page.locator("[data-scale] input").first.focus()
    page.keyboard.press("Space")
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    expect(rows(page).first.locator("[data-reads]")).to_have_text(
        "Both feet are still in the reporting area before every report seen."
    )
    page.keyboard.press("Tab")
    expect(page.locator("summary:focus")).to_have_text("All levels in words")
    page.keyboard.press("Tab")
    page.keyboard.type("Stopped, breathed, signed.")
    page.keyboard.press("Tab")
    with page.expect_response(lambda answer: "dead_ball=9" in (answer.request.post_data or "")):
        page.keyboard.type("9")
        page.keyboard.press("Enter")
    saved(page)
    expect(page).to_have_url(address(evaluation))
    row = evaluation.ratings.get()
    assert (row.level, row.evidence, row.dead_ball) == (5, "Stopped, breathed, signed.", 9)


def test_what_was_saved_is_there_when_the_page_is_opened_again(
    phone: Page, sign_in: SignIn, observation: Observation, evaluation: Evaluation
) -> None:
    page = opened(phone, sign_in, observation, address(evaluation))
    scales(page)[0].locator("input[value='2']").tap()
    saved(page)
    write_and_save(rows(page).first.get_by_label("What was seen"), "Walked into the sign twice.")
    page.reload()
    expect(rows(page).first.locator("input[value='2']")).to_be_checked()
    expect(rows(page).first.get_by_label("What was seen")).to_have_value(
        "Walked into the sign twice."
    )
    expect(page.locator("[data-counts]")).to_have_text("1 of 12 answered, 0 not seen")


def test_the_bar_leads_to_the_next_open_criterion(
    phone: Page, sign_in: SignIn, observation: Observation, evaluation: Evaluation
) -> None:
    page = opened(phone, sign_in, observation, address(evaluation))
    choose(scales(page)[0], 4)
    page.get_by_role("link", name="Next open one").click()
    expect(scales(page)[1].locator("input").first).to_be_focused()
    expect(scales(page)[1].locator("input").first).to_be_in_viewport()


@pytest.mark.parametrize(("level", "needed"), [(1, True), (3, False), (5, True)])
def test_evidence_is_asked_for_at_the_lowest_and_the_highest_level(
    phone: Page,
    sign_in: SignIn,
    observation: Observation,
    evaluation: Evaluation,
    level: int,
    needed: bool,
) -> None:
    page = opened(phone, sign_in, observation, address(evaluation))
    choose(scales(page)[0], level)
    expect(rows(page).first.locator(".needed")).to_be_visible(visible=needed)


def test_a_second_tab_gets_no_save_and_keeps_its_text(
    laptop: Page,
    sign_in: SignIn,
    observation: Observation,
    evaluation: Evaluation,
    complaints: list[str],
) -> None:
    first = opened(laptop, sign_in, observation, address(evaluation))
    second = laptop.context.new_page()
    second.goto(address(evaluation))
    write_and_save(rows(first).first.get_by_label("What was seen"), "Typed in the first tab.")
    rows(second).nth(1).get_by_label("What was seen").fill("Typed in the second tab.")
    conflict = second.get_by_text("There is a newer version of this form")
    expect(conflict).to_be_visible()
    expect(second.locator("[data-save-line]")).to_have_text("not saved: there is a newer version")
    expect(rows(second).nth(1).get_by_label("What was seen")).to_have_value(
        "Typed in the second tab."
    )
    second.get_by_role("button", name="Save").click()
    expect(conflict).to_be_visible()
    expect(rows(second).nth(1).get_by_label("What was seen")).to_have_value(
        "Typed in the second tab."
    )
    assert [r.evidence for r in evaluation.ratings.all()] == ["Typed in the first tab."]
    assert all("409" in complaint for complaint in complaints)
    complaints.clear()


def test_side_by_side_each_answer_goes_to_its_official(
    laptop: Page, sign_in: SignIn, observation: Observation, evaluation: Evaluation
) -> None:
    page = opened(laptop, sign_in, observation, crew_address(observation))
    for name, level in (("Nico Vale", 4), ("Mara Odell", 2)):
        group = page.get_by_role("radiogroup", name=f"{name} (Stands still before the first sign)")
        choose(group, level)
    expect(page.locator("[data-counts]")).to_have_text("2 of 24 answered, 0 not seen")
    other = observation.evaluations.get(position="umpire")
    expect(page.locator("input[name=version]")).to_have_value("2-2")
    assert (levels(evaluation), levels(other)) == ([4], [2])


# --- Without scripts ----------------------------------------------------------------------------
def test_without_scripts_the_form_is_filled_in_exchanged_and_handed_in(
    plain: Page, evaluation: Evaluation
) -> None:
    plain.goto(address(evaluation))
    for scale in scales(plain):
        choose(scale, 3)
    plain.get_by_role("button", name="Next: words").click()
    item = plain.locator(".item").first
    item.get_by_label("What was seen").fill("Turned away twice.")
    other = plain.locator(".item").nth(1)
    other.get_by_text("Exchange or leave out").click()
    other.get_by_label("Put in its place").select_option("nothing: leave it out")
    other.get_by_role("button", name="Use this").click()
    expect(plain.locator(".item")).to_have_count(2)
    expect(plain.locator(".item").first.get_by_label("What was seen")).to_have_value(
        "Turned away twice."
    )
    plain.locator(".item").nth(1).get_by_label("Dead ball").fill("9")
    plain.get_by_role("button", name="Next: check").click()
    plain.get_by_role("button", name="Submit").click()
    expect(plain.get_by_text("Submitted. An admin reads it")).to_be_visible()
    evaluation.refresh_from_db()
    assert evaluation.state == "submitted"
