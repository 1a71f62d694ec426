"""Where a crew of three should end, by name. Common practice, no source, like the code itself.

Trail and centre stand on opposite sides of the floor; no row for fouls is sure. Each line is
played in every situation that it stands for, and with every official in every place.
"""

from __future__ import annotations

from itertools import permutations

import pytest

from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.code import Administers, Situation
from evaluations.core.mechanics.court import POSITIONS_OF, Court, Position, Side
from evaluations.core.mechanics.engine import expected_place, one_row
from evaluations.core.mechanics.facts import DeadBall, Stood
from evaluations.core.mechanics.switching import Switch, switch_due
from tests.core.mechanics.crews import engine
from tests.core.mechanics.scenario_tables import Scenario, table

SCENARIOS = table("three_person")
ADMINISTERS = {"lead": Administers.LEAD, "who owns the line": Administers.LINE_OWNER}


def whistled(situation: Situation, crew: tuple[CrewPosition, ...]) -> DeadBall:
    """`crew` is who was lead, trail and centre; of the others no side was seen."""
    before = {
        member: Stood(position, situation.side if position is situation.caller else None)
        for member, position in zip(crew, POSITIONS_OF[3], strict=True)
    }
    return DeadBall(
        number=1,
        whistle=situation.whistle,
        caller=crew[POSITIONS_OF[3].index(situation.caller)],
        resumes=situation.resumes,
        court=situation.court,
        flip=situation.flip,
        before=before,
    )


def switch_of(scenario: Scenario, situation: Situation) -> Switch:
    """A switch is long only when somebody goes from one end to the other."""
    if scenario.moves == "stay":
        return Switch.NONE
    far = situation.flip or situation.court is Court.BACK
    return Switch.LONG if scenario.moves == "switch" and far else Switch.SHORT


@pytest.mark.parametrize("crew", list(permutations(POSITIONS[3])), ids=" ".join)
@pytest.mark.parametrize("scenario", SCENARIOS, ids=lambda scenario: scenario.name)
def test_where_the_crew_should_end(scenario: Scenario, crew: tuple[CrewPosition, ...]) -> None:
    made = engine("three_person")
    for situation in scenario.situations:
        board = made.board(whistled(situation, crew))
        assert tuple(expected_place(board, m) for m in crew) == scenario.due, situation
        assert switch_due(board) is switch_of(scenario, situation), situation
        number = one_row(board)
        assert number is not None
        row = made.table.code.rows[number]
        assert row.administers is ADMINISTERS[scenario.administers], situation
        assert row.sure is scenario.sure, situation
        assert row.options == (), situation


@pytest.mark.parametrize(
    "scenario",
    [s for s in SCENARIOS if s.situations[0].whistle.is_foul],
    ids=lambda scenario: scenario.name,
)
def test_the_caller_of_a_foul_ends_on_the_table_side(scenario: Scenario) -> None:
    caller = POSITIONS_OF[3].index(scenario.situations[0].caller)
    assert scenario.due[caller].side is Side.TABLE


@pytest.mark.parametrize("scenario", SCENARIOS, ids=lambda scenario: scenario.name)
def test_trail_and_centre_are_across_from_each_other(scenario: Scenario) -> None:
    """Both sides are named; or both are free, because nobody moves and so the triangle holds."""
    sides = {place.position: place.side for place in scenario.due}
    trail, centre = sides[Position.TRAIL], sides[Position.CENTRE]
    assert {trail, centre} in ({Side.TABLE, Side.OPPOSITE}, {None})
    if trail is None:
        assert scenario.moves == "stay"
