"""Watching on a partner's whistle, and whose the players were. Common practice, no source."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from evaluations.core.mechanics.court import Resumes, Whistle
from evaluations.core.mechanics.facts import Eyes, Moment, Watching
from evaluations.core.mechanics.judging import Verdict
from tests.core.mechanics.crews import (
    MET,
    NOT_JUDGED,
    NOT_MET,
    REFEREE,
    UMPIRE,
    UMPIRE_1,
    UMPIRE_2,
    findings,
    shooting,
    standing,
    verdicts,
)

DURING, AFTER = Moment.REPORT, Moment.AFTER_REPORT
THREE = standing(referee="lead table", umpire_1="trail table", umpire_2="centre opposite")


def test_in_a_crew_of_three_each_of_the_other_two_is_judged_alone() -> None:
    ball = shooting(
        before=THREE, watching={UMPIRE_1: Watching(False, True, False), UMPIRE_2: Watching(True)}
    )
    found = findings(ball, "three_person", film=True)
    assert verdicts(found, "vision_wide") == {UMPIRE_1: NOT_MET, UMPIRE_2: MET}
    assert verdicts(found, "ball_not_chased") == {UMPIRE_1: NOT_MET, UMPIRE_2: NOT_JUDGED}
    assert verdicts(found, "moved_opposite") == {UMPIRE_1: NOT_MET, UMPIRE_2: NOT_JUDGED}


def test_nobody_has_to_move_opposite_a_partner_who_does_not_report() -> None:
    ball = shooting(
        whistle=Whistle.VIOLATION,
        resumes=Resumes.SIDE_LINE,
        watching={UMPIRE: Watching(chased_ball=True, moved_opposite=False)},
    )
    found = findings(ball)
    assert verdicts(found, "moved_opposite") == {}
    assert verdicts(found, "ball_not_chased") == {UMPIRE: NOT_MET}
    perhaps = shooting(whistle=None, watching={UMPIRE: Watching(moved_opposite=False)})
    assert verdicts(findings(perhaps), "moved_opposite") == {UMPIRE: NOT_JUDGED}


@pytest.mark.parametrize(
    ("eyes", "crew_of_two", "crew_of_three"),
    [
        (Eyes(), {UMPIRE: NOT_JUDGED}, {None: NOT_JUDGED}),
        # Of two others it is nobody's in particular, kept or lost.
        (Eyes(kept=True), {UMPIRE: MET}, {None: MET}),
        (Eyes(kept=False), {UMPIRE: NOT_JUDGED}, {None: NOT_JUDGED}),
        # While one reports, the players are the other's.
        (Eyes(kept=False, lost=DURING), {UMPIRE: NOT_MET}, {None: NOT_MET}),
        # After the report they are the crew's.
        (Eyes(kept=False, lost=AFTER), {None: NOT_MET}, {None: NOT_MET}),
        # Unless the observer says whose.
        (Eyes(kept=False, lost=AFTER, whose=REFEREE), {REFEREE: NOT_MET}, {REFEREE: NOT_MET}),
        (Eyes(kept=False, whose=REFEREE), {REFEREE: NOT_MET}, {REFEREE: NOT_MET}),
    ],
)
def test_whose_the_players_were(eyes: Eyes, crew_of_two: Any, crew_of_three: Any) -> None:
    assert verdicts(findings(shooting(eyes=eyes)), "eyes_kept") == crew_of_two
    in_three = findings(shooting(before=THREE, eyes=eyes), "three_person")
    assert verdicts(in_three, "eyes_kept") == crew_of_three


def test_without_a_report_the_players_are_the_crews() -> None:
    ball = shooting(
        whistle=Whistle.VIOLATION, resumes=Resumes.END_LINE, eyes=Eyes(kept=False, lost=DURING)
    )
    assert verdicts(findings(ball), "eyes_kept") == {None: NOT_MET}


def test_without_a_caller_nobody_is_the_partner() -> None:
    ball = shooting(caller=None, eyes=Eyes(kept=False, lost=DURING))
    found = findings(ball)
    for rule in ("eyes_kept", "moved_opposite", "ball_not_chased", "signal_at_spot"):
        assert verdicts(found, rule) == {}
    violation = replace(ball, whistle=Whistle.VIOLATION, resumes=Resumes.END_LINE)
    assert verdicts(findings(violation), "eyes_kept") == {}
    said = shooting(caller=None, eyes=Eyes(kept=False, whose=UMPIRE))
    assert verdicts(findings(said), "eyes_kept") == {UMPIRE: NOT_MET}


def test_whose_the_players_were_depends_on_whether_somebody_reported() -> None:
    for lost in Moment:
        ball = shooting(whistle=None, resumes=None, eyes=Eyes(kept=False, lost=lost))
        assert verdicts(findings(ball), "eyes_kept") == {UMPIRE: NOT_JUDGED}


@pytest.mark.parametrize(("kept", "verdict"), [(True, MET), (None, NOT_JUDGED)])
def test_a_moment_or_a_name_makes_no_miss_where_nobody_saw_one(
    kept: bool | None, verdict: Verdict
) -> None:
    for eyes in (Eyes(kept, AFTER), Eyes(kept, DURING), Eyes(kept, AFTER, REFEREE)):
        assert verdicts(findings(shooting(eyes=eyes)), "eyes_kept") == {UMPIRE: verdict}


def test_without_a_report_the_players_are_the_crews_kept_or_lost() -> None:
    """What would be nobody's miss is nobody's merit: else a share could only rise."""
    for kept, verdict in ((True, MET), (False, NOT_MET)):
        ball = shooting(
            whistle=Whistle.VIOLATION,
            resumes=Resumes.END_LINE,
            eyes=Eyes(kept=kept, lost=None if kept else DURING),
        )
        assert verdicts(findings(ball), "eyes_kept") == {None: verdict}
