"""What a corrected code makes of findings: verdicts that change, and reasons that do."""

from __future__ import annotations

import pytest

from evaluations.core.mechanics.corrections import Corrected, corrected
from evaluations.core.mechanics.engine import Finding, changes
from tests.core.mechanics.crews import (
    MET,
    NOT_JUDGED,
    NOT_MET,
    REFEREE,
    TWO_PERSON,
    UMPIRE,
    findings,
    place,
    shooting,
    standing,
)

AFTERWARDS = standing(referee="trail table", umpire="lead opposite")
TRAIL_TABLE = Finding(1, "side", REFEREE, MET, 0, place("trail table"))
TRAIL_OPPOSITE = TRAIL_TABLE._replace(expected=place("trail opposite"))


def test_a_verdict_that_changes_is_told_with_both_places_that_were_due() -> None:
    """The trail stands on the table side: right in one code, on the wrong side in the other."""
    ball = shooting(after=AFTERWARDS)
    found = corrected(findings(ball), findings(ball, "two_person_trail_opposite"))
    referee = next(c for c in found if c.member is REFEREE and c.finding.rule == "side")
    assert referee.before is not None and referee.after is not None
    assert (referee.before.verdict, referee.after.verdict) == (MET, NOT_MET)
    assert (referee.before.expected, referee.after.expected) == (
        place("trail table"),
        place("trail opposite"),
    )
    assert referee.moves_verdict


@pytest.mark.parametrize("other", TWO_PERSON[1:])
@pytest.mark.parametrize("caller_ends", ["trail table", "trail opposite", "lead opposite"])
def test_all_changed_verdicts_are_among_what_is_corrected(other: str, caller_ends: str) -> None:
    partner = "lead opposite" if caller_ends.startswith("trail") else "trail table"
    ball = shooting(after=standing(referee=caller_ends, umpire=partner))
    before, after = findings(ball), findings(ball, other)
    moved = [c for c in corrected(before, after) if c.moves_verdict]
    told = {(c.dead_ball, c.finding.rule, c.member) for c in moved}
    assert told == {(c.dead_ball, c.rule, c.member) for c in changes(before, after)}


def test_nothing_is_corrected_where_both_codes_say_the_same() -> None:
    ball = shooting(after=AFTERWARDS)
    assert corrected(findings(ball), findings(ball)) == ()


def test_the_same_verdict_for_another_place_is_told_as_well() -> None:
    [one] = corrected([TRAIL_TABLE], [TRAIL_OPPOSITE])
    assert one == Corrected(TRAIL_TABLE, TRAIL_OPPOSITE)
    assert not one.moves_verdict


def test_an_option_that_makes_it_met_from_now_on_is_told() -> None:
    [one] = corrected([TRAIL_TABLE], [TRAIL_TABLE._replace(option="caller_trail")])
    assert not one.moves_verdict


def test_another_row_that_says_the_same_is_nothing_to_tell() -> None:
    assert corrected([TRAIL_TABLE], [TRAIL_TABLE._replace(row=7)]) == ()


def test_what_was_not_judged_and_is_not_judged_is_nothing_to_tell() -> None:
    unseen = TRAIL_TABLE._replace(verdict=NOT_JUDGED)
    assert corrected([unseen], [TRAIL_OPPOSITE._replace(verdict=NOT_JUDGED)]) == ()


def test_a_duty_that_becomes_anothers_is_told_to_both() -> None:
    was = Finding(3, "force_switch", UMPIRE, NOT_MET, 0)
    found = corrected([was], [was._replace(member=REFEREE)])
    assert [(c.member, c.before, c.after) for c in found] == [
        (UMPIRE, was, None),
        (REFEREE, None, was._replace(member=REFEREE)),
    ]
    assert all(c.moves_verdict for c in found)


def test_findings_are_told_by_dead_ball() -> None:
    first, second = TRAIL_TABLE._replace(dead_ball=1), TRAIL_TABLE._replace(dead_ball=2)
    gone = [first._replace(rule="force_switch"), second]
    assert [c.dead_ball for c in corrected(gone, [first])] == [1, 1, 2]
