"""The pages of a crew and of a miss, and how they are read."""

from __future__ import annotations

import re
from typing import Final

from django.test import Client
from django.urls import reverse

from evaluations.core.mechanics.facts import Eyes, Moment
from evaluations.models import Observation
from tests.factories.logs import lead_calls
from tests.web.reading import text_in

SWITCH: Final = "force_switch"
EYES: Final = "eyes_kept"
UNWATCHED: Final = Eyes(kept=False, lost=Moment.AFTER_REPORT)
MISSES: Final = [lead_calls(False), lead_calls(True), lead_calls(None, eyes=UNWATCHED)]
"""Dead ball 1: the umpire's switch. 3: the players, nobody's in particular."""


def side_by_side(observation: Observation) -> str:
    slug = observation.game.season.association.slug
    return reverse("evaluations:crew_view", args=[slug, observation.pk])


def of_miss(
    observation: Observation, number: int = 1, rule: str = SWITCH, *, back: bool = False
) -> str:
    slug = observation.game.season.association.slug
    name = "evaluations:miss_take_back" if back else "evaluations:miss_move"
    return reverse(name, args=[slug, observation.pk, number, rule])


def read(client: Client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return answer.text


def words(page: str) -> str:
    """The page's text in one line, as it is read."""
    return re.sub(r"\s+", " ", text_in(page, ""))
