"""Takes the README's pictures of the demo into docs/pictures/. Run by `make pictures`."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Final

import pytest
from django.urls import reverse
from django.utils import timezone
from PIL import Image
from playwright.sync_api import Browser, Page, ViewportSize

from accounts.models import Membership, User
from evaluations.models import CodeEdition, Evaluation, Observation, Release, Rubric
from seed_demo.moments import NOW
from seed_demo.people import EVERYBODY, SLUG
from tests.needs import program

FOLDER: Final = Path(__file__).parents[2] / "docs" / "pictures"
PHONE: Final = ViewportSize(width=390, height=900)
LAPTOP: Final = ViewportSize(width=1180, height=800)
SHARPNESS: Final = {"phone": 2.0, "laptop": 1.5}
"""Pixels of a picture for one of the page."""

PAPER_DPI: Final = 88
AT_MOST: Final = 150_000
"""Bytes of a picture."""


@dataclass(frozen=True)
class Picture:
    """A page as `who` sees it. `down_to` is the heading that the picture begins with, if any."""

    name: str
    width: str
    who: str
    address: Callable[[], str]
    down_to: str = ""

    @property
    def file(self) -> str:
        return f"{self.name}-{self.width}.png"


def page(name: str, *keys: int) -> str:
    return reverse(f"evaluations:{name}", args=[SLUG, *keys])


def form_of(official: str, state: str) -> Evaluation:
    email = EVERYBODY[official].email
    return Evaluation.objects.get(official__user__email=email, state=state)


def letters(official: str) -> list[Release]:
    """From the oldest to the newest."""
    to_official = Release.objects.filter(
        evaluation__official__user__email=EVERYBODY[official].email
    )
    return list(to_official.order_by("released_at"))


def log_in_work() -> Observation:
    return Observation.objects.get(
        log__ended_at=None, log__isnull=False, observer__user__email=EVERYBODY["marchetti"].email
    )


def code_in_use() -> CodeEdition:
    return CodeEdition.objects.get(crew_size=3, rubrics_of_three__state=Rubric.State.PUBLISHED)


def draft_rubric() -> Rubric:
    return Rubric.objects.get(state=Rubric.State.DRAFT)


PICTURES: Final = (
    Picture("live-log", "phone", "marchetti", lambda: page("live_log", log_in_work().pk)),
    Picture(
        "crew-side-by-side", "laptop", "marchetti", lambda: page("crew_view", log_in_work().pk)
    ),
    Picture("mechanics-code", "laptop", "tallow", lambda: page("code", code_in_use().pk)),
    Picture("what-to-train", "laptop", "tallow", lambda: page("findings")),
    Picture(
        "evaluation-form",
        "phone",
        "marchetti",
        lambda: page("evaluation_form", form_of("oakley", "draft").pk),
        down_to="Switching",
    ),
    Picture(
        "evaluation-check",
        "laptop",
        "marchetti",
        lambda: page("evaluation_check", form_of("demirel", "returned").pk),
        down_to="The score",
    ),
    Picture("letter", "phone", "birdsong", lambda: page("letter", letters("birdsong")[-1].pk)),
    Picture("rubric-weights", "laptop", "moray", lambda: page("rubric_weights", draft_rubric().pk)),
    Picture("first-page-of-an-admin", "laptop", "tallow", lambda: page("home")),
    Picture("own-season", "phone", "birdsong", lambda: page("own_season"), down_to="Totals"),
)


@pytest.fixture(autouse=True)
def the_demos_day(monkeypatch: pytest.MonkeyPatch) -> None:
    """The site's clock stands at the demo's own day, whenever the pictures are taken."""
    monkeypatch.setattr(timezone, "now", lambda: NOW)


@pytest.mark.demo
@pytest.mark.parametrize("picture", PICTURES, ids=lambda picture: picture.file)
def test_picture(
    picture: Picture, browser: Browser, site: str, sign_in: Callable[[Page, User], None]
) -> None:
    context = browser.new_context(
        base_url=site,
        viewport=PHONE if picture.width == "phone" else LAPTOP,
        device_scale_factor=SHARPNESS[picture.width],
        locale="en-US",
        timezone_id="America/Chicago",
    )
    shown = context.new_page()
    email = EVERYBODY[picture.who].email
    sign_in(shown, Membership.objects.get(user__email=email).user)
    answer = shown.goto(picture.address())
    assert answer is not None and answer.ok
    if picture.down_to:
        heading = shown.get_by_role("heading", name=picture.down_to, exact=True)
        heading.evaluate("element => { element.scrollIntoView(); window.scrollBy(0, -24); }")
    keep(shown.screenshot(), picture.file)
    context.close()


@pytest.mark.usefixtures("own_demo")
def test_picture_of_a_letter_on_paper(tmp_path: Path) -> None:
    paint = program("pdftoppm", "install poppler (Debian: apt-get install poppler-utils)")
    pdf = tmp_path / "letter.pdf"
    pdf.write_bytes(bytes(letters("haddadin")[1].pdf))
    command = [str(paint), "-png", "-r", str(PAPER_DPI), str(pdf), str(tmp_path / "paper")]
    subprocess.run(command, check=True)
    painted = sorted(tmp_path.glob("paper*.png"))
    assert len(painted) == 2
    for number, sheet in enumerate(painted, start=1):
        keep(sheet.read_bytes(), f"letter-paper-{number}.png")


def keep(png: bytes, name: str) -> None:
    """Write a picture with as many colours as fit into AT_MOST bytes."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    image = Image.open(BytesIO(png)).convert("RGB")
    for colours in (256, 128, 64, 32, 16):
        packed = BytesIO()
        image.quantize(colours, dither=Image.Dither.NONE).save(packed, "PNG", optimize=True)
        if packed.tell() <= AT_MOST:
            (FOLDER / name).write_bytes(packed.getvalue())
            return
    pytest.fail(f"{name} is too large in {colours} colours: {packed.tell()} bytes")
