"""A game that is on: Orla Finch sits at the table and logs a crew, live."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest
from django.utils import timezone

from accounts.models import Role
from evaluations.models import DeadBallLog
from tests.factories.accounts import Cast, make_cast, member
from tests.factories.evaluations import GAME_AT
from tests.factories.logs import begun_log
from tests.factories.releases import crew_of

BeginLog = Callable[..., DeadBallLog]


@pytest.fixture
def begin(site: str, monkeypatch: pytest.MonkeyPatch) -> BeginLog:
    """Begins a log; with `crew=3` of a crew of three. It is 13:42 in Chicago."""
    monkeypatch.setattr(timezone, "now", lambda: GAME_AT + timedelta(minutes=42))

    def begun(*, crew: int = 2, **terms: object) -> DeadBallLog:
        cast: Cast = make_cast()
        officials = [cast.official, cast.other_official]
        if crew == 3:
            officials.append(member(cast.association, "Ines Halloway", Role.OFFICIAL))
            terms = {"left_end": None, **terms}
        return begun_log(crew_of(cast, *officials), **terms)

    return begun
