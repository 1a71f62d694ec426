"""What is printed: rounding, points that add up to their total, and bands.

A band goes by the printed total, so that what is printed never stands on the other side of a cut.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import floor

from evaluations.core.rubric import RubricSpec

HALF = Fraction(1, 2)


def printed(figure: Fraction) -> Fraction:
    """Round half up to one decimal. The only rounding there is.

    >>> str(printed(Fraction("64.95")))
    '65'
    """
    return Fraction(floor(figure * 10 + HALF), 10)


def whole(figure: Fraction) -> int:
    """The headline: a printed total, half up to a whole number."""
    return floor(figure + HALF)


def largest_remainder(exact: Mapping[str, Fraction], total: Fraction) -> dict[str, Fraction]:
    """Tenths that add up to `total`, the printed sum of `exact`.

    The largest remainders round up, ties in the order of `exact`.

    >>> thirds = dict.fromkeys("abc", Fraction(100, 3))
    >>> {key: str(tenths) for key, tenths in largest_remainder(thirds, Fraction(100)).items()}
    {'a': '167/5', 'b': '333/10', 'c': '333/10'}
    """
    tenths = {key: floor(figure * 10) for key, figure in exact.items()}
    missing = int(total * 10) - sum(tenths.values())
    by_remainder = sorted(exact, key=lambda key: tenths[key] - exact[key] * 10)
    for key in by_remainder[:missing]:
        tenths[key] += 1
    return {key: Fraction(n, 10) for key, n in tenths.items()}


def band(rubric: RubricSpec, total: Fraction) -> str:
    """The band of a total, by its printed figure; lower bounds are inclusive."""
    return [b.key for b in rubric.bands if printed(total) >= b.lower][-1]


def between_bands(rubric: RubricSpec, total: Fraction, step: Fraction) -> tuple[str, str] | None:
    """The two bands on either side of the nearest cut point, if it is within `step` of the total.

    Half a point is the least distance, so that a total printed as a whole number never seems to
    stand on the other side of a cut. Of two cut points as near, the lower one.
    """
    reach = max(step, HALF)
    near = [
        (distance, lower.key, upper.key)
        for lower, upper in zip(rubric.bands, rubric.bands[1:], strict=False)
        if (distance := abs(printed(total) - upper.lower)) <= reach
    ]
    if not near:
        return None
    _, below, above = min(near, key=lambda cut: cut[0])
    return below, above
