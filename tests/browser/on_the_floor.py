"""Where in the demo's season there is something on the floor to show."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Final

from accounts.models import Membership
from evaluations.models import EyesMarks, FloorSketch, Release
from evaluations.queries.releases import content_of, releases_for


def letter_with_sketch_and_gap(somebody: Membership, now: datetime) -> Release:
    contents = ((letter, content_of(letter)) for letter in releases_for(somebody, now))
    return next(letter for letter, content in contents if content.sketch and content.band)


def drawn(observation: int) -> list[object]:
    """Dead ball and moment of an observation's first sketch."""
    sketch = FloorSketch.objects.filter(dead_ball__log__observation=observation).earliest("pk")
    return [sketch.dead_ball.number, sketch.instant]


def marked(observation: int) -> list[object]:
    """The first dead ball of an observation that was marked on film."""
    eyes = EyesMarks.objects.filter(dead_ball__log__observation=observation).earliest("pk")
    return [eyes.dead_ball.number]


ON_THE_FLOOR: Final[Mapping[str, Callable[[int], list[object]]]] = {
    "evaluations:eyes": marked,
    "evaluations:film_desk": marked,
    "evaluations:sketch": drawn,
}
"""What follows the observation's key in the address of a page, by the page's name."""
