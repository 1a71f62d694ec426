"""One strength and two changes for the talk after the game, from the findings of a log."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.counts import wilson
from evaluations.core.mechanics.engine import Finding
from evaluations.core.mechanics.facts import Kept
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.mechanics.rules import RULES
from evaluations.core.mechanics.talk import CHANGES, Example, TalkCard, talk_card
from tests.core.mechanics.crews import MET, NOT_JUDGED, NOT_MET, REFEREE, UMPIRE

Whose = CrewPosition | None


def seen(
    rule: str, met: int, missed: int, *, whose: Whose = REFEREE, unjudged: int = 0
) -> list[Finding]:
    """Findings by one rule, one a dead ball: first those met, then those missed."""
    verdicts = [MET] * met + [NOT_MET] * missed + [NOT_JUDGED] * unjudged
    return [Finding(number, rule, whose, v) for number, v in enumerate(verdicts, start=1)]


def chosen(card: TalkCard) -> tuple[str | None, list[str]]:
    strength = None if card.strength is None else card.strength.rule
    return strength, [point.rule for point in card.changes]


def test_the_surest_is_the_strength_and_the_weakest_two_are_the_changes() -> None:
    log = [
        *seen("signal_at_spot", 11, 1),
        *seen("route_around", 5, 0),
        *seen("force_switch", 2, 4, whose=UMPIRE),
        *seen("full_stop", 4, 4),
        *seen("type_shown", 8, 2),
    ]
    card = talk_card(log, Kept.EVERY_FOUL)
    assert wilson(11, 12).low > wilson(5, 5).low
    assert chosen(card) == ("signal_at_spot", ["force_switch", "full_stop"])


def test_a_single_miss_gives_way_to_a_habit() -> None:
    log = [*seen("type_shown", 0, 1), *seen("full_stop", 4, 6), *seen("route_around", 1, 6)]
    assert chosen(talk_card(log, Kept.EVERY_FOUL))[1] == ["route_around", "full_stop"]


def test_each_change_says_whose_duty_it_was_and_at_which_dead_balls() -> None:
    log = [
        Finding(4, "force_switch", UMPIRE, NOT_MET),
        Finding(7, "force_switch", REFEREE, NOT_MET),
        Finding(9, "force_switch", UMPIRE, NOT_MET),
        Finding(12, "eyes_kept", None, NOT_MET),
    ]
    switch, facing = talk_card(log, Kept.EVERY_FOUL).changes
    assert switch.examples == (Example(UMPIRE, (4, 9)), Example(REFEREE, (7,)))
    assert facing.examples == (Example(None, (12,)),)


def test_both_officials_wrong_at_one_dead_ball_name_it_once_each() -> None:
    log = [Finding(3, "end", REFEREE, NOT_MET), Finding(3, "end", UMPIRE, NOT_MET)]
    (change,) = talk_card(log, Kept.EVERY_FOUL).changes
    assert change.examples == (Example(REFEREE, (3,)), Example(UMPIRE, (3,)))
    assert (change.met, change.judged) == (0, 2)


def test_a_strength_has_been_judged_often_enough_and_met_more_often_than_not() -> None:
    assert talk_card(seen("full_stop", 4, 0), Kept.EVERY_FOUL).strength is None
    assert talk_card(seen("full_stop", 4, 0), Kept.EVERY_FOUL, minimum=4).strength is not None
    assert talk_card(seen("full_stop", 5, 5), Kept.EVERY_FOUL).strength is None
    assert talk_card(seen("full_stop", 6, 5), Kept.EVERY_FOUL).strength is not None


def test_the_strength_is_not_a_change_as_well() -> None:
    card = talk_card(seen("full_stop", 9, 1), Kept.EVERY_FOUL)
    assert chosen(card) == ("full_stop", [])


def test_equal_rules_are_told_apart_by_how_often_seen_and_then_by_their_order() -> None:
    twins = [*seen("type_shown", 5, 0), *seen("signal_at_spot", 5, 0)]
    assert chosen(talk_card(twins, Kept.EVERY_FOUL)) == ("signal_at_spot", [])
    missed = [*seen("type_shown", 0, 3), *seen("signal_at_spot", 0, 3), *seen("end", 0, 3)]
    assert chosen(talk_card(missed, Kept.EVERY_FOUL)) == (None, ["signal_at_spot", "type_shown"])


def test_what_struck_the_observer_gives_examples_by_their_number_and_no_counts() -> None:
    log = [
        *seen("force_switch", 6, 3),
        *seen("full_stop", 0, 2),
        *seen("type_shown", 2, 0),
        *seen("end", 1, 1),
    ]
    card = talk_card(log, Kept.STRIKING)
    assert chosen(card) == ("force_switch", ["full_stop", "end"])
    assert not card.counts
    assert chosen(talk_card(seen("type_shown", 1, 0), Kept.STRIKING)) == ("type_shown", [])


@pytest.mark.parametrize("kept", [Kept.EVERY_FOUL, Kept.EVERY_NTH, Kept.ONE_DUTY])
def test_a_sample_is_counted_like_a_whole_game(kept: Kept) -> None:
    log = [*seen("signal_at_spot", 7, 0), *seen("force_switch", 1, 4)]
    card = talk_card(log, kept)
    assert card.counts and chosen(card) == ("signal_at_spot", ["force_switch"])


def test_nothing_is_said_when_nothing_was_judged() -> None:
    for log in ([], seen("force_switch", 0, 0, unjudged=8)):
        for kept in Kept:
            card = talk_card(log, kept)
            assert (card.strength, card.changes, card.judged) == (None, (), False)


findings = st.lists(
    st.builds(
        Finding,
        st.integers(1, 40),
        st.sampled_from([rule.key for rule in RULES]),
        st.sampled_from([REFEREE, UMPIRE, None]),
        st.sampled_from(Verdict),
    ),
    max_size=80,
)


@given(findings, st.sampled_from(Kept))
def test_no_change_without_a_miss_and_no_strength_without_what_was_met(
    log: list[Finding], kept: Kept
) -> None:
    card = talk_card(log, kept)
    rules = [point.rule for point in card.changes]
    assert len(rules) == len(set(rules)) <= CHANGES
    for point in card.changes:
        missed = {f.dead_ball for f in log if f.rule == point.rule and f.verdict is NOT_MET}
        assert missed == {number for example in point.examples for number in example.dead_balls}
        assert missed
    if card.strength is not None:
        assert card.strength.rule not in rules
        assert card.strength.met > card.strength.not_met
        judged_to_be_met = {(f.dead_ball, f.member) for f in log if f.verdict is MET}
        for example in card.strength.examples:
            assert {(number, example.member) for number in example.dead_balls} <= judged_to_be_met
