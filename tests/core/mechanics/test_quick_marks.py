"""Quick marks of the live log: one tap, one raw fact."""

from __future__ import annotations

from dataclasses import replace

import pytest

from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.court import Position
from evaluations.core.mechanics.facts import Moment, Route
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.mechanics.rules import RULES
from evaluations.core.mechanics.taps import Mark, Tap, ball_of, marks_for
from evaluations.core.mechanics.zones import Follows, Zone
from tests.core.mechanics.crews import DEFAULT, REFEREE, UMPIRE, findings

SWITCHED = Tap(Zone.T1, Follows.FREE_THROWS, REFEREE, switched=True, period=1)


def judged_by(rule: str, mark: Mark, crew: int = 2) -> set[tuple[CrewPosition | None, Verdict]]:
    caller = POSITIONS[crew][0]
    tap = Tap(Zone.O1, Follows.FREE_THROWS, caller, stood=Position.LEAD, marks={rule: mark})
    key = "three_person" if crew == 3 else DEFAULT
    found = findings(ball_of(tap, crew), key, film=True)
    return {(f.member, f.verdict) for f in found if f.rule == rule}


MARKED = [(rule.key, crew) for rule in RULES for crew in (2, 3) if marks_for(rule.key, crew)]


@pytest.mark.parametrize(("rule", "crew"), MARKED)
def test_yes_is_met_and_no_is_not_met_by_the_same_official(rule: str, crew: int) -> None:
    answers = marks_for(rule, crew)
    met, missed = (judged_by(rule, answers[place], crew) for place in (0, 1))
    assert {verdict for _member, verdict in met} == {Verdict.MET}
    assert {verdict for _member, verdict in missed} == {Verdict.NOT_MET}
    if not (rule == "eyes_kept" and crew == 3):  # two had the players: a miss is neither's
        assert {member for member, _v in met} == {member for member, _v in missed}


def test_a_quick_mark_touches_no_other_rule() -> None:
    for rule, crew in MARKED:
        for mark in marks_for(rule, crew):
            plain = Tap(Zone.O1, Follows.FREE_THROWS, POSITIONS[crew][0])
            key = "three_person" if crew == 3 else DEFAULT
            before, after = (
                [f for f in findings(ball_of(tap, crew), key, film=True) if f.rule != rule]
                for tap in (plain, replace(plain, marks={rule: mark}))
            )
            assert before == after


def test_rules_that_the_taps_or_no_single_tap_can_answer_have_no_quick_mark() -> None:
    without = {rule.key for rule in RULES if not marks_for(rule.key, 2)}
    assert without == {"end", "side", "force_switch", "number_shown"}
    only_of_two = {rule for rule, crew in MARKED if not marks_for(rule, 3)}
    assert only_of_two == {"vision_wide", "ball_not_chased", "moved_opposite"}


def test_when_the_players_were_lost_is_part_of_the_mark() -> None:
    in_report = ball_of(replace(SWITCHED, marks={"eyes_kept": Mark.IN_REPORT}), 2)
    later = ball_of(replace(SWITCHED, marks={"eyes_kept": Mark.AFTER_REPORT}), 2)
    assert (in_report.eyes.kept, in_report.eyes.lost) == (False, Moment.REPORT)
    assert (later.eyes.kept, later.eyes.lost) == (False, Moment.AFTER_REPORT)
    assert judged_by("eyes_kept", Mark.IN_REPORT) == {(UMPIRE, Verdict.NOT_MET)}
    assert judged_by("eyes_kept", Mark.AFTER_REPORT) == {(None, Verdict.NOT_MET)}


def test_a_route_is_a_fact_and_a_partner_is_only_known_beside_a_caller() -> None:
    assert ball_of(replace(SWITCHED, marks={"route_around": Mark.NO}), 2).report.route is (
        Route.THROUGH
    )
    nobody = Tap(Zone.T1, Follows.END_LINE, None, marks={"ball_not_chased": Mark.NO})
    assert ball_of(nobody, 2) == replace(ball_of(replace(nobody, marks={}), 2), number=1)
    unfit = Tap(Zone.T1, Follows.END_LINE, REFEREE, marks={"end": Mark.NO})
    assert ball_of(unfit, 2) == ball_of(replace(unfit, marks={}), 2)
