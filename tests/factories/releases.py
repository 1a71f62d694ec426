"""Forms that are filled in and handed in, and letters made of them, all through the services.

Every text names its official, so that a test finds it wherever it must not be.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import timedelta
from typing import Final

from accounts.models import Membership
from evaluations.core.next_steps import NextStep, Strength
from evaluations.models import Criterion, Evaluation, Observation, Release
from evaluations.services.evaluation_rows import RatingInput
from evaluations.services.evaluations import save_ratings, save_words, submit
from evaluations.services.releases import release_crew
from tests.factories.accounts import Cast
from tests.factories.evaluations import (
    GAME_AT,
    game_with,
    open_observation,
    published_rubric,
    season_of,
)

LEVEL: Final = 4
WEAK: Final = "ball-waits-for-crew"
"""Rated 2, and the letter's next step."""
STRONG: Final = "preliminary-at-spot"
COMMENTED: Final = "opposite-place"
UNSEEN: Final = "arm-with-whistle"

THAT_NIGHT: Final = GAME_AT + timedelta(hours=3)
SUBMITTED_AT: Final = GAME_AT + timedelta(hours=4)
RELEASED_AT: Final = GAME_AT + timedelta(hours=20)
OPEN_AT: Final = GAME_AT + timedelta(days=2)
"""The game is at 13:00 in Chicago; it is released at 09:00 next day, and open by then."""


def crew_of(cast: Cast, *officials: Membership) -> Observation:
    """The one game of the season, observed: a crew of `official` and `other_official`."""
    season = season_of(cast.association)
    rubric = published_rubric(season, cast.admin)
    crew = officials or (cast.official, cast.other_official)
    return open_observation(game_with(season, *crew), cast.observer, rubric)


def answers(
    evaluation: Evaluation, levels: Mapping[str, int | None] | None = None
) -> Sequence[RatingInput]:
    """A level for every criterion: LEVEL, but for `levels` (None: not seen)."""
    chosen = {WEAK: 2, UNSEEN: None, **(levels or {})}
    keys = Criterion.objects.filter(area__rubric=evaluation.observation.rubric)
    name = evaluation.official.user.name
    return [
        RatingInput(
            key,
            level=(level := chosen.get(key, LEVEL)),
            not_seen=level is None,
            comment=f"Comment on {name}: off the lane." if key == COMMENTED else "",
            evidence=f"Seen of {name} at the table." if level in (1, 5) else "",
        )
        for key in keys.values_list("key", flat=True)
    ]


def write(evaluation: Evaluation, levels: Mapping[str, int | None] | None = None) -> Evaluation:
    """Fill in a form: ratings, summary, one strength, one next step."""
    author, name = evaluation.observation.observer, evaluation.official.user.name
    rated = save_ratings(
        evaluation=evaluation,
        version=evaluation.version,
        ratings=answers(evaluation, levels),
        flagged=None,
        by=author,
        now=THAT_NIGHT,
    )
    return save_words(
        evaluation=rated,
        version=rated.version,
        summary=f"Summary for {name}: calm at the table.",
        strengths=[Strength(STRONG, f"Strength of {name}: signs held.", 7)],
        next_steps=[
            NextStep(
                WEAK,
                f"Step of {name}: ball live too soon.",
                f"Standard for {name}.",
                f"Why for {name}.",
                f"Exercise for {name}.",
                f"Check for {name}.",
                dead_ball=9,
                raised=False,
            )
        ],
        by=author,
        now=THAT_NIGHT,
    )


def comment(evaluation: Evaluation, criterion: str, text: str) -> Evaluation:
    """Say more on one criterion of a form that is filled in; its level stays."""
    [answer] = [a for a in answers(evaluation) if a.criterion == criterion]
    return save_ratings(
        evaluation=evaluation,
        version=evaluation.version,
        ratings=[replace(answer, comment=text)],
        flagged=None,
        by=evaluation.observation.observer,
        now=THAT_NIGHT,
    )


def hand_in(evaluation: Evaluation, levels: Mapping[str, int | None] | None = None) -> Evaluation:
    return sent(write(evaluation, levels))


def sent(written: Evaluation) -> Evaluation:
    """A form that is filled in, submitted."""
    return submit(
        evaluation=written,
        version=written.version,
        by=written.observation.observer,
        now=SUBMITTED_AT,
    )


def submitted_crew(cast: Cast, *officials: Membership) -> Observation:
    observation = crew_of(cast, *officials)
    for evaluation in observation.evaluations.all():
        hand_in(evaluation)
    return observation


def released_crew(cast: Cast, *officials: Membership) -> list[Release]:
    """The letters of a crew, in the order of its officials."""
    observation = submitted_crew(cast, *officials)
    return release_crew(observation=observation, by=cast.admin, now=RELEASED_AT)


def letter_of(official: Membership) -> Release:
    """The official's newest letter."""
    return Release.objects.filter(evaluation__official=official).latest("serial")
