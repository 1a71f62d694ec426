"""Ratings: what an observer says about each criterion, and what a form needs before it is done.

Three answers must never be mixed up: a level, "not seen" (the observer's answer) and not answered
(the field is still open). A `Rating` is one of the first two; the third is its absence.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from evaluations.core.mechanics.counts import Count, departs
from evaluations.core.rubric import RubricError, RubricSpec

COMMENT_LIMIT = 4000
"""Characters of a comment: a longer unbroken word makes a letter slow to lay out."""


@dataclass(frozen=True, slots=True)
class Rating:
    """One criterion's answer: a `level` from 1 up, a `share` met (0 to 1), or neither (not seen).

    `dead_ball` is a number in the observation's log, `evidence` a sentence; either will do.
    `reason` says why the level is not the one that the counted findings suggest.
    """

    criterion: str
    level: int | None = None
    share: Fraction | None = None
    comment: str = ""
    dead_ball: int | None = None
    evidence: str = ""
    reason: str = ""

    def __post_init__(self) -> None:
        if self.level is not None and self.share is not None:
            raise RubricError(f"rating[{self.criterion}]", "give a level or a share, not both")
        if self.share is not None and not 0 <= self.share <= 1:
            raise RubricError(f"rating[{self.criterion}].share", "must be 0 to 1")

    @property
    def seen(self) -> bool:
        return self.level is not None or self.share is not None

    @property
    def has_evidence(self) -> bool:
        return self.dead_ball is not None or bool(self.evidence.strip())


@dataclass(frozen=True, slots=True)
class AreaRating:
    """The ratings of one area, in rubric order; criteria not answered are left out."""

    area: str
    ratings: tuple[Rating, ...]


def by_area(rubric: RubricSpec, ratings: Iterable[Rating]) -> tuple[AreaRating, ...]:
    """Put ratings in rubric order.

    Raises:
        RubricError: a criterion the rubric does not have, rated twice, or a level it lacks.
    """
    found: dict[str, Rating] = {}
    for rating in ratings:
        field = f"rating[{rating.criterion}]"
        if rating.criterion not in rubric.area_of:
            raise RubricError(field, "names no criterion of this rubric")
        if rating.criterion in found:
            raise RubricError(field, "is there twice")
        if rating.level is not None and not 1 <= rating.level <= rubric.levels:
            raise RubricError(f"{field}.level", f"must be 1 to {rubric.levels}")
        found[rating.criterion] = rating
    return tuple(
        AreaRating(a.key, tuple(found[c.key] for c in a.criteria if c.key in found))
        for a in rubric.areas
    )


def value(rubric: RubricSpec, rating: Rating) -> Fraction | None:
    """The criterion's value in [0, 1], or None when it was not seen.

    >>> from fractions import Fraction
    >>> from evaluations.core.rubric import AreaSpec, CriterionSpec
    >>> rubric = RubricSpec((AreaSpec("signals", Fraction(1), (CriterionSpec("arm"),)),))
    >>> value(rubric, Rating("arm", level=4))
    Fraction(3, 4)
    """
    if rating.share is not None:
        return rating.share
    if rating.level is not None:
        return Fraction(rating.level - 1, rubric.levels - 1)
    return None


def level_reached(rubric: RubricSpec, rating: Rating) -> int | None:
    """The level of a rating; of a share the one that the rubric's cut points give it."""
    if rating.share is None:
        return rating.level
    return 1 + sum(rating.share >= cut for cut in rubric.cut_points)


def needs_evidence(rubric: RubricSpec, rating: Rating) -> bool:
    """The lowest and the highest level must say what was seen; the others may."""
    return rating.level in (1, rubric.levels)


def needs_reason(rubric: RubricSpec, rating: Rating, counts: Mapping[str, Count]) -> bool:
    """Whether the level isn't one that the counts (by criterion) suggest: then one says why."""
    found = counts.get(rating.criterion)
    return found is not None and rating.level is not None and departs(rubric, found, rating.level)


def with_needed_reasons(
    rubric: RubricSpec, ratings: Iterable[Rating], counts: Mapping[str, Count]
) -> tuple[Rating, ...]:
    """The ratings without reasons that are left over: for a level that is as counted after all."""
    return tuple(
        r if not r.reason or needs_reason(rubric, r, counts) else replace(r, reason="")
        for r in ratings
    )


def unanswered(rubric: RubricSpec, ratings: Sequence[Rating]) -> tuple[str, ...]:
    """Keys of the criteria that are neither rated nor marked not seen, in rubric order."""
    answered = {r.criterion for r in ratings}
    return tuple(c.key for c in rubric.criteria if c.key not in answered)
