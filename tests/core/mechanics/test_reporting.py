"""The report of a foul, fact by fact. Common practice, no source."""

from __future__ import annotations

from dataclasses import replace

import pytest

from evaluations.core.mechanics.code import NumberScheme
from evaluations.core.mechanics.court import Resumes, Whistle
from evaluations.core.mechanics.engine import Engine
from evaluations.core.mechanics.facts import Log, NumberShown, Report, Route, Source
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.mechanics.reporting import caller
from evaluations.core.mechanics.rules import RULES
from tests.core.mechanics.crews import (
    MET,
    NOT_JUDGED,
    NOT_MET,
    REFEREE,
    UMPIRE,
    UMPIRE_1,
    UMPIRE_2,
    code,
    findings,
    shooting,
    standing,
    verdicts,
)

AT_ONCE, TENS_FIRST, NOT_SHOWN = NumberShown

NAMES = [rule.key for rule in RULES if rule.whose is caller]
"""The rules for the caller's report."""


@pytest.mark.parametrize("rule", NAMES)
def test_one_fact_of_a_report_says_nothing_of_the_others(rule: str) -> None:
    missed = Report(False, False, Route.THROUGH, False, False, False, "4", NOT_SHOWN, False, False)
    field = {"route_around": "route"}.get(rule, rule)
    found = findings(shooting(report=replace(missed, **{field: None})), film=True)
    judged = {f.rule: f.verdict for f in found if f.rule in NAMES}
    assert judged.pop(rule) is NOT_JUDGED
    assert set(judged.values()) == {NOT_MET}


@pytest.mark.parametrize("whistle", [Whistle.VIOLATION, Whistle.HELD_BALL])
@pytest.mark.parametrize("rule", [*NAMES, "live_after_report"])
def test_no_report_is_expected_where_there_was_no_foul(whistle: Whistle, rule: str) -> None:
    ball = shooting(
        whistle=whistle,
        resumes=Resumes.SIDE_LINE,
        report=Report(signal_at_spot=False, number_shown=NOT_SHOWN, ended_before_live=False),
    )
    assert verdicts(findings(ball, film=True), rule) == {}


@pytest.mark.parametrize("rule", [*NAMES, "live_after_report"])
def test_a_whistle_that_may_have_been_no_foul_is_not_judged(rule: str) -> None:
    ball = shooting(
        whistle=None,
        report=Report(False, False, Route.THROUGH, False, False, False, None, NOT_SHOWN, False),
    )
    assert set(verdicts(findings(ball, film=True), rule).values()) == {NOT_JUDGED}


@pytest.mark.parametrize("film_rules", [True, False])
@pytest.mark.parametrize("source", Source)
def test_what_can_not_be_seen_from_the_stand_is_judged_from_film_and_when_asked_for(
    source: Source, film_rules: bool
) -> None:
    made = Engine(code(), 2, film_rules=film_rules)
    rules = {f.rule for f in made.findings(Log(2, (shooting(),), source=source))}
    only_film = {rule.key for rule in RULES if rule.film}
    assert only_film == {"benches_watched", "spoken", "vision_wide"}
    assert rules & only_film == (only_film if film_rules and source is Source.FILM else set())
    assert rules >= {rule.key for rule in RULES} - only_film
    unasked = Engine(code(), 2).findings(Log(2, (shooting(),), source=source))
    assert not only_film & {f.rule for f in unasked}


def test_only_who_goes_where_is_said_by_a_row() -> None:
    by_row = {rule.key for rule in RULES if rule.by_row}
    found = findings(shooting(), film=True)
    assert {f.rule for f in found if f.row is not None} == by_row
    assert {f.rule for f in found if f.row is None} == {rule.key for rule in RULES} - by_row


@pytest.mark.parametrize(
    ("scheme", "player", "shown", "verdict"),
    [
        (NumberScheme.TOGETHER, None, AT_ONCE, MET),
        (NumberScheme.TOGETHER, None, TENS_FIRST, NOT_MET),
        (NumberScheme.TOGETHER, "3", AT_ONCE, MET),
        (NumberScheme.TOGETHER, "24", TENS_FIRST, NOT_MET),
        (NumberScheme.TOGETHER, "24", AT_ONCE, MET),
        (NumberScheme.TENS_THEN_UNITS, "15", AT_ONCE, MET),
        (NumberScheme.TENS_THEN_UNITS, "15", TENS_FIRST, NOT_MET),
        (NumberScheme.TENS_THEN_UNITS, "16", AT_ONCE, NOT_MET),
        (NumberScheme.TENS_THEN_UNITS, "16", TENS_FIRST, MET),
        (NumberScheme.TENS_THEN_UNITS, "00", AT_ONCE, MET),
        (NumberScheme.TENS_THEN_UNITS, None, AT_ONCE, NOT_JUDGED),
        (NumberScheme.TENS_THEN_UNITS, None, TENS_FIRST, NOT_JUDGED),
        (NumberScheme.TENS_THEN_UNITS, None, NOT_SHOWN, NOT_MET),
    ],
)
def test_a_number_is_shown_the_way_the_code_says(
    scheme: NumberScheme, player: str | None, shown: NumberShown, verdict: Verdict
) -> None:
    made = Engine(replace(code(), number_scheme=scheme), 2)
    ball = shooting(report=Report(player=player, number_shown=shown))
    assert verdicts(made.findings(Log(2, (ball,))), "number_shown") == {REFEREE: verdict}


@pytest.mark.parametrize(("ended", "verdict"), [(True, MET), (False, NOT_MET), (None, NOT_JUDGED)])
def test_in_a_crew_of_two_only_the_partner_can_put_the_ball_in_play_too_early(
    ended: bool | None, verdict: Verdict
) -> None:
    found = findings(shooting(report=Report(ended_before_live=ended)))
    assert verdicts(found, "live_after_report") == {UMPIRE: verdict}


def test_in_a_crew_of_three_it_is_the_duty_of_the_one_who_administers() -> None:
    before = standing(referee="lead table", umpire_1="trail table", umpire_2="centre opposite")
    early = Report(ended_before_live=False)
    free_throws = findings(shooting(before=before, report=early), "three_person")
    assert verdicts(free_throws, "live_after_report") == {UMPIRE_1: NOT_MET}
    throw_in = shooting(
        before=before, report=early, whistle=Whistle.COMMON, resumes=Resumes.SIDE_LINE
    )
    # Who administers depends on the line: the miss is nobody's in particular.
    assert verdicts(findings(throw_in, "three_person"), "live_after_report") == {None: NOT_MET}
    assert UMPIRE_2 not in verdicts(free_throws, "live_after_report")
