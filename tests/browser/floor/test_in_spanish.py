"""The sketch pad and the video desk on the phone of an observer who reads Spanish."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from evaluations.models import DeadBallLog
from tests.browser.accessibility import overflow, small_targets
from tests.browser.floor.conftest import Logged
from tests.browser.floor.drawing import SignIn, signed_in, typed
from tests.browser.floor.filming import address, at_the_desk
from tests.browser.pages import PHONE, OpenPage
from tests.factories.floor import from_film
from tests.spanish import english_in

SPOKEN = """() => [...document.querySelectorAll("[aria-label], [title]")]
  .map((part) => part.ariaLabel ?? part.title).join("\\n")"""

CUT_OFF = """() => {
  const wide = document.documentElement.clientWidth;
  const boxes = [...document.querySelectorAll("svg text, .button, summary, label, td, th")];
  const shown = boxes.filter((part) => part.checkVisibility({ visibilityProperty: true }));
  return shown.flatMap((part) => {
    const { left, right } = part.getBoundingClientRect();
    const inside = part.scrollWidth > part.clientWidth + 1 && part.matches(".button");
    return left < -1 || right > wide + 1 || inside ? [part.textContent.trim()] : [];
  });
}"""
"""Words that stand out of the window, or of their button."""


def spanish(log: DeadBallLog) -> DeadBallLog:
    user = log.observation.observer.user
    user.language = "es"
    user.save()
    return log


def faults(page: Page) -> list[str]:
    shown = f"{page.inner_text('body')}\n{page.evaluate(SPOKEN)}"
    cut: list[str] = page.evaluate(CUT_OFF)
    return [*english_in(shown), *overflow(page), *small_targets(page), *cut]


@pytest.mark.parametrize("crew", [2, 3])
def test_the_pad(open_page: OpenPage, sign_in: SignIn, logged: Logged, crew: int) -> None:
    page = signed_in(open_page(PHONE), sign_in, spanish(logged(crew=crew)))
    page.get_by_label("Disposición", exact=True).select_option("free_throw")
    page.get_by_role("button", name="Empezar con esta disposición").click()
    typed(page, referee_x="26", referee_facing="90", route="12 7\n9 5,5\n4.25 -0.5")
    page.get_by_label("Campo de visión, en grados").fill("30")
    expect(page.locator(".pad-summary")).to_contain_text("Sin ver: ")
    found = faults(page)
    page.locator("#pad-part").select_option("whole")
    found += faults(page)
    page.get_by_role("button", name="Guardar el croquis").click()
    expect(page.get_by_text("El croquis está guardado.")).to_be_visible()
    assert found + faults(page) == []


@pytest.mark.parametrize("crew", [2, 3])
def test_the_desk(
    open_page: OpenPage, sign_in: SignIn, logged: Logged, film: Path, crew: int
) -> None:
    page = at_the_desk(open_page(PHONE), sign_in, spanish(logged(crew=crew)))
    page.get_by_label("Un vídeo de este dispositivo").set_input_files(film)
    expect(page.locator("[data-player]")).to_be_visible()
    typed(page, whistle="1", live="11", referee_0_from="1")
    page.get_by_label("Fin de la comunicación", exact=True).fill("4,5")
    page.locator("[name=referee-0-facing]").select_option("not_facing")
    page.get_by_text("Cómo funcionan las marcas y las teclas").click()
    for key in ("left-corner-near", "left-free-throw-far", "right-lane-far", "division-far"):
        page.locator("[data-click]").select_option(key)
        page.locator("[data-stage]").press("ArrowLeft")
        page.locator("[data-stage]").press("Enter")
    found = faults(page)
    page.get_by_role("button", name="Guardar los tiempos").click()
    expect(page.get_by_text("Los tiempos están guardados.")).to_be_visible()
    assert found + faults(page) == []


def test_the_pages_around_them(open_page: OpenPage, sign_in: SignIn, logged: Logged) -> None:
    log = spanish(logged())
    from_film(log.dead_balls.get())
    page = open_page(PHONE)
    sign_in(page, log.observation.observer.user)
    for name in ("dead_ball", "eyes"):
        page.goto(address(log, name))
        assert faults(page) == [], name
    page.get_by_role("link", name="Cambiar esto").click()
    expect(page.get_by_role("heading", name="Antes de abrir un vídeo")).to_be_visible()
    assert faults(page) == []
