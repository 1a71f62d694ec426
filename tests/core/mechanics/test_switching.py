"""Whose duty a missed switch was, and what an option makes of it. Common practice, no source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.court import Court, Resumes, Whistle
from evaluations.core.mechanics.engine import Change, Engine, changes
from evaluations.core.mechanics.facts import Log, Stood
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.mechanics.switching import Switch, switch_due
from tests.core.mechanics.crews import (
    MET,
    NOT_JUDGED,
    NOT_MET,
    REFEREE,
    UMPIRE,
    UMPIRE_1,
    UMPIRE_2,
    code,
    engine,
    findings,
    log,
    shooting,
    standing,
    verdicts,
)

LEAD_OPPOSITE = "caller_lead_opposite"
STAYED = standing(referee="lead opposite", umpire="trail table")


@pytest.mark.parametrize("facts", [{"switched": False}, {"after": STAYED}])
def test_a_switch_that_did_not_happen_is_the_miss_of_the_one_who_had_to_force_it(
    facts: Mapping[str, Any],
) -> None:
    found = findings(shooting(**facts))
    assert verdicts(found, "force_switch") == {UMPIRE: NOT_MET}
    assert verdicts(found, "end") == {REFEREE: NOT_JUDGED, UMPIRE: NOT_JUDGED}


def test_the_observer_can_say_that_the_miss_was_the_callers() -> None:
    found = findings(shooting(switched=False, switch_whose=REFEREE))
    assert verdicts(found, "force_switch") == {REFEREE: NOT_MET}


def test_what_the_observer_said_of_a_miss_moves_no_switch_that_was_done() -> None:
    found = findings(shooting(switched=True, switch_whose=REFEREE))
    assert verdicts(found, "force_switch") == {UMPIRE: MET}


def test_a_switch_that_was_done_gives_the_ends_and_leaves_the_sides_open() -> None:
    """As it is logged live: an end that was seen counts for as well as against."""
    found = findings(shooting(switched=True))
    assert verdicts(found, "force_switch") == {UMPIRE: MET}
    assert verdicts(found, "end") == {REFEREE: MET, UMPIRE: MET}
    assert verdicts(found, "side") == {REFEREE: NOT_JUDGED, UMPIRE: NOT_JUDGED}


def test_to_stay_is_met_where_no_switch_is_due() -> None:
    found = findings(shooting(before=standing(referee="trail table"), switched=False))
    assert verdicts(found, "end") == {REFEREE: MET, UMPIRE: MET}


def test_a_wrong_side_is_the_miss_of_the_one_who_stands_there() -> None:
    found = findings(shooting(after=standing(referee="trail table", umpire="lead table")))
    assert verdicts(found, "end") == {REFEREE: MET, UMPIRE: MET}
    assert verdicts(found, "side") == {REFEREE: MET, UMPIRE: NOT_MET}
    assert verdicts(found, "force_switch") == {UMPIRE: MET}


def test_at_the_wrong_end_the_side_is_not_judged_again() -> None:
    ball = shooting(
        before=standing(referee="trail table", umpire="lead opposite"),
        after=standing(referee="lead opposite", umpire="trail table"),
    )
    assert verdicts(findings(ball), "side") == {REFEREE: NOT_JUDGED, UMPIRE: NOT_JUDGED}


def test_a_side_that_a_code_leaves_free_asks_for_nothing() -> None:
    for side in ("table", "opposite"):
        ball = shooting(
            whistle=Whistle.COMMON,
            resumes=Resumes.END_LINE,
            after=standing(referee="trail table", umpire=f"lead {side}"),
        )
        assert verdicts(findings(ball), "end") == {REFEREE: MET, UMPIRE: MET}
        assert verdicts(findings(ball), "side") == {REFEREE: MET, UMPIRE: NOT_JUDGED}


def test_a_needless_switch_is_the_callers_miss_alone() -> None:
    ball = shooting(
        before=standing(referee="trail table", umpire="lead opposite"),
        after=standing(referee="lead opposite", umpire="trail table"),
    )
    found = findings(ball)
    assert verdicts(found, "end") == {REFEREE: NOT_MET, UMPIRE: NOT_JUDGED}
    assert verdicts(found, "force_switch") == {}


def test_one_seen_position_gives_the_partners() -> None:
    found = findings(shooting(after=standing(referee="trail table")))
    assert verdicts(found, "force_switch") == {UMPIRE: MET}
    assert verdicts(found, "end") == {REFEREE: MET, UMPIRE: MET}
    assert verdicts(found, "side") == {REFEREE: MET, UMPIRE: NOT_JUDGED}


def test_without_the_callers_side_free_throws_can_be_judged_and_a_throw_in_only_in_part() -> None:
    """Both rows for a lead caller send the partner to lead; the caller's side depends."""
    before = standing(referee="lead")
    after = standing(referee="trail table", umpire="lead opposite")
    found = findings(shooting(before=before, after=after))
    assert verdicts(found, "side") == {REFEREE: MET, UMPIRE: MET}
    found = findings(
        shooting(before=before, after=after, whistle=Whistle.COMMON, resumes=Resumes.SIDE_LINE)
    )
    assert verdicts(found, "end") == {REFEREE: MET, UMPIRE: MET}
    assert verdicts(found, "side") == {REFEREE: NOT_JUDGED, UMPIRE: NOT_JUDGED}
    assert verdicts(found, "force_switch") == {UMPIRE: MET}
    assert {f.row for f in found} == {None}


