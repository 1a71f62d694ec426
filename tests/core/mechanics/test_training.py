"""A season's findings by rule: what may be shown, how sure it is, what is weakest."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.regression.linear_model import OLS

from evaluations.core.mechanics.counts import Interval, wilson
from evaluations.core.mechanics.rules import RULES
from evaluations.core.mechanics.training import (
    MINIMUM_JUDGED,
    Observed,
    Tally,
    design_effect,
    percent,
    percents,
    tallies,
    weakest,
)

Counts = Sequence[tuple[int, int]]
PLENTY = 12
"""Officials, where their number is not what is looked at."""


def of_rule(counts: Counts, rule: str = "end", officials: int = PLENTY) -> Tally:
    """What was met, of how many judged, in each observation."""
    rows = [Observed(rule, met, judged, 0) for met, judged in counts]
    [found] = tallies(rows, {rule: officials})
    return found


def limits(found: Tally) -> Interval:
    assert found.interval is not None
    return found.interval


one_game = st.integers(1, 15).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
seasons = st.lists(one_game, min_size=5, max_size=25)


# --- What is added up ----------------------------------------------------------------------------
def test_findings_are_added_up_by_rule_in_the_order_of_the_rules() -> None:
    rows = [
        Observed("force_switch", 3, 4, 1),
        Observed("end", 5, 5, 0),
        Observed("force_switch", 0, 0, 2),
        Observed("force_switch", 1, 2, 0),
    ]
    place, switch = tallies(rows, {"force_switch": 6})
    assert (place.rule, place.officials) == ("end", 0)
    assert (switch.met, switch.judged, switch.not_judged) == (4, 6, 3)
    assert (switch.observations, switch.officials) == (2, 6)


def test_an_observation_in_which_nothing_was_judged_counts_in_no_share() -> None:
    seen = [(4, 5)] * 6
    assert limits(of_rule([*seen, (0, 0)])) == limits(of_rule(seen))


# --- What is shown -------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("counts", "officials", "shown"),
    [
        ([(9, 10)] * 5, 5, True),
        ([(9, 10)] * 4, 5, False),
        ([(9, 10)] * 4 + [(0, 0)], 5, False),
        ([(9, 10)] * 30, 4, False),
    ],
)
def test_few_observations_or_few_officials_have_no_figures(
    counts: Counts, officials: int, shown: bool
) -> None:
    found = of_rule(counts, officials=officials)
    assert found.shown is shown
    assert (found.share is not None) is (found.interval is not None) is shown


def test_the_share_is_what_was_met_of_all_that_was_judged() -> None:
    assert of_rule([(4, 5), (1, 5), (2, 2), (0, 1), (1, 1)]).share == Fraction(8, 14)


# --- How sure it is ------------------------------------------------------------------------------
@given(seasons)
def test_the_interval_holds_its_share_and_is_never_narrower_than_wilsons(counts: Counts) -> None:
    found = of_rule(counts)
    low, high = limits(found)
    plain = wilson(found.met, found.judged)
    assert 0 <= low <= found.met / found.judged <= high <= 1
    assert low <= plain.low + 1e-12 and high >= plain.high - 1e-12


@given(seasons)
def test_misses_have_the_mirrored_interval(counts: Counts) -> None:
    low, high = limits(of_rule([(judged - met, judged) for met, judged in counts]))
    assert (1 - high, 1 - low) == pytest.approx(limits(of_rule(counts)))


@given(seasons)
def test_the_variance_is_the_one_that_statsmodels_gives_for_clusters(counts: Counts) -> None:
    found = of_rule(counts)
    if found.met in (0, found.judged):
        return
    verdicts = [verdict for met, judged in counts for verdict in [1] * met + [0] * (judged - met)]
    games = [game for game, (_met, judged) in enumerate(counts) for _ in range(judged)]
    fitted = OLS(verdicts, np.ones(len(verdicts))).fit(
        cov_type="cluster", cov_kwds={"groups": games}
    )
    share = found.met / found.judged
    independent = share * (1 - share) / found.judged
    expected = max(float(fitted.cov_params()[0, 0]) / independent, 1.0)
    assert float(design_effect(found)) == pytest.approx(expected)


def test_games_that_differ_make_the_interval_wider() -> None:
    alike, apart = [(5, 10)] * 20, [(0, 10), (10, 10)] * 10
    low, high = limits(of_rule(alike))
    wide_low, wide_high = limits(of_rule(apart))
    assert wide_low < low < high < wide_high


def test_games_that_are_alike_are_worth_their_dead_balls_but_for_the_few_games() -> None:
    found = of_rule([(9, 10)] * 400)
    assert design_effect(found) == 1
    assert limits(found) == pytest.approx(wilson(3600, 4000), abs=1e-4)


@pytest.mark.parametrize("met", [0, 10])
def test_where_all_is_met_or_nothing_the_interval_is_on_one_side(met: int) -> None:
    low, high = limits(of_rule([(met, 10)] * 8))
    assert (low == 0.0) is (met == 0) and (high == 1.0) is (met == 10)
    assert 0.04 < high - low < 0.2


@pytest.mark.parametrize(("games", "share"), [(12, 0.8), (40, 0.6)])
def test_it_holds_the_true_share_where_wilsons_alone_would_miss_it(
    games: int, share: float
) -> None:
    """Seasons drawn with games that differ: a correlation of 0.3 within a game."""
    chance = np.random.default_rng(2026)
    spread = 1 / 0.3 - 1
    held = plain = 0
    seasons = 1000
    for _season in range(seasons):
        skill = chance.beta(share * spread, (1 - share) * spread, size=games)
        judged = chance.integers(6, 15, size=games)
        found = of_rule(
            [(int(chance.binomial(n, p)), int(n)) for n, p in zip(judged, skill, strict=True)]
        )
        low, high = limits(found)
        held += low <= share <= high
        low, high = wilson(found.met, found.judged)
        plain += low <= share <= high
    assert 0.92 <= held / seasons <= 0.985
    assert plain / seasons < 0.8


# --- What is weakest -----------------------------------------------------------------------------
def season(**shares: tuple[int, int]) -> list[Tally]:
    """Rules with so much met of so much judged in each of six observations."""
    rows = [Observed(rule, *counts, 0) for rule, counts in shares.items() for _ in range(6)]
    return list(tallies(rows, dict.fromkeys(shares, PLENTY)))


def named(found: list[Tally]) -> list[str]:
    return [one.rule for one in weakest(found)]


def test_the_three_lowest_shares_are_the_next_topics_the_lowest_first() -> None:
    found = season(
        end=(8, 10), force_switch=(3, 10), full_stop=(9, 10), eyes_kept=(5, 10), spoken=(7, 10)
    )
    assert named(found) == ["force_switch", "eyes_kept", "spoken"]


def test_of_two_with_one_share_the_one_judged_more_often_comes_first() -> None:
    assert named(season(signal_at_spot=(3, 6), end=(6, 12))) == ["end", "signal_at_spot"]


def test_a_rule_without_a_miss_is_no_topic() -> None:
    assert named(season(end=(10, 10), force_switch=(9, 10))) == ["force_switch"]


@pytest.mark.parametrize(("last", "topic"), [(0, False), (1, True)])
def test_a_rule_needs_enough_judged_to_be_named(last: int, topic: bool) -> None:
    almost = MINIMUM_JUDGED - 1
    counts = [(0, 3)] * (almost // 3) + [(0, almost % 3 + last)]
    found = of_rule(counts)
    assert found.shown
    assert bool(weakest([found])) is topic


@given(st.dictionaries(st.sampled_from([rule.key for rule in RULES]), seasons, max_size=8))
def test_whatever_is_named_has_figures_and_nothing_weaker_is_left_out(
    by_rule: dict[str, Counts],
) -> None:
    found = [of_rule(counts, rule) for rule, counts in by_rule.items()]
    topics = weakest(found)
    assert all(one.shown and one.judged >= MINIMUM_JUDGED for one in topics)
    shares = [one.share for one in topics if one.share is not None]
    assert shares == sorted(shares)
    others = [one.share for one in found if one not in topics and one.judged >= MINIMUM_JUDGED]
    if len(topics) == 3:
        assert all(share is None or share >= shares[-1] for share in others)


def test_few_observations_are_named_in_no_topic_however_many_findings_they_have() -> None:
    assert weakest([of_rule([(0, 30)] * 4)]) == ()


# --- How it is printed ---------------------------------------------------------------------------
def test_a_share_with_a_miss_is_never_printed_as_all_nor_one_with_something_met_as_nothing() -> (
    None
):
    assert percent(Fraction(999, 1000)) == 99
    assert percent(Fraction(1, 1000)) == 1
    assert (percent(Fraction(0)), percent(Fraction(1)), percent(Fraction(1, 2))) == (0, 100, 50)


def test_limits_are_rounded_away_from_the_share() -> None:
    assert percents(Interval(0.291, 0.619)) == (29, 62)
    assert percents(Interval(0.0, 1.0)) == (0, 100)
