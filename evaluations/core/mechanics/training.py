"""Findings by rule over an association's season: shares, how sure they are, what to train next.

Dead balls of one game are alike: one crew, one evening, one observer. An interval that took each
of them for an independent trial would be too narrow, so the one here goes by observation. The
variance of the share as a ratio of two sums over observations (W. G. Cochran 1977, Sampling
Techniques, 3rd edition, on proportions in cluster sampling) is compared with that of independent
findings, and Wilson's interval is taken for so many findings as they are worth (E. L. Korn and
B. I. Graubard 1998, Confidence intervals for proportions with small expected number of positive
counts estimated from survey data, Survey Methodology 24, 193-201, with their correction for few
observations). It is never narrower than for independent findings. It knows nothing of officials
who were seen several times, nor of observers who log differently.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor
from typing import NamedTuple

from evaluations.core.mechanics.counts import Z_95, Interval, wilson_for
from evaluations.core.mechanics.rules import RULE_KEYS

MINIMUM_OBSERVATIONS = 5
"""Below so many observations a rule has no figures: they would speak of one or two crews."""

MINIMUM_OFFICIALS = 5
"""Below so many officials judged a rule has no figures: one of them could be singled out."""

MINIMUM_JUDGED = 20
"""Below so many judged findings a rule is named as no training topic.

The interval of a share of 20 is 40 points wide at its middle, even if all were independent: with
fewer, the weakest rule would be named by chance.
"""

TOPICS = 3
"""A training night has time for so many."""


@dataclass(frozen=True, slots=True)
class Tally:
    """What one rule's findings add up to over observations.

    `observations` are those in which one was judged, `officials` those to whom one of these
    belongs. The last three are sums over the observations, of the squares and the products of
    what was met and what was judged in each.
    """

    rule: str
    observations: int
    officials: int
    met: int
    judged: int
    not_judged: int
    met_by_met: int
    met_by_judged: int
    judged_by_judged: int

    @property
    def shown(self) -> bool:
        """Whether there are figures at all: enough observations, and of enough people."""
        return (
            self.observations >= MINIMUM_OBSERVATIONS
            and self.officials >= MINIMUM_OFFICIALS
            and self.judged > 0
        )

    @property
    def share(self) -> Fraction | None:
        return Fraction(self.met, self.judged) if self.shown else None

    @property
    def interval(self) -> Interval | None:
        """The 95 % interval of the share, by observation."""
        if not self.shown:
            return None
        return wilson_for(self.met / self.judged, worth(self))


class Observed(NamedTuple):
    """What one observation's log adds up to by one rule, over its crew."""

    rule: str
    met: int
    judged: int
    not_judged: int


def tallies(counts: Iterable[Observed], officials: Mapping[str, int]) -> tuple[Tally, ...]:
    """The rules that have findings, in the order of `RULE_KEYS`; `officials` judged, by rule.

    >>> [five] = tallies([Observed("end", 4, 5, 1), Observed("end", 0, 0, 3)], {"end": 2})
    >>> five.observations, five.met, five.judged, five.not_judged
    (1, 4, 5, 4)
    """
    by_rule: dict[str, list[Observed]] = {}
    for one in counts:
        by_rule.setdefault(one.rule, []).append(one)
    return tuple(
        _tally(rule, officials.get(rule, 0), by_rule[rule]) for rule in RULE_KEYS if rule in by_rule
    )


def _tally(rule: str, officials: int, counts: Sequence[Observed]) -> Tally:
    return Tally(
        rule=rule,
        observations=sum(one.judged > 0 for one in counts),
        officials=officials,
        met=sum(one.met for one in counts),
        judged=sum(one.judged for one in counts),
        not_judged=sum(one.not_judged for one in counts),
        met_by_met=sum(one.met * one.met for one in counts),
        met_by_judged=sum(one.met * one.judged for one in counts),
        judged_by_judged=sum(one.judged * one.judged for one in counts),
    )


def design_effect(found: Tally) -> Fraction:
    """How many times as large the share's variance is as that of independent findings.

    At least 1. With all met, or none, the observations don't differ and say nothing about it.

    >>> halves = [Observed("end", met, 8, 0) for met in (8, 0, 8, 0, 8, 0)]
    >>> str(design_effect(*tallies(halves, {})))
    '48/5'
    """
    share = Fraction(found.met, found.judged)
    apart = (
        found.met_by_met - 2 * share * found.met_by_judged + share * share * found.judged_by_judged
    )
    observations = found.observations
    variance = Fraction(observations, observations - 1) * apart / found.judged**2
    independent = share * (1 - share) / found.judged
    return max(variance / independent, Fraction(1)) if independent else Fraction(1)


def worth(found: Tally) -> float:
    """As many independent findings as these are worth.

    Few observations tell little about how they differ; Student's t for them says how little.
    """
    from scipy.special import stdtrit  # here, because the import takes a tenth of a second

    quantile = float(stdtrit(found.observations - 1, 0.975))
    return float(found.judged / design_effect(found)) * (Z_95 / quantile) ** 2


def weakest(found: Iterable[Tally]) -> tuple[Tally, ...]:
    """The rules with the lowest shares met, lowest first: the next training topics.

    One without a miss is no topic, nor is one with less than MINIMUM_JUDGED judged. Of two with
    one share the one that was judged more often comes first.
    """
    named = [
        (share, -one.judged, place, one)
        for place, one in enumerate(found)
        if one.judged >= MINIMUM_JUDGED and (share := one.share) is not None and share < 1
    ]
    return tuple(one for *_order, one in sorted(named)[:TOPICS])


def percent(share: Fraction) -> int:
    """A share in whole per cent, half up. 0 and 100 stand for none and all alone.

    >>> percent(Fraction(1, 3)), percent(Fraction(499, 500)), percent(Fraction(1))
    (33, 99, 100)
    """
    if share in (0, 1):
        return int(share) * 100
    return min(max(floor(share * 100 + Fraction(1, 2)), 1), 99)


def percents(interval: Interval) -> tuple[int, int]:
    """Both limits in whole per cent, rounded outwards.

    >>> percents(Interval(0.2553, 0.3662))
    (25, 37)
    """
    return floor(interval.low * 100), ceil(interval.high * 100)
