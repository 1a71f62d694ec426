"""Where a crew of two should end, by name. Common practice, no source, like the codes themselves.

Each line is played in every situation that it stands for, and twice: the referee calls, and the
umpire calls.
"""

from __future__ import annotations

import pytest

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.code import Needs, Situation, row_for, situations
from evaluations.core.mechanics.court import Court, Place, Position, Resumes, Side, Whistle
from evaluations.core.mechanics.engine import expected_place, one_row
from evaluations.core.mechanics.facts import DeadBall, Stood
from evaluations.core.mechanics.switching import Switch, switch_due
from tests.core.mechanics.crews import REFEREE, TWO_PERSON, UMPIRE, code, engine
from tests.core.mechanics.scenario_tables import Scenario, table

LINES = [
    pytest.param(key, scenario, id=f"{key}: {scenario.name}")
    for key in TWO_PERSON
    for scenario in table(key)
]


def whistled(situation: Situation, caller: CrewPosition) -> DeadBall:
    """Only the caller was seen before: of two, that gives the partner's position."""
    return DeadBall(
        number=1,
        whistle=situation.whistle,
        caller=caller,
        resumes=situation.resumes,
        court=situation.court,
        flip=situation.flip,
        before={caller: Stood(situation.caller, situation.side)},
    )


def switch_of(scenario: Scenario, situation: Situation) -> Switch:
    """After a flip and in the back court a switch takes both the length of the floor."""
    if scenario.moves == "stay":
        return Switch.NONE
    return Switch.LONG if situation.flip or situation.court is Court.BACK else Switch.SHORT


@pytest.mark.parametrize(("caller", "partner"), [(REFEREE, UMPIRE), (UMPIRE, REFEREE)])
@pytest.mark.parametrize(("key", "scenario"), LINES)
def test_where_the_crew_should_end(
    key: str, scenario: Scenario, caller: CrewPosition, partner: CrewPosition
) -> None:
    made = engine(key)
    who = {"caller": caller, "partner": partner, "who owns the line": None}
    for situation in scenario.situations:
        board = made.board(whistled(situation, caller))
        places = tuple(expected_place(board, member) for member in (caller, partner))
        assert places == scenario.due, situation
        assert {case.administers for case in board.cases} == {who[scenario.administers]}, situation
        assert switch_due(board) is switch_of(scenario, situation), situation
        row = one_row(board)
        assert row is not None
        assert made.table.code.rows[row].sure is scenario.sure, situation


AGREED, HEATED = Needs.AGREED, Needs.HEATED_BENCH


def lead_opposite_needs(key: str, situation: Situation) -> set[Needs] | None:
    """What must hold before a caller may go to lead, opposite the table; None: never.

    After a technical or disqualifying foul it is enough that the crew agreed on it; after another
    foul with free throws a bench must be heated as well. Nobody runs the floor for it where the
    code knows no long switches.
    """
    moving = situation.flip or situation.court is Court.BACK
    if key == "two_person_free_throws_only" or (key == "two_person_no_long_switch" and moving):
        return None
    if situation.whistle in (Whistle.TECHNICAL, Whistle.DISQUALIFYING):
        return {AGREED}
    with_shots = situation.resumes is Resumes.FREE_THROWS
    return {AGREED, HEATED} if with_shots and situation.whistle is not Whistle.DOUBLE else None


@pytest.mark.parametrize("key", TWO_PERSON)
def test_when_the_caller_may_go_to_lead_opposite_the_table(key: str) -> None:
    for situation in situations(2):
        needs = lead_opposite_needs(key, situation)
        number = row_for(code(key), situation)
        assert number is not None
        row = code(key).rows[number]
        if needs is None:
            assert row.options == (), situation
            continue
        (option,) = row.options
        (partner,) = {Position.LEAD, Position.TRAIL} - {situation.caller}
        assert option.key == "caller_lead_opposite"
        assert option.needs == needs, situation
        assert option.after[situation.caller] == Place(Position.LEAD, Side.OPPOSITE), situation
        assert option.after[partner] == Place(Position.TRAIL), situation
        assert option.administers is row.administers, situation