def test_when_nobody_knows_who_called_the_places_are_judged_only_where_it_does_not_matter() -> None:
    after = standing(referee="trail table", umpire="lead opposite")
    found = findings(shooting(caller=None, after=after))
    # Had the umpire called as trail, nobody would have had to move.
    assert verdicts(found, "end") == {REFEREE: NOT_JUDGED, UMPIRE: NOT_JUDGED}
    assert verdicts(found, "force_switch") == {UMPIRE: NOT_JUDGED}
    held = shooting(
        caller=None,
        whistle=Whistle.HELD_BALL,
        resumes=Resumes.SIDE_LINE,
        after=standing(referee="lead table", umpire="trail table"),
    )
    assert verdicts(findings(held), "end") == {REFEREE: MET, UMPIRE: MET}


def test_a_switch_is_long_after_a_flip_or_in_the_back_court() -> None:
    facts: list[tuple[dict[str, Any], Switch | None]] = [
        ({}, Switch.SHORT),
        ({"court": Court.BACK}, Switch.LONG),
        ({"court": None}, None),
        ({"flip": True}, Switch.NONE),
        ({"flip": True, "before": standing(referee="trail table")}, Switch.LONG),
        ({"flip": None}, None),
    ]
    for given, due in facts:
        assert switch_due(engine().board(shooting(**given))) is due


THREE = {
    "before": {
        REFEREE: standing(referee="lead table")[REFEREE],
        UMPIRE_1: standing(umpire_1="trail table")[UMPIRE_1],
        UMPIRE_2: standing(umpire_2="centre opposite")[UMPIRE_2],
    }
}


@pytest.mark.parametrize(
    ("after", "places", "forced"),
    [
        (  # as the row says
            {"referee": "trail table", "umpire_1": "lead table", "umpire_2": "centre opposite"},
            {REFEREE: MET, UMPIRE_1: MET, UMPIRE_2: MET},
            MET,
        ),
        (  # nobody moved: one miss, of the trail who had to make room
            {"referee": "lead table", "umpire_1": "trail table", "umpire_2": "centre opposite"},
            {REFEREE: NOT_JUDGED, UMPIRE_1: NOT_JUDGED, UMPIRE_2: MET},
            NOT_MET,
        ),
        (  # the trail left, the caller went on to centre: each of both stands wrong
            {"referee": "centre opposite", "umpire_1": "lead table", "umpire_2": "trail table"},
            {REFEREE: NOT_MET, UMPIRE_1: MET, UMPIRE_2: NOT_MET},
            MET,
        ),
        (  # the caller was seen where he stood, of the others nothing
            {"referee": "lead table"},
            {REFEREE: NOT_JUDGED, UMPIRE_1: NOT_JUDGED, UMPIRE_2: NOT_JUDGED},
            NOT_JUDGED,
        ),
    ],
)
def test_a_crew_of_three_switches_with_the_one_in_the_callers_way(
    after: Mapping[str, str], places: Mapping[CrewPosition, Verdict], forced: Verdict
) -> None:
    found = findings(shooting(after=standing(**after), **THREE), "three_person")
    assert verdicts(found, "end") == places
    assert verdicts(found, "force_switch") == {UMPIRE_1: forced}


def test_of_three_with_one_place_unseen_the_case_is_worked_out_from_the_other_two() -> None:
    after = {**standing(referee="trail table", umpire_1="lead table"), UMPIRE_2: Stood()}
    found = findings(shooting(after=after, **THREE), "three_person")
    assert verdicts(found, "end") == {REFEREE: MET, UMPIRE_1: MET, UMPIRE_2: MET}
    assert verdicts(found, "side") == {
        REFEREE: MET,
        UMPIRE_1: NOT_JUDGED,
        UMPIRE_2: NOT_JUDGED,
    }


def test_a_finding_names_the_row_and_the_place_that_was_due() -> None:
    found = [f for f in findings(shooting(switched=False)) if f.rule == "side"]
    assert [f.row for f in found] == [0, 0]
    due = [(f.expected.position.value, f.expected.side) for f in found if f.expected]
    assert due == [("trail", "table"), ("lead", "opposite")]


def test_where_a_code_in_work_has_a_gap_nothing_is_judged() -> None:
    made = Engine(replace(code(), rows=code().rows[4:]), 2)
    found = made.findings(log(shooting(after=standing(referee="lead table"))))
    assert verdicts(found, "end") == {REFEREE: NOT_JUDGED, UMPIRE: NOT_JUDGED}
    assert verdicts(found, "force_switch") == {}
    assert switch_due(made.board(shooting())) is None


def test_a_code_judges_only_the_crew_sizes_that_it_is_for() -> None:
    with pytest.raises(ValueError, match="two_person_every_foul is not for crews of 3"):
        Engine(code(), 3)
    with pytest.raises(ValueError, match="a log of a crew of 3"):
        engine().findings(Log(3, ()))


def test_switched_says_nothing_of_positions_while_the_direction_is_not_known() -> None:
    found = findings(shooting(flip=None, switched=True))
    assert verdicts(found, "end") == {REFEREE: NOT_JUDGED, UMPIRE: NOT_JUDGED}


def test_a_corrected_code_shows_whom_it_changes() -> None:
    ball = shooting(after=standing(referee="trail table", umpire="lead opposite"))
    before = findings(ball)
    assert changes(before, before) == ()
    assert changes(before, findings(ball, "two_person_trail_opposite")) == (
        Change(1, "side", REFEREE, MET, NOT_MET),
        Change(1, "side", UMPIRE, MET, NOT_MET),
    )
    trail = shooting(before=standing(referee="trail table"), switched=False, flip=True)
    assert changes(findings(trail), findings(trail, "two_person_no_long_switch")) == (
        Change(1, "end", REFEREE, NOT_JUDGED, MET),
        Change(1, "end", UMPIRE, NOT_JUDGED, MET),
        Change(1, "force_switch", UMPIRE, NOT_MET, None),
    )
