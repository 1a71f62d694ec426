"""A crew of three out of place: which end is whose miss, and which one is another's.

The referee was lead at the table and calls a foul with free throws: due at trail, the first umpire
(trail) at lead, the second one stays centre. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.code import Administers, Needs, Option, Row
from evaluations.core.mechanics.court import Position
from evaluations.core.mechanics.engine import Engine, Finding
from evaluations.core.mechanics.facts import Log, Stood
from evaluations.core.mechanics.judging import Verdict
from tests.core.mechanics.crews import (
    MET,
    NOT_JUDGED,
    NOT_MET,
    REFEREE,
    UMPIRE_1,
    UMPIRE_2,
    code,
    findings,
    place,
    shooting,
    standing,
    verdicts,
)

BEFORE = standing(referee="lead table", umpire_1="trail table", umpire_2="centre opposite")
Ends = tuple[Verdict, Verdict, Verdict]
Places = tuple[str, str, str]


def ended(referee: str, umpire_1: str, umpire_2: str) -> Mapping[CrewPosition, Stood]:
    return standing(referee=referee, umpire_1=umpire_1, umpire_2=umpire_2)


def ends(found: Ends) -> dict[CrewPosition, Verdict]:
    return dict(zip((REFEREE, UMPIRE_1, UMPIRE_2), found, strict=True))


@pytest.mark.parametrize(
    ("after", "forced", "judged"),
    [
        # Nobody moves: one miss, of the one who stays in the caller's place.
        (("lead", "trail", "centre"), NOT_MET, (NOT_JUDGED, NOT_JUDGED, MET)),
        # The first umpire makes room and the caller doesn't come.
        (("lead", "centre", "trail"), NOT_JUDGED, (NOT_MET, NOT_MET, NOT_MET)),
        # The caller leaves, but not for the place of the first umpire, who stays.
        (("centre", "trail", "lead"), NOT_JUDGED, (NOT_MET, NOT_MET, NOT_MET)),
        # The caller comes, and the other two take each other's place.
        (("trail", "centre", "lead"), MET, (MET, NOT_MET, NOT_MET)),
    ],
)
def test_where_a_switch_is_due(after: Places, forced: Verdict, judged: Ends) -> None:
    ball = shooting(before=BEFORE, after=ended(*after))
    found = findings(ball, "three_person")
    assert verdicts(found, "force_switch") == {UMPIRE_1: forced}
    assert verdicts(found, "end") == ends(judged)


@pytest.mark.parametrize(
    ("after", "judged"),
    [
        # The caller and the first umpire exchange ends: the caller's miss alone.
        (("trail", "lead", "centre"), (NOT_JUDGED, NOT_MET, MET)),
        # All three go round: who is in nobody's old place by the caller's doing has an own miss.
        (("centre", "lead", "trail"), (NOT_MET, NOT_MET, NOT_MET)),
        (("trail", "centre", "lead"), (NOT_MET, NOT_MET, NOT_MET)),
        # The caller stays and the other two exchange.
        (("centre", "trail", "lead"), (NOT_MET, MET, NOT_MET)),
    ],
)
def test_where_none_is_due(after: Places, judged: Ends) -> None:
    """The first umpire calls as trail, and stays."""
    ball = shooting(caller=UMPIRE_1, before=BEFORE, after=ended(*after))
    found = findings(ball, "three_person")
    assert verdicts(found, "force_switch") == {}
    assert verdicts(found, "end") == ends(judged)


def test_of_a_switch_of_which_only_the_other_one_was_seen_nothing_is_judged() -> None:
    ball = shooting(before=BEFORE, after=standing(umpire_1="trail table"))
    assert verdicts(findings(ball, "three_person"), "force_switch") == {UMPIRE_1: NOT_JUDGED}


LEAD, TRAIL, CENTRE = Position


def in_an_own_code(row: Row, after: Places, agreed: frozenset[str] | None) -> tuple[Finding, ...]:
    """Judged by a code in which this row decides."""
    three = code("three_person")
    made = Engine(replace(three, rows=(row, *three.rows)), 3)
    ball = shooting(before=BEFORE, after=ended(*after))
    return made.findings(Log(3, (ball,), agreed=agreed))


def test_where_all_three_should_go_round_and_stand_still_it_is_one_miss() -> None:
    after = {LEAD: place("trail table"), TRAIL: place("centre opposite"), CENTRE: place("lead")}
    row = Row(3, after, Administers.LEAD)
    found = in_an_own_code(row, ("lead", "trail", "centre"), frozenset())
    assert verdicts(found, "force_switch") == {UMPIRE_1: NOT_MET}
    assert verdicts(found, "end") == ends((NOT_JUDGED, NOT_JUDGED, NOT_JUDGED))
    left = in_an_own_code(row, ("lead", "centre", "trail"), frozenset())
    assert verdicts(left, "end") == ends((NOT_MET, MET, NOT_MET))


DUE = {LEAD: place("trail table"), TRAIL: place("lead"), CENTRE: place("centre opposite")}
STAY = {LEAD: place("lead"), TRAIL: place("trail"), CENTRE: place("centre")}


@pytest.mark.parametrize(
    ("after", "agreed", "referee"),
    [
        # The option leaves the caller lead; a caller who goes to centre uses none.
        (("lead", "trail", "centre"), frozenset({"stay"}), MET),
        (("lead", "trail", "centre"), frozenset(), NOT_JUDGED),
        (("lead", "trail", "centre"), None, NOT_JUDGED),
        (("centre", "trail", "lead"), frozenset({"stay"}), NOT_MET),
        (("centre", "trail", "lead"), None, NOT_MET),
    ],
)
def test_an_option_is_for_the_end_that_it_names(
    after: Places, agreed: frozenset[str] | None, referee: Verdict
) -> None:
    option = Option("stay", STAY, Administers.LEAD, frozenset({Needs.AGREED}))
    found = in_an_own_code(Row(3, DUE, Administers.LEAD, options=(option,)), after, agreed)
    assert verdicts(found, "end")[REFEREE] is referee


def test_where_one_of_two_options_may_have_been_used_nothing_is_judged() -> None:
    """Nobody saw whether the bench was heated; on the other one the crew had not agreed."""
    heated = Option("wait", STAY, Administers.LEAD, frozenset({Needs.HEATED_BENCH}))
    agreed = Option("stay", STAY, Administers.LEAD, frozenset({Needs.AGREED}))
    for options in ((heated, agreed), (agreed, heated)):
        row = Row(3, DUE, Administers.LEAD, options=options)
        found = in_an_own_code(row, ("lead", "trail", "centre"), frozenset())
        assert verdicts(found, "force_switch") == {UMPIRE_1: NOT_JUDGED}
