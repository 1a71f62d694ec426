"""What a hand does on the sketch pad, and what the page then says."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from django.urls import reverse
from playwright.sync_api import Locator, Page, expect

from accounts.models import User
from evaluations.core.floor.sketch import Sketch
from evaluations.core.sketch_document import sketch_of
from evaluations.models import DeadBallLog, FloorSketch

SignIn = Callable[[Page, User], None]
LINES = """() => Object.fromEntries(
  [...document.querySelectorAll("[data-line]")].map((line) => [line.dataset.line, line.textContent])
)"""

TIME_DRAGS = """() => {
  window.times = [];
  addEventListener("pointermove", () => {
    const start = performance.now();
    requestAnimationFrame(() => {
      const painted = new MessageChannel();
      painted.port1.onmessage = () => window.times.push(performance.now() - start);
      painted.port2.postMessage("");
    });
  }, {capture: true});
}"""
"""From a pointer's move until the frame with the new picture is painted, in milliseconds."""


class Spot(NamedTuple):
    """Pixels of the window."""

    x: float
    y: float


def signed_in(page: Page, sign_in: SignIn, log: DeadBallLog) -> Page:
    """The observer opens the sketch of the report."""
    sign_in(page, log.observation.observer.user)
    return opened(page, log)


def opened(page: Page, log: DeadBallLog) -> Page:
    parts = ["rivers", log.observation_id, 1, "report"]
    page.goto(reverse("evaluations:sketch", args=parts))
    return page


def started(page: Page, shape: str = "free_throw", end: str = "right") -> None:
    page.get_by_label("Shape", exact=True).select_option(shape)
    page.get_by_label("Basket under attack").select_option(end)
    page.get_by_role("button", name="Start from this shape").click()


def typed(page: Page, **figures: str) -> None:
    """By the names of the form's fields, with _ for -."""
    for name, figure in figures.items():
        control = page.locator(f"[name={name.replace('_', '-')}]")
        control.fill(figure)
        control.blur()


def figures(page: Page, key: str) -> tuple[float, ...]:
    """x and y of somebody, and an official's facing."""
    parts = ("x", "y") if key.startswith("player") else ("x", "y", "facing")
    return tuple(float(page.locator(f"[name={key}-{part}]").input_value()) for part in parts)


def somebody(page: Page, key: str) -> Locator:
    return page.locator(f"[data-key={key}]")


def middle_of(part: Locator) -> Spot:
    box = part.bounding_box()
    assert box is not None
    return Spot(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)


def spot_of(page: Page, key: str) -> Spot:
    page.locator(".floor-pad").scroll_into_view_if_needed()
    return middle_of(somebody(page, key).locator(".ring"))


def scale(page: Page) -> float:
    """Pixels in a metre, from two people whose places are in the figures."""
    one, other = (spot_of(page, key) for key in ("player-1", "player-7"))
    return abs(one.x - other.x) / abs(figures(page, "player-1")[0] - figures(page, "player-7")[0])


def dragged(page: Page, start: Spot, across: float, down: float) -> None:
    page.mouse.move(*start)
    page.mouse.down()
    page.mouse.move(start.x + across / 2, start.y + down / 2)
    page.mouse.move(start.x + across, start.y + down)
    page.mouse.up()


def lines(page: Page) -> dict[str, str]:
    found: dict[str, str] = page.evaluate(LINES)
    return found


def saved(page: Page) -> Sketch:
    """What is stored."""
    page.get_by_role("button", name="Save the sketch").click()
    expect(page.get_by_text("The sketch is saved.")).to_be_visible()
    return sketch_of(FloorSketch.objects.get().content)


def drag_times(page: Page, drags: int) -> list[float]:
    """Milliseconds from drag to picture: the umpire is dragged over the floor in small steps."""
    start = spot_of(page, "umpire")
    page.mouse.move(*start)
    page.mouse.down()
    page.evaluate(TIME_DRAGS)
    for n in range(1, drags + 1):
        page.mouse.move(start.x - 3 * (n % 60), start.y - 2 * (n % 40))
        page.wait_for_function("(n) => window.times.length >= n", arg=n)
    page.mouse.up()
    found: list[float] = page.evaluate("window.times")
    return found[:drags]
