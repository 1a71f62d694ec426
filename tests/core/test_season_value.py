"""A season: the mean of the scored totals with its t interval, from the third one on."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from math import sqrt

import pytest
from scipy import stats

from evaluations.core.season import SeasonPoint, margin, season_value, shown

DAY = date(2027, 1, 12)

# 97.5 % points of Student's t by degrees of freedom: NIST/SEMATECH e-Handbook of Statistical
# Methods, section 1.3.6.7.2, "Critical Values of the Student's t Distribution", to the three
# decimals given there. Written down from memory; scipy.stats.t.ppf rounds to the same.
T_97_5 = {1: 12.706, 2: 4.303, 3: 3.182, 4: 2.776, 5: 2.571, 9: 2.262, 30: 2.042, 100: 1.984}


def season(*totals: int | str) -> list[SeasonPoint]:
    return [SeasonPoint(DAY, Fraction(t), {}) for t in totals]


def test_the_mean_is_exact() -> None:
    value = season_value(season(60, 65, "69.55"))
    assert value.mean == Fraction("64.85")
    assert value.observations == 3


def test_no_observation_is_no_value() -> None:
    value = season_value([])
    assert (value.observations, value.mean, value.margin, value.areas) == (0, None, None, {})


def test_one_observation_has_no_margin() -> None:
    value = season_value(season(60))
    assert (value.mean, value.margin) == (Fraction(60), None)


def test_observations_that_agree_have_a_margin_of_nothing() -> None:
    assert season_value(season(60, 60, 60)).margin == 0


@pytest.mark.parametrize(("freedom", "quantile"), T_97_5.items())
def test_the_margin_uses_the_published_t_quantile(freedom: int, quantile: float) -> None:
    n = freedom + 1
    # Half of them at 0 and half at 1, or one left over: any spread will do.
    figures = [Fraction(k % 2) for k in range(n)]
    mean = sum(figures) / n
    deviation = sqrt(sum((f - mean) ** 2 for f in figures) / freedom)
    half_width = margin(figures)
    assert half_width is not None
    assert half_width / (deviation / sqrt(n)) == pytest.approx(quantile, abs=0.0005)


@pytest.mark.parametrize("totals", [("61", "64"), ("52.5", "60", "71.25"), ("0", "0", "100", "7")])
def test_the_interval_is_scipys(totals: tuple[str, ...]) -> None:
    value = season_value(season(*totals))
    assert value.mean is not None and value.margin is not None
    figures = [float(Fraction(t)) for t in totals]
    low, high = stats.t.interval(0.95, len(figures) - 1, stats.tmean(figures), stats.sem(figures))
    assert float(value.mean) - value.margin == pytest.approx(low, rel=1e-12, abs=1e-12)
    assert float(value.mean) + value.margin == pytest.approx(high, rel=1e-12, abs=1e-12)


def test_areas_are_means_over_the_observations_in_which_they_counted() -> None:
    points = [
        SeasonPoint(DAY, Fraction(60), {"signals": Fraction(1, 2), "switching": Fraction(1, 4)}),
        SeasonPoint(DAY, Fraction(70), {"signals": Fraction(1)}),
    ]
    assert season_value(points).areas == {"signals": Fraction(75), "switching": Fraction(25)}


@pytest.mark.parametrize(("count", "is_shown"), [(0, False), (2, False), (3, True), (4, True)])
def test_a_season_is_shown_from_the_third_observation_on(count: int, is_shown: bool) -> None:
    assert shown(season_value(season(*range(60, 60 + count)))) is is_shown


def test_the_plain_mean_is_marked_as_uncorrected() -> None:
    assert not season_value(season(60, 70, 80)).corrected
