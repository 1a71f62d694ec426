"""Short ways to write a rubric and its ratings, and the form that most tests speak of."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from evaluations.core.ratings import Rating
from evaluations.core.rubric import AreaSpec, Band, Ceiling, CriterionSpec, RubricSpec
from evaluations.core.scoring import AreaScore, CriterionScore, ScoreCard

BANDS = (
    Band("foundation", Fraction(0)),
    Band("developing", Fraction(40)),
    Band("dependable", Fraction(65)),
    Band("exemplary", Fraction(85)),
)


def area(key: str, weight: int | str, criteria: Mapping[str, int | str], **fields: Any) -> AreaSpec:
    """An area, its criteria given with their weights: area("signals", 20, {"clock": 1})."""
    return AreaSpec(
        key,
        Fraction(weight),
        tuple(CriterionSpec(name, Fraction(w)) for name, w in criteria.items()),
        **fields,
    )


def form(**fields: Any) -> RubricSpec:
    """Four areas of three criteria that weigh the same, as associations begin with."""
    return RubricSpec(
        areas=(
            area("reporting", 25, {"still": 1, "route": 1, "voice": 1}),
            area("switching", 25, {"leaves": 1, "arrives": 1, "free_side": 1}, needed=True),
            area("boxing_in", 30, {"inside": 1, "facing": 1, "distance": 1}, needed=True),
            area("signals", 20, {"clock": 1, "type": 1, "direction": 1}),
        ),
        **{"bands": BANDS, **fields},
    )


def rate(rubric: RubricSpec, level: int | None, **others: int | None) -> tuple[Rating, ...]:
    """Every criterion at one level, except those named. None: not seen."""
    assert set(others) <= {c.key for c in rubric.criteria}
    return tuple(Rating(c.key, level=others.get(c.key, level)) for c in rubric.criteria)


def ceiling(criterion: str, at_most: int, area: str | None = None) -> Ceiling:
    return Ceiling(criterion, Fraction(at_most), area)


def area_score(card: ScoreCard, key: str) -> AreaScore:
    return next(a for a in card.areas if a.key == key)


def criterion_score(card: ScoreCard, key: str) -> CriterionScore:
    return next(c for c in card.criteria if c.key == key)
