"""Orla Finch has logged a foul and draws who stood where."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from django.utils import timezone
from playwright.sync_api import Page

from accounts.models import Role
from evaluations.models import DeadBallLog
from tests.browser.floor.filming import SignIn, at_the_desk, made_film, with_film
from tests.factories.accounts import Cast, make_cast, member
from tests.factories.evaluations import GAME_AT
from tests.factories.logs import lead_calls, log_with
from tests.factories.releases import crew_of

Logged = Callable[..., DeadBallLog]


@pytest.fixture
def logged(site: str, monkeypatch: pytest.MonkeyPatch) -> Logged:
    """Logs a foul; with `crew=3` of a crew of three."""
    monkeypatch.setattr(timezone, "now", lambda: GAME_AT + timedelta(hours=2))

    def made(*, crew: int = 2) -> DeadBallLog:
        cast: Cast = make_cast()
        officials = [cast.official, cast.other_official]
        if crew == 3:
            officials.append(member(cast.association, "Ines Halloway", Role.OFFICIAL))
        terms = {"left_end": None} if crew == 3 else {}
        return log_with(crew_of(cast, *officials), [lead_calls(None)], **terms)

    return made


@pytest.fixture(scope="module")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return made_film(tmp_path_factory.mktemp("film"))


@pytest.fixture
def desk(laptop: Page, sign_in: SignIn, logged: Logged, film: Path) -> Page:
    page = at_the_desk(laptop, sign_in, logged())
    with_film(page, film)
    return page
