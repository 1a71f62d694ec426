"""How well an official does what, and the answers that an observer gives about it: factories."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from random import Random
from typing import Any, Final

import factory

from evaluations.services.evaluation_rows import RatingInput
from seed_demo.chance import chance
from seed_demo.notebook import Note, Page

CRITERIA: Final = (
    ("still-before-first-sign", "route-round-players", "three-parts-apart"),
    ("code-place-when-live", "non-caller-starts-switch", "ball-waits-for-crew"),
    ("faces-players-during-report", "opposite-place", "players-before-ball"),
    ("arm-with-whistle", "preliminary-at-spot", "sign-held-still"),
)
"""The shipped rubric's criteria, area by area."""

KEYS: Final = tuple(key for area in CRITERIA for key in area)
LOWEST, TARGET, HIGHEST = 1, 4, 5

SPREAD: Final = 0.45
"""How much one game differs from the next, in levels."""

NOT_SEEN: Final = 0.18
"""How often one criterion of an area can't be seen."""


@dataclass(frozen=True)
class Profile:
    """An official: the level of most things, what differs from it, and levels gained a month."""

    level: float
    leanings: Mapping[str, float]
    growth: float


class ProfileFactory(factory.Factory[Profile]):
    class Meta:
        model = Profile

    class Params:
        source: Random | None = None

    level = factory.LazyAttribute(lambda one: one.source.uniform(3.0, 4.0))
    growth = factory.LazyAttribute(lambda one: one.source.uniform(-0.1, 0.35))
    leanings = factory.LazyAttribute(lambda one: {key: one.source.gauss(0, 0.55) for key in KEYS})


def profile_of(official: str) -> Profile:
    """The profile of the official with this key, the same each time."""
    return ProfileFactory.build(source=chance("profile", official))


def levels_of(
    profile: Profile, *, months: float, lean: float, source: Random
) -> dict[str, int | None]:
    """The levels that an observer who leans by `lean` gives; None is not seen."""
    found: dict[str, int | None] = {}
    for area in CRITERIA:
        hidden = source.choice(area) if source.random() < NOT_SEEN else None
        for key in area:
            level = profile.level + profile.leanings[key] + profile.growth * months + lean
            rounded = round(source.gauss(level, SPREAD))
            found[key] = None if key == hidden else min(max(rounded, LOWEST), HIGHEST)
    return found


def _note(one: Any) -> Note:
    """Evidence wherever the form or a next step needs it, and now and then besides."""
    if one.level is None or (one.level == TARGET and one.source.random() < 0.5):
        return Note()
    page: Page = one.page
    return page.evidence(one.criterion, one.level)


def _comment(one: Any) -> str:
    if one.level is None:
        return ""
    page: Page = one.page
    said = []
    if one.source.random() < 0.3:
        said.append(page.counted(one.criterion, one.level))
    if one.source.random() < 0.15:
        said.append(page.remark(one.level))
    return " ".join(part for part in said if part)


class RatingFactory(factory.Factory[RatingInput]):
    """One criterion's answer. A `note` or a `comment` may be handed in; else the `page` has one."""

    class Meta:
        model = RatingInput

    class Params:
        source: Random | None = None
        page: Page | None = None
        note = factory.LazyAttribute(_note)

    criterion = ""
    level: int | None = None
    not_seen = factory.LazyAttribute(lambda one: one.level is None)
    dead_ball = factory.LazyAttribute(lambda one: one.note.dead_ball)
    evidence = factory.LazyAttribute(lambda one: one.note.seen)
    comment = factory.LazyAttribute(_comment)
    reason = ""
