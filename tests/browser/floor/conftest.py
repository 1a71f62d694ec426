"""Orla Finch has logged a foul and draws who stood where."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest
from django.utils import timezone

from accounts.models import Role
from evaluations.models import DeadBallLog
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
