"""What an option makes of ends, sides and switches. Common practice, no source."""

from __future__ import annotations

from dataclasses import replace

import pytest

from evaluations.core.mechanics.court import Whistle
from evaluations.core.mechanics.engine import Engine
from evaluations.core.mechanics.judging import Verdict
from tests.core.mechanics.crews import (
    MET,
    NOT_JUDGED,
    NOT_MET,
    REFEREE,
    UMPIRE,
    code,
    findings,
    log,
    shooting,
    standing,
    verdicts,
)

LEAD_OPPOSITE = "caller_lead_opposite"
OPTION_USED = standing(referee="lead opposite", umpire="trail opposite")


@pytest.mark.parametrize(
    ("whistle", "agreed", "heated", "used"),
    [
        (Whistle.SHOOTING, [LEAD_OPPOSITE], True, True),
        (Whistle.SHOOTING, [LEAD_OPPOSITE], False, False),
        (Whistle.SHOOTING, [LEAD_OPPOSITE], None, None),
        (Whistle.SHOOTING, [], True, False),
        (Whistle.SHOOTING, None, True, None),
        (Whistle.TECHNICAL, [LEAD_OPPOSITE], None, True),
        (Whistle.TECHNICAL, [], True, False),
        (Whistle.DISQUALIFYING, [LEAD_OPPOSITE], False, True),
        (Whistle.DISQUALIFYING, None, None, None),
    ],
)
def test_an_option_is_met_when_all_it_needs_holds_and_not_judged_when_that_is_not_known(
    whistle: Whistle, agreed: list[str] | None, heated: bool | None, used: bool | None
) -> None:
    ball = shooting(whistle=whistle, after=OPTION_USED, heated_bench=heated)
    found = findings(ball, agreed=agreed)
    forced, placed = verdicts(found, "force_switch"), verdicts(found, "end")
    if used:
        assert forced == {UMPIRE: MET}
        assert placed == {REFEREE: MET, UMPIRE: MET}
        assert {f.option for f in found if f.rule in ("end", "force_switch")} == {LEAD_OPPOSITE}
    else:
        assert forced == {UMPIRE: NOT_JUDGED if used is None else NOT_MET}
        assert placed == {REFEREE: NOT_JUDGED, UMPIRE: NOT_JUDGED}
        assert {f.option for f in found} == {None}


def test_an_option_names_its_side_too() -> None:
    wrong = shooting(
        whistle=Whistle.TECHNICAL, after=standing(referee="lead table", umpire="trail table")
    )
    found = findings(wrong, agreed=[LEAD_OPPOSITE])
    assert verdicts(found, "force_switch") == {UMPIRE: MET}
    assert verdicts(found, "end") == {REFEREE: MET, UMPIRE: MET}
    assert verdicts(found, "side") == {REFEREE: NOT_MET, UMPIRE: NOT_JUDGED}
    unseen = shooting(whistle=Whistle.TECHNICAL, after=standing(referee="lead", umpire="trail"))
    found = findings(unseen, agreed=[LEAD_OPPOSITE])
    assert verdicts(found, "force_switch") == {UMPIRE: MET}
    assert verdicts(found, "side") == {REFEREE: NOT_JUDGED, UMPIRE: NOT_JUDGED}


@pytest.mark.parametrize(
    ("agreed", "verdict"),
    [([LEAD_OPPOSITE], MET), ([], NOT_JUDGED), (None, NOT_JUDGED)],
)
def test_the_side_of_an_option_is_judged_only_when_it_may_be_used(
    agreed: list[str] | None, verdict: Verdict
) -> None:
    ball = shooting(whistle=Whistle.TECHNICAL, after=OPTION_USED)
    assert verdicts(findings(ball, agreed=agreed), "side")[REFEREE] is verdict


def test_a_trail_caller_may_go_to_lead_by_an_option() -> None:
    ball = shooting(
        whistle=Whistle.TECHNICAL,
        before=standing(referee="trail table", umpire="lead table"),
        after=standing(referee="lead opposite", umpire="trail table"),
    )
    found = findings(ball, agreed=[LEAD_OPPOSITE])
    assert verdicts(found, "end") == {REFEREE: MET, UMPIRE: MET}
    without = findings(ball, agreed=[])
    assert verdicts(without, "end") == {REFEREE: NOT_MET, UMPIRE: NOT_JUDGED}


def test_an_option_without_a_condition_may_always_be_used() -> None:
    first, *rest = code().rows
    (option,) = first.options
    free = replace(first, options=(replace(option, needs=frozenset()),))
    made = Engine(replace(code(), rows=(free, *rest)), 2)
    found = made.findings(log(shooting(after=OPTION_USED), agreed=None))
    assert verdicts(found, "end") == {REFEREE: MET, UMPIRE: MET}
    assert {f.option for f in found if f.rule == "end"} == {LEAD_OPPOSITE}


def test_an_option_for_another_end_excuses_no_side() -> None:
    """The caller may be lead, opposite; who is trail has the trail's side."""
    after = standing(referee="trail opposite", umpire="lead opposite")
    found = findings(shooting(after=after, heated_bench=True), agreed=[LEAD_OPPOSITE])
    assert verdicts(found, "side") == {REFEREE: NOT_MET, UMPIRE: MET}
    assert {f.option for f in found} == {None}
