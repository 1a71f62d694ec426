"""An official's season from the released, scored evaluations: mean, interval, areas over time.

The mean here is the plain one. It is marked uncorrected, because observers differ in how they
rate and this figure does not take that out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from math import sqrt

from evaluations.core.release import SeasonValue

SHOWN_FROM = 3
"""Observations from which on a season value is shown: one or two are no season."""

CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True)
class SeasonPoint:
    """One scored evaluation: its day, total (0 to 100) and area values (0 to 1) by key.

    An area that did not count is left out.
    """

    day: date
    total: Fraction
    areas: dict[str, Fraction]


def season_value(points: Sequence[SeasonPoint]) -> SeasonValue:
    """Mean with a t interval (Student 1908) over the given evaluations.

    >>> from fractions import Fraction
    >>> day = date(2026, 11, 10)
    >>> season_value([SeasonPoint(day, Fraction(t), {}) for t in (60, 70, 81)]).mean
    Fraction(211, 3)
    """
    areas = {key for p in points for key in p.areas}
    return SeasonValue(
        observations=len(points),
        mean=_mean([p.total for p in points]),
        margin=margin([p.total for p in points]),
        areas={
            key: 100 * mean
            for key in sorted(areas)
            if (mean := _mean([p.areas[key] for p in points if key in p.areas])) is not None
        },
    )


def _mean(figures: Sequence[Fraction]) -> Fraction | None:
    return sum(figures, Fraction(0)) / len(figures) if figures else None


def margin(figures: Sequence[Fraction], confidence: float = CONFIDENCE) -> float | None:
    """Half the width of the mean's t interval; None below two figures."""
    n = len(figures)
    if n < 2:
        return None
    from scipy.special import stdtrit  # here, because the import takes a tenth of a second

    mean = sum(figures, Fraction(0)) / n
    variance = sum(((f - mean) ** 2 for f in figures), Fraction(0)) / (n - 1)
    return float(stdtrit(n - 1, (1 + confidence) / 2)) * sqrt(variance / n)


def shown(value: SeasonValue) -> bool:
    """Whether an official may be shown this value at all."""
    return value.observations >= SHOWN_FROM
