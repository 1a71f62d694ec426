"""Where a crew of three should end, by name. Common practice, no source, like the code itself.

Trail and centre stand on opposite sides of the floor; no row for fouls is sure.
"""

from __future__ import annotations

from typing import NamedTuple

import pytest

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.code import Administers
from evaluations.core.mechanics.court import Court, Resumes, Whistle
from evaluations.core.mechanics.engine import expected_place, one_row
from evaluations.core.mechanics.facts import DeadBall
from tests.core.mechanics.crews import (
    REFEREE,
    UMPIRE_1,
    UMPIRE_2,
    code,
    engine,
    place,
    stood,
)

FREE, END, SIDE = Resumes.FREE_THROWS, Resumes.END_LINE, Resumes.SIDE_LINE


class Scenario(NamedTuple):
    """`calls` is where the caller stood; lead, trail and centre go where the last three say."""

    name: str
    whistle: Whistle
    resumes: Resumes
    flip: bool
    calls: str
    lead: str
    trail: str
    centre: str
    sure: bool = False


SHOT, COMMON, CHARGE = Whistle.SHOOTING, Whistle.COMMON, Whistle.PLAYER_CONTROL
TURNED = True
LEAD_TO, TRAIL_TO = "trail table", "trail table"
OPPOSITE = "centre opposite"

SCENARIOS = [
    Scenario("shots, lead", SHOT, FREE, False, "lead opposite", LEAD_TO, "lead", OPPOSITE),
    Scenario("shots, trail", SHOT, FREE, False, "trail opposite", "lead", TRAIL_TO, OPPOSITE),
    Scenario(
        "shots, centre", SHOT, FREE, False, "centre table", "lead", "centre opposite", "trail table"
    ),
    Scenario(
        "bonus after a flip, lead", SHOT, FREE, TURNED, "lead table", LEAD_TO, "lead", OPPOSITE
    ),
    Scenario(
        "technical, trail",
        Whistle.TECHNICAL,
        FREE,
        False,
        "trail table",
        "lead",
        TRAIL_TO,
        OPPOSITE,
    ),
    Scenario("foul, lead table", COMMON, END, False, "lead table", "lead table", "trail", "centre"),
    Scenario(
        "foul, lead opposite",
        COMMON,
        END,
        False,
        "lead opposite",
        "centre table",
        "trail opposite",
        "lead opposite",
    ),
    Scenario(
        "foul, trail table", COMMON, SIDE, False, "trail table", "lead", "trail table", OPPOSITE
    ),
    Scenario(
        "foul, trail opposite",
        COMMON,
        SIDE,
        False,
        "trail opposite",
        "lead opposite",
        "centre table",
        "trail opposite",
    ),
    Scenario(
        "foul, centre table",
        COMMON,
        SIDE,
        False,
        "centre table",
        "lead",
        "trail opposite",
        "centre table",
    ),
    Scenario(
        "foul, centre opposite",
        COMMON,
        SIDE,
        False,
        "centre opposite",
        "lead",
        "centre opposite",
        "trail table",
    ),
    Scenario(
        "charge, lead table", CHARGE, END, TURNED, "lead table", "trail table", "lead", OPPOSITE
    ),
    Scenario(
        "charge, lead opposite",
        CHARGE,
        END,
        TURNED,
        "lead opposite",
        "centre table",
        "lead",
        "trail opposite",
    ),
    Scenario(
        "charge, trail table", CHARGE, SIDE, TURNED, "trail table", "trail", "lead table", "centre"
    ),
    Scenario(
        "charge, trail opposite",
        CHARGE,
        SIDE,
        TURNED,
        "trail opposite",
        "trail opposite",
        "centre table",
        "lead",
    ),
    Scenario(
        "charge, centre table",
        CHARGE,
        SIDE,
        TURNED,
        "centre table",
        "trail opposite",
        "lead",
        "centre table",
    ),
    Scenario(
        "charge, centre opposite",
        CHARGE,
        SIDE,
        TURNED,
        "centre opposite",
        "centre opposite",
        "lead",
        "trail table",
    ),
    Scenario(
        "violation", Whistle.VIOLATION, END, False, "lead table", "lead", "trail", "centre", True
    ),
    Scenario(
        "held ball, direction turned",
        Whistle.HELD_BALL,
        SIDE,
        TURNED,
        "trail table",
        "trail",
        "lead",
        "centre",
        True,
    ),
]

CREWS = [
    (REFEREE, UMPIRE_1, UMPIRE_2),
    (UMPIRE_1, UMPIRE_2, REFEREE),
    (UMPIRE_2, REFEREE, UMPIRE_1),
]
"""Who is lead, trail and centre before, so that each of them calls from everywhere."""


def whistled(scenario: Scenario, crew: tuple[CrewPosition, ...] = CREWS[0]) -> DeadBall:
    positions = ("lead", "trail", "centre")
    before = {m: stood(position) for m, position in zip(crew, positions, strict=True)}
    calling = scenario.calls.split()[0]
    caller = crew[positions.index(calling)]
    before[caller] = stood(scenario.calls)
    return DeadBall(
        number=1,
        whistle=scenario.whistle,
        caller=caller,
        resumes=scenario.resumes,
        court=Court.FRONT,
        flip=scenario.flip,
        before=before,
    )


@pytest.mark.parametrize("crew", CREWS, ids=lambda crew: f"{crew[0]} is lead")
@pytest.mark.parametrize("scenario", SCENARIOS, ids=lambda scenario: scenario.name)
def test_where_the_crew_should_end(scenario: Scenario, crew: tuple[CrewPosition, ...]) -> None:
    made = engine("three_person")
    board = made.board(whistled(scenario, crew))
    due = [scenario.lead, scenario.trail, scenario.centre]
    assert [expected_place(board, member) for member in crew] == [place(text) for text in due]
    row = one_row(board)
    assert row is not None and made.table.code.rows[row].sure is scenario.sure


@pytest.mark.parametrize("scenario", SCENARIOS, ids=lambda scenario: scenario.name)
def test_who_administers(scenario: Scenario) -> None:
    """The new lead at free throws, else who owns the line."""
    row = one_row(engine("three_person").board(whistled(scenario)))
    assert row is not None
    administers = code("three_person").rows[row].administers
    free_throws = scenario.resumes is FREE
    assert administers is (Administers.LEAD if free_throws else Administers.LINE_OWNER)


def test_every_row_of_the_code_has_a_scenario() -> None:
    rows = {one_row(engine("three_person").board(whistled(scenario))) for scenario in SCENARIOS}
    assert set(range(len(code("three_person").rows))) - rows == set()


@pytest.mark.parametrize(
    "scenario", [s for s in SCENARIOS if s.whistle.is_foul], ids=lambda scenario: scenario.name
)
def test_the_caller_of_a_foul_ends_on_the_table_side(scenario: Scenario) -> None:
    caller = scenario.calls.split()[0]
    assert getattr(scenario, caller).endswith(" table")
