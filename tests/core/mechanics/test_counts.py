"""Findings counted: share, interval, suggested level, and when they say nothing."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats.proportion import proportion_confint

from evaluations.core.mechanics.counts import (
    Count,
    Levels,
    at_odds,
    count,
    suggested,
    wilson,
)
from evaluations.core.mechanics.engine import Finding
from evaluations.core.mechanics.facts import Kept
from tests.core.examples import form
from tests.core.mechanics.crews import MET, NOT_JUDGED, NOT_MET, REFEREE, UMPIRE

PUBLISHED = json.loads(
    (Path(__file__).parents[2] / "reference" / "wilson_score_limits.json").read_text()
)
EXAMPLES = list(
    zip(
        PUBLISHED["met"],
        PUBLISHED["judged"],
        PUBLISHED["limits"],
        PUBLISHED["recomputed"],
        strict=True,
    )
)


@pytest.mark.parametrize(("met", "judged", "limits", "exact"), EXAMPLES)
def test_the_interval_is_the_one_that_newcombe_published(
    met: int, judged: int, limits: list[float], exact: list[float]
) -> None:
    assert [round(limit, 4) for limit in wilson(met, judged)] == limits
    assert wilson(met, judged) == pytest.approx(exact, abs=1e-12)


@given(st.integers(1, 400).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_the_interval_is_the_one_that_statsmodels_gives(counts: tuple[int, int]) -> None:
    met, judged = counts
    other = proportion_confint(met, judged, alpha=0.05, method="wilson")
    assert wilson(met, judged) == pytest.approx(other, abs=1e-12)


@given(st.integers(1, 200).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_an_interval_holds_its_share_and_is_mirrored_by_the_misses(counts: tuple[int, int]) -> None:
    met, judged = counts
    low, high = wilson(met, judged)
    assert 0 <= low <= met / judged <= high <= 1
    mirrored = wilson(judged - met, judged)
    assert (1 - mirrored.high, 1 - mirrored.low) == pytest.approx((low, high))


@pytest.mark.parametrize(("met", "judged"), [(0, 0), (3, 2), (-1, 2)])
def test_there_is_no_interval_without_a_share(met: int, judged: int) -> None:
    with pytest.raises(ValueError, match="no share"):
        wilson(met, judged)


def counted(met: int, not_met: int, kept: Kept = Kept.EVERY_FOUL, minimum: int = 5) -> Count:
    return Count(met, not_met, 3, 0, (), kept, minimum)


def test_a_criterion_counts_its_rules_for_one_member() -> None:
    found = [
        Finding(1, "end", REFEREE, MET),
        Finding(1, "end", UMPIRE, NOT_MET),
        Finding(2, "end", REFEREE, MET, option="caller_lead_opposite"),
        Finding(3, "end", REFEREE, NOT_MET),
        Finding(3, "force_switch", REFEREE, NOT_MET),
        Finding(4, "force_switch", REFEREE, NOT_JUDGED),
        Finding(5, "full_stop", REFEREE, NOT_MET),
        Finding(6, "end", None, NOT_MET),
    ]
    switching = count(found, REFEREE, {"end", "force_switch"}, Kept.EVERY_FOUL)
    assert (switching.met, switching.not_met, switching.not_judged) == (2, 1, 1)
    assert switching.by_option == 1
    assert switching.dead_balls == (3,)
    assert switching.judged == 3


def test_a_dead_ball_counts_once_however_much_is_judged_at_it() -> None:
    """Three parts of one report are no evidence three times over."""
    parts = {"number_shown", "type_shown", "result_shown"}
    found = [
        *(Finding(1, rule, REFEREE, MET) for rule in parts),
        *(Finding(2, rule, REFEREE, NOT_MET) for rule in parts),
        Finding(3, "number_shown", REFEREE, MET),
        Finding(3, "type_shown", REFEREE, NOT_MET),
        Finding(4, "number_shown", REFEREE, MET),
        Finding(4, "type_shown", REFEREE, NOT_JUDGED),
        *(Finding(5, rule, REFEREE, NOT_JUDGED) for rule in parts),
    ]
    reports = count(found, REFEREE, parts, Kept.EVERY_FOUL)
    assert (reports.met, reports.not_met, reports.not_judged) == (2, 2, 1)
    assert reports.dead_balls == (2, 3)


def test_a_share_is_what_was_met_of_what_was_judged() -> None:
    found = counted(4, 2)
    assert found.share == Fraction(4, 6)
    assert found.interval == wilson(4, 6)


@pytest.mark.parametrize(
    ("met", "not_met", "minimum", "enough"),
    [(4, 0, 5, False), (4, 1, 5, True), (5, 4, 10, False), (0, 0, 0, False), (1, 0, 1, True)],
)
def test_below_the_minimum_count_not_enough_was_seen(
    met: int, not_met: int, minimum: int, enough: bool
) -> None:
    found = counted(met, not_met, minimum=minimum)
    assert found.enough is enough
    assert (found.share is not None) is enough
    assert (suggested(form(), found) is not None) is enough


@pytest.mark.parametrize(
    ("kept", "shares", "sample"),
    [
        (Kept.EVERY_FOUL, True, False),
        (Kept.EVERY_NTH, True, True),
        (Kept.ONE_DUTY, True, True),
        (Kept.STRIKING, False, False),
    ],
)
def test_only_what_struck_the_observer_gives_examples_and_no_shares(
    kept: Kept, shares: bool, sample: bool
) -> None:
    found = counted(9, 3, kept)
    assert (found.share is not None) is (found.interval is not None) is shares
    assert (suggested(form(), found) is not None) is shares
    assert kept.is_sample is sample
    if not shares:
        assert not at_odds(form(), found, 1)
        assert (found.met, found.not_met) == (9, 3)


@pytest.mark.parametrize(
    ("met", "not_met", "level"),
    [(2, 8, 1), (29, 71, 1), (3, 7, 2), (54, 46, 2), (55, 45, 3), (8, 2, 4), (99, 1, 4), (8, 0, 5)],
)
def test_the_rubrics_cut_points_turn_a_share_into_a_level(
    met: int, not_met: int, level: int
) -> None:
    assert suggested(form(), counted(met, not_met)) == Levels(level, level)


@pytest.mark.parametrize(
    ("met", "not_met", "levels"),
    [(5, 0, Levels(3, 5)), (4, 1, Levels(2, 4)), (0, 7, Levels(1, 2)), (4, 3, Levels(1, 4))],
)
def test_with_fewer_than_eight_the_suggestion_is_a_range(
    met: int, not_met: int, levels: Levels
) -> None:
    assert suggested(form(), counted(met, not_met)) == levels


def test_a_level_outside_all_that_the_interval_allows_is_at_odds_with_the_counts() -> None:
    found = counted(3, 17)  # 15 %, and 5 to 36 % in the interval
    assert [level for level in range(1, 6) if at_odds(form(), found, level)] == [3, 4, 5]
    assert not at_odds(form(), counted(1, 1), 5)
