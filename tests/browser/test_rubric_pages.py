"""Rubrics in a real browser: shares while typing, texts that count down, two pages on paper."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO

import pytest
from playwright.sync_api import Page, ViewportSize, expect
from pypdf import PdfReader

from accounts.models import User
from evaluations.models import Rubric
from evaluations.services.rubrics import copy_rubric
from tests.browser.accessibility import violations
from tests.browser.pages import LAPTOP, PHONE, OpenPage
from tests.factories.accounts import NOW, Cast, make_cast
from tests.factories.evaluations import published_rubric, season_of

SignIn = Callable[[Page, User], None]


@pytest.fixture
def people(site: str) -> Cast:
    return make_cast()


@pytest.fixture
def published(people: Cast) -> Rubric:
    return published_rubric(season_of(people.association), people.admin)


@pytest.fixture
def draft(people: Cast, published: Rubric) -> Rubric:
    return copy_rubric(source=published, season=published.season, by=people.admin, now=NOW)


def address(rubric: Rubric, page: str = "") -> str:
    return f"/a/rivers/rubrics/{rubric.pk}/{page}"


@pytest.mark.parametrize("paper", ["Letter", "A4"])
@pytest.mark.parametrize("language", ["en", "es"])
def test_the_shipped_rubric_prints_on_two_pages(
    laptop: Page,
    sign_in: SignIn,
    people: Cast,
    published: Rubric,
    language: str,
    paper: str,
) -> None:
    sign_in(laptop, people.official.user)
    laptop.goto(f"{address(published)}?language={language}")
    pages = PdfReader(BytesIO(laptop.pdf(format=paper))).pages
    assert len(pages) == 2
    printed = " ".join(" ".join(page.extract_text() for page in pages).split())
    for text in {
        "en": (
            "A report begins only when both feet are still in the reporting area.",
            "dependable from 65, exemplary from 85.",
        ),
        "es": (
            "La falta se comunica solo con los dos pies quietos en la zona de comunicación.",
            "ejemplar",
        ),
    }[language]:
        assert text in printed
    assert "Sign out" not in printed


def test_shares_follow_the_weights_while_they_are_typed(
    laptop: Page, sign_in: SignIn, people: Cast, draft: Rubric
) -> None:
    sign_in(laptop, people.admin.user)
    laptop.goto(address(draft, "weights/"))
    signals = laptop.get_by_role("region", name="Signals")
    switching = laptop.get_by_role("region", name="Switching")
    signals.get_by_label("Weight of Signals").fill("120")
    expect(signals.get_by_text("60 % of the total", exact=True)).to_be_visible()
    expect(switching.get_by_text("12.5 % of the total", exact=True)).to_be_visible()
    expect(switching.get_by_text("33.3 % of the area, 4.2 % of the total")).to_have_count(3)
    signals.get_by_label("Raises the arm with the whistle").fill("2")
    expect(signals.get_by_text("50 % of the area, 30 % of the total")).to_be_visible()
    signals.get_by_label("Weight of Signals").fill("0")
    expect(signals.get_by_text("50 % of the area, – % of the total")).to_be_visible()
    expect(switching.get_by_text("31.3 % of the total", exact=True)).to_be_visible()


def test_what_is_shown_while_typing_is_what_is_stored(
    laptop: Page, sign_in: SignIn, people: Cast, draft: Rubric
) -> None:
    people.admin.user.language = "es"
    people.admin.user.save()
    sign_in(laptop, people.admin.user)
    laptop.goto(address(draft, "weights/"))
    laptop.locator("#id_area-weight-signals").fill("12,5")
    shown = laptop.locator("output").all_inner_texts()
    laptop.locator(".bar button").click()
    laptop.wait_for_load_state()
    assert laptop.locator("#id_area-weight-signals").input_value() == "12,5"
    assert laptop.locator("output").all_inner_texts() == shown
    assert "13,5" in shown[-4]


def test_without_scripts_the_weights_page_works_and_shows_the_stored_shares(
    open_page: OpenPage, sign_in: SignIn, people: Cast, draft: Rubric
) -> None:
    page = open_page(LAPTOP, scripts=False)
    sign_in(page, people.admin.user)
    page.goto(address(draft, "weights/"))
    page.locator("#id_area-weight-signals").fill("120")
    page.get_by_role("button", name="Save the weights").click()
    expect(page.get_by_text("60 % of the total", exact=True)).to_be_visible()


def test_the_four_texts_of_a_next_step_count_down_together(
    phone: Page, sign_in: SignIn, people: Cast, draft: Rubric
) -> None:
    sign_in(phone, people.admin.user)
    phone.goto(address(draft, "criterion/still-before-first-sign/"))
    for name in ("standard", "why", "try_this", "check"):
        phone.locator(f"#id_en-{name}").fill("x" * 80)
    english = phone.get_by_role("region", name="English")
    expect(english.get_by_text("10 characters left for the four together")).to_be_visible()
    phone.locator("#id_en-why").fill("x" * 95)
    expect(english.get_by_text("5 characters too many for the four together")).to_be_visible()


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("size", [PHONE, LAPTOP], ids=["phone", "laptop"])
def test_every_page_of_a_rubric_is_accessible_and_fits(
    open_page: OpenPage,
    sign_in: SignIn,
    people: Cast,
    published: Rubric,
    draft: Rubric,
    size: ViewportSize,
    dark: bool,
) -> None:
    page = open_page(size, dark=dark)
    sign_in(page, people.admin.user)
    pages = [
        "/a/rivers/rubrics/",
        address(published),
        address(published, "copy/"),
        *(
            address(draft, part)
            for part in (
                "",
                "weights/",
                "words/",
                "levels/",
                "ceilings/",
                "areas/",
                "areas/add/",
                "area/signals/",
                "area/signals/add/",
                "area/signals/remove/",
                "criterion/still-before-first-sign/",
                "criterion/still-before-first-sign/remove/",
                "start-over/",
                "publish/",
            )
        ),
    ]
    for there in pages:
        page.goto(there)
        assert violations(page) == [], there
        wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert wide <= 0, there
