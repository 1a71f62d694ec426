"""A film made for a test, and what a hand does at the video desk."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

from django.urls import reverse
from playwright.sync_api import Page, expect

from accounts.models import User
from evaluations.models import DeadBallLog, FilmStatement
from evaluations.services.floor import state_film
from tests.factories.releases import THAT_NIGHT
from tests.needs import program

SignIn = Callable[[Page, User], None]

SECONDS, RATE = 12, 25
FRAME = 1000 // RATE
"""Milliseconds."""


def made_film(folder: Path, name: str = "clip.mp4") -> Path:
    """Twelve seconds of a test picture, 640 by 360, 25 frames a second, H.264."""
    ffmpeg = program("ffmpeg", "install it (Debian: apt-get install ffmpeg)")
    path = folder / name
    picture = f"testsrc2=size=640x360:rate={RATE}:duration={SECONDS}"
    quiet: list[str | Path] = [ffmpeg, "-loglevel", "error", "-f", "lavfi", "-i", picture]
    coded = ["-c:v", "libx264", "-preset", "ultrafast", "-g", "25", "-pix_fmt", "yuv420p"]
    subprocess.run([*quiet, *coded, path], check=True)
    return path


def address(log: DeadBallLog, name: str = "film_desk") -> str:
    return reverse(f"evaluations:{name}", args=["rivers", log.observation_id, 1])


def stated(log: DeadBallLog) -> None:
    by, own = log.observation.observer, FilmStatement.Owner.OWN
    state_film(log=log, owner=own, permission="My own, from the balcony", by=by, now=THAT_NIGHT)


def at_the_desk(page: Page, sign_in: SignIn, log: DeadBallLog) -> Page:
    stated(log)
    sign_in(page, log.observation.observer.user)
    page.goto(address(log))
    return page


def with_film(page: Page, film: Path) -> None:
    """Open it, and wait until its first frame is there."""
    page.get_by_label("A film on this device").set_input_files(film)
    expect(page.locator("[data-player]")).to_be_visible()
    expect(page.locator("[data-stage]")).to_be_focused()


def clock(page: Page) -> int:
    """Milliseconds."""
    return milliseconds(page.locator("[data-clock]").inner_text())


def milliseconds(text: str) -> int:
    minutes, seconds = text.split(":")
    return int(minutes) * 60_000 + round(float(seconds) * 1000)


def written(at: int) -> str:
    return f"{at // 60_000}:{at % 60_000 // 1000:02d}.{at % 1000:03d}"


def go_to(page: Page, at: int) -> None:
    """By the slider, into the frame that begins at `at`."""
    page.get_by_label("Place in the film").fill(str(at + FRAME // 2))
    expect(page.locator("[data-clock]")).to_have_text(written(at))
    page.locator("[data-stage]").focus()


def press(page: Page, *keys: str) -> None:
    for key in keys:
        page.keyboard.press(key)


def steps(page: Page, count: int) -> None:
    """Forward by frame, each of them shown before the next."""
    for _ in range(count):
        before = clock(page)
        page.keyboard.press("ArrowRight")
        expect(page.locator("[data-clock]")).to_have_text(written(before + FRAME))


def value(page: Page, name: str) -> str:
    return page.locator(f"[name={name}]").input_value()


def line(page: Page, member: str, n: int) -> tuple[str, str, str]:
    facing, start, end = (value(page, f"{member}-{n}-{part}") for part in ("facing", "from", "to"))
    return facing, start, end


def save(page: Page) -> None:
    page.get_by_role("button", name="Save the times").click()
    expect(page.get_by_text("The times are saved.")).to_be_visible()


def shapes(page: Page, svg: str) -> Any:
    """Every shape of a drawing with its attributes."""
    return page.locator(svg).evaluate(
        """(svg) => [...svg.children].map((shape) => [
          shape.tagName,
          shape.textContent,
          Object.fromEntries([...shape.attributes].map(({name, value}) => [name, value])),
        ])"""
    )
