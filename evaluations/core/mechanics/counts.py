"""Findings as a share with its uncertainty, and the level that the share suggests.

The interval is Wilson's: E. B. Wilson (1927), Probable inference, the law of succession, and
statistical inference, Journal of the American Statistical Association 22, 209-212.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import sqrt
from typing import NamedTuple

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.engine import Finding
from evaluations.core.mechanics.facts import Kept
from evaluations.core.mechanics.judging import Verdict, together
from evaluations.core.rubric import RubricSpec

Z_95 = 1.959963984540054
"""The standard normal quantile at 0.975: an interval of 95 %."""

MINIMUM_COUNT = 5
"""Below so many judged findings there is "not enough seen"."""

SURE_COUNT = 8
"""Below so many a suggestion is a range of levels."""


class Interval(NamedTuple):
    """Both limits are shares, 0 to 1."""

    low: float
    high: float


def wilson(met: int, judged: int) -> Interval:
    """The 95 % interval for a share met of `judged` findings.

    >>> low, high = wilson(81, 263)
    >>> f"{low:.4f} {high:.4f}"
    '0.2553 0.3662'

    Raises:
        ValueError: nothing was judged, or more were met than judged.
    """
    if judged < 1 or not 0 <= met <= judged:
        raise ValueError(f"no share: {met} of {judged}")
    return wilson_for(met / judged, judged)


def wilson_for(share: float, worth: float) -> Interval:
    """The same for a share (0 to 1) of findings that are `worth` so many independent ones."""
    square = Z_95 * Z_95
    middle = share + square / (2 * worth)
    half = Z_95 * sqrt(share * (1 - share) / worth + square / (4 * worth * worth))
    scale = 1 + square / worth
    low = 0.0 if share == 0 else (middle - half) / scale
    high = 1.0 if share == 1 else (middle + half) / scale
    return Interval(low, high)


class Levels(NamedTuple):
    """Suggested levels from lowest to highest, the same when it is one."""

    lowest: int
    highest: int


@dataclass(frozen=True, slots=True)
class Count:
    """What the findings for one criterion add up to, in dead balls. `by_option` of those met used
    an option.

    `dead_balls` has the numbers of those not met: examples, also where no share is given.
    """

    met: int
    not_met: int
    not_judged: int
    by_option: int
    dead_balls: tuple[int, ...]
    kept: Kept
    minimum: int = MINIMUM_COUNT

    @property
    def judged(self) -> int:
        return self.met + self.not_met

    @property
    def enough(self) -> bool:
        """False is "not enough seen", or a log of only what struck the observer."""
        return self.kept.gives_shares and self.judged >= max(self.minimum, 1)

    @property
    def share(self) -> Fraction | None:
        return Fraction(self.met, self.judged) if self.enough else None

    @property
    def interval(self) -> Interval | None:
        return wilson(self.met, self.judged) if self.enough else None


def count(
    findings: Iterable[Finding],
    member: CrewPosition,
    rules: Collection[str],
    kept: Kept,
    minimum: int = MINIMUM_COUNT,
) -> Count:
    """Count the dead balls at which a member's duties by the named rules were met or missed.

    A dead ball counts once, however many of the rules were judged at it, because what happens at
    one whistle is no evidence twice over: a miss by one of them is a miss, and without one it is
    met if anything was judged. What is nobody's counts for nobody.
    """
    own: dict[int, list[Finding]] = {}
    for finding in findings:
        if finding.member is member and finding.rule in rules:
            own.setdefault(finding.dead_ball, []).append(finding)
    verdicts = {number: together(f.verdict for f in found) for number, found in own.items()}
    tally = Counter(verdicts.values())
    return Count(
        met=tally[Verdict.MET],
        not_met=tally[Verdict.NOT_MET],
        not_judged=tally[Verdict.NOT_JUDGED],
        by_option=sum(
            verdicts[number] is Verdict.MET and any(f.option is not None for f in found)
            for number, found in own.items()
        ),
        dead_balls=tuple(n for n, verdict in verdicts.items() if verdict is Verdict.NOT_MET),
        kept=kept,
        minimum=minimum,
    )


def suggested(rubric: RubricSpec, found: Count) -> Levels | None:
    """The level by the rubric's cut points; with few findings those that the interval touches.

    None when not enough was seen.
    """
    share, interval = found.share, found.interval
    if share is None or interval is None:
        return None
    if found.judged < SURE_COUNT:
        return _within(rubric, interval)
    level = _level(rubric, share)
    return Levels(level, level)


def departs(rubric: RubricSpec, found: Count, level: int) -> bool:
    """Whether a rated level is none of those suggested; then its observer says why."""
    levels = suggested(rubric, found)
    return levels is not None and not levels.lowest <= level <= levels.highest


def at_odds(rubric: RubricSpec, found: Count, level: int) -> bool:
    """Whether a rated level lies outside all that the interval allows."""
    if found.interval is None:
        return False
    lowest, highest = _within(rubric, found.interval)
    return not lowest <= level <= highest


class Contradiction(NamedTuple):
    """A rated level and the count that it is at odds with. Both stand: it is a remark."""

    criterion: str
    level: int
    found: Count


def contradictions(
    rubric: RubricSpec, counts: Mapping[str, Count], levels: Mapping[str, int]
) -> tuple[Contradiction, ...]:
    """The criteria whose level is at odds with what was counted, in rubric order.

    Both mappings are by criterion; without a level or a count nothing is at odds.
    """
    both = [c.key for c in rubric.criteria if c.key in counts and c.key in levels]
    return tuple(
        Contradiction(key, levels[key], counts[key])
        for key in both
        if at_odds(rubric, counts[key], levels[key])
    )


def _within(rubric: RubricSpec, interval: Interval) -> Levels:
    return Levels(_level(rubric, interval.low), _level(rubric, interval.high))


def _level(rubric: RubricSpec, share: Fraction | float) -> int:
    return 1 + sum(share >= cut for cut in rubric.cut_points)
