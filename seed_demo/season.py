"""The whole demo in one go, or nothing of it."""

from __future__ import annotations

from collections.abc import Callable

from django.db import transaction
from django.utils import translation

from accounts.models import Association
from seed_demo.course import schedule
from seed_demo.founding import found
from seed_demo.moments import NOW
from seed_demo.people import SLUG
from seed_demo.schedule import planned_games
from seed_demo.stories import schedule_stories


def is_loaded() -> bool:
    """Whether the demo is there; if it is, all of it is."""
    return Association.objects.filter(slug=SLUG).exists()


@transaction.atomic
def load(say: Callable[[str], None]) -> None:
    """Make the association and its season. `say` is told what is under way."""
    with translation.override("en"):
        say("The association, its people and its rubric")
        demo, rubric = found()
        for plan in planned_games():
            schedule(demo, plan)
        schedule_stories(demo, rubric)
        say("The season, game by game")
        demo.timeline.play(until=NOW)
    say(f"{len(demo.games)} games, {len(demo.observations)} observations, {demo.made} letters")
