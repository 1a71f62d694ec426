"""Where a crew of two should end, by name. Common practice, no source, like the codes themselves.

Each line is played twice: the referee calls, and the umpire calls.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.court import Court, Resumes, Whistle
from evaluations.core.mechanics.engine import expected_place, one_row
from evaluations.core.mechanics.facts import DeadBall
from evaluations.core.mechanics.switching import Switch, switch_due
from tests.core.mechanics.crews import (
    REFEREE,
    TWO_PERSON,
    UMPIRE,
    code,
    engine,
    place,
    stood,
)

FRONT, BACK = Court.FRONT, Court.BACK
FREE, END, SIDE, DIVISION = (
    Resumes.FREE_THROWS,
    Resumes.END_LINE,
    Resumes.SIDE_LINE,
    Resumes.DIVISION_LINE,
)
NONE, SHORT, LONG = Switch.NONE, Switch.SHORT, Switch.LONG
BY_LINE = "who owns the line"


@dataclass(frozen=True, kw_only=True)
class Scenario:
    """`calls` is where the caller stood; the rest is what is due."""

    name: str
    whistle: Whistle
    resumes: Resumes
    calls: str
    caller: str
    partner: str
    administers: str
    switch: Switch
    court: Court = FRONT
    flip: bool = False
    sure: bool = True


def free_throws(
    name: str, whistle: Whistle, calls: str, switch: Switch, **more: object
) -> Scenario:
    """The caller ends trail at the table, the partner lead opposite and administers."""
    return Scenario(
        name=name,
        whistle=whistle,
        resumes=FREE,
        calls=calls,
        caller="trail table",
        partner="lead opposite",
        administers="partner",
        switch=switch,
        **more,  # type: ignore[arg-type]
    )


SWITCH_ON_EVERY_FOUL = [
    free_throws("shooting, lead opposite", Whistle.SHOOTING, "lead opposite", SHORT),
    free_throws("shooting, lead table", Whistle.SHOOTING, "lead table", SHORT),
    free_throws("shooting, trail opposite", Whistle.SHOOTING, "trail opposite", NONE),
    free_throws("shooting, trail table", Whistle.SHOOTING, "trail table", NONE),
    free_throws("bonus, back court, lead", Whistle.SHOOTING, "lead table", LONG, court=BACK),
    free_throws("bonus, back court, trail", Whistle.SHOOTING, "trail table", NONE, court=BACK),
    free_throws("bonus after a flip, lead", Whistle.SHOOTING, "lead table", NONE, flip=True),
    free_throws("bonus after a flip, trail", Whistle.SHOOTING, "trail table", LONG, flip=True),
    free_throws("intentional, lead opposite", Whistle.INTENTIONAL, "lead opposite", SHORT),
    free_throws("intentional, trail table", Whistle.INTENTIONAL, "trail table", NONE),
    free_throws("disqualifying, lead table", Whistle.DISQUALIFYING, "lead table", SHORT),
    free_throws("disqualifying, trail opposite", Whistle.DISQUALIFYING, "trail opposite", NONE),
    Scenario(
        name="technical, free throws, lead table",
        whistle=Whistle.TECHNICAL,
        resumes=FREE,
        calls="lead table",
        caller="trail opposite",
        partner="lead",
        administers="partner",
        switch=SHORT,
    ),
    Scenario(
        name="technical, free throws, trail table",
        whistle=Whistle.TECHNICAL,
        resumes=FREE,
        calls="trail table",
        caller="trail opposite",
        partner="lead",
        administers="partner",
        switch=NONE,
    ),
    Scenario(
        name="technical, division line, lead opposite",
        whistle=Whistle.TECHNICAL,
        resumes=DIVISION,
        calls="lead opposite",
        caller="trail opposite",
        partner="lead",
        administers="caller",
        switch=SHORT,
        sure=False,
    ),
    Scenario(
        name="disqualifying, division line, trail table",
        whistle=Whistle.DISQUALIFYING,
        resumes=DIVISION,
        calls="trail table",
        caller="trail opposite",
        partner="lead",
        administers="caller",
        switch=NONE,
        sure=False,
    ),
    Scenario(
        name="defensive, end line, lead opposite",
        whistle=Whistle.COMMON,
        resumes=END,
        calls="lead opposite",
        caller="trail table",
        partner="lead",
        administers="partner",
        switch=SHORT,
    ),
    Scenario(
        name="defensive, end line, lead table",
        whistle=Whistle.COMMON,
        resumes=END,
        calls="lead table",
        caller="trail opposite",
        partner="lead",
        administers="partner",
        switch=SHORT,
    ),
    Scenario(
        name="defensive, end line, trail opposite",
        whistle=Whistle.COMMON,
        resumes=END,
        calls="trail opposite",
        caller="lead",
        partner="trail",
        administers="caller",
        switch=SHORT,
    ),
    Scenario(
        name="defensive, end line, trail table",
        whistle=Whistle.COMMON,
        resumes=END,
        calls="trail table",
        caller="lead",
        partner="trail",
        administers="caller",
        switch=SHORT,
    ),
    Scenario(
        name="defensive, side line, lead opposite",
        whistle=Whistle.COMMON,
        resumes=SIDE,
        calls="lead opposite",
        caller="trail table",
        partner="lead",
        administers=BY_LINE,
        switch=SHORT,
    ),
    Scenario(
        name="defensive, side line, lead table",
        whistle=Whistle.COMMON,
        resumes=SIDE,
        calls="lead table",
        caller="trail opposite",
        partner="lead",
        administers=BY_LINE,
        switch=SHORT,
    ),
    Scenario(
        name="defensive, side line, trail table",
        whistle=Whistle.COMMON,
        resumes=SIDE,
        calls="trail table",
        caller="lead",
        partner="trail",
        administers=BY_LINE,
        switch=SHORT,
    ),
    Scenario(
        name="defensive, back court, lead opposite",
        whistle=Whistle.COMMON,
        resumes=SIDE,
        court=BACK,
        calls="lead opposite",
        caller="trail table",
        partner="lead",
        administers="caller",
        switch=LONG,
    ),
    Scenario(
        name="defensive, back court, lead table",
        whistle=Whistle.COMMON,
        resumes=END,
        court=BACK,
        calls="lead table",
        caller="trail opposite",
        partner="lead",
        administers="caller",
        switch=LONG,
    ),
    Scenario(
        name="defensive, back court, trail table",
        whistle=Whistle.COMMON,
        resumes=SIDE,
        court=BACK,
        calls="trail table",
        caller="lead",
        partner="trail",
        administers="partner",
        switch=LONG,
    ),
    Scenario(
        name="player control, lead opposite",
        whistle=Whistle.PLAYER_CONTROL,
        resumes=END,
        flip=True,
        calls="lead opposite",
        caller="lead table",
        partner="trail opposite",
        administers="partner",
        switch=LONG,
    ),
    Scenario(
        name="player control, trail table",
        whistle=Whistle.PLAYER_CONTROL,
        resumes=SIDE,
        flip=True,
        calls="trail table",
        caller="trail",
        partner="lead",
        administers="caller",
        switch=LONG,
    ),
    Scenario(
        name="loose ball, direction turned, lead table",
        whistle=Whistle.COMMON,
        resumes=END,
        flip=True,
        calls="lead table",
        caller="lead table",
        partner="trail opposite",
        administers="partner",
        switch=LONG,
        sure=False,
    ),
    Scenario(
        name="loose ball, direction turned, trail opposite",
        whistle=Whistle.COMMON,
        resumes=SIDE,
        flip=True,
        calls="trail opposite",
        caller="trail",
        partner="lead",
        administers="caller",
        switch=LONG,
        sure=False,
    ),
    Scenario(
        name="double, side line, lead table",
        whistle=Whistle.DOUBLE,
        resumes=SIDE,
        calls="lead table",
        caller="lead",
        partner="trail",
        administers=BY_LINE,
        switch=NONE,
        sure=False,
    ),
    Scenario(
        name="double, direction turned, trail table",
        whistle=Whistle.DOUBLE,
        resumes=END,
        flip=True,
        calls="trail table",
        caller="lead",
        partner="trail",
        administers=BY_LINE,
        switch=NONE,
        sure=False,
    ),
    Scenario(
        name="double between free throws, trail table",
        whistle=Whistle.DOUBLE,
        resumes=FREE,
        calls="trail table",
        caller="trail",
        partner="lead",
        administers="partner",
        switch=NONE,
        sure=False,
    ),
    Scenario(
        name="double between free throws, direction turned, trail table",
        whistle=Whistle.DOUBLE,
        resumes=FREE,
        flip=True,
        calls="trail table",
        caller="lead",
        partner="trail",
        administers="caller",
        switch=NONE,
        sure=False,
    ),
    Scenario(
        name="violation, same direction, lead table",
        whistle=Whistle.VIOLATION,
        resumes=SIDE,
        calls="lead table",
        caller="lead",
        partner="trail",
        administers=BY_LINE,
        switch=NONE,
    ),
    Scenario(
        name="violation, direction turned, trail opposite",
        whistle=Whistle.VIOLATION,
        resumes=END,
        flip=True,
        calls="trail opposite",
        caller="lead",
        partner="trail",
        administers=BY_LINE,
        switch=NONE,
    ),
    Scenario(
        name="held ball, direction turned, lead table",
        whistle=Whistle.HELD_BALL,
        resumes=SIDE,
        flip=True,
        calls="lead table",
        caller="trail",
        partner="lead",
        administers=BY_LINE,
        switch=NONE,
    ),
]

NO_LONG_SWITCH = [
    free_throws("shooting, lead opposite", Whistle.SHOOTING, "lead opposite", SHORT),
    free_throws("shooting, trail opposite", Whistle.SHOOTING, "trail opposite", NONE),
    Scenario(
        name="bonus after a flip, trail caller becomes lead",
        whistle=Whistle.SHOOTING,
        resumes=FREE,
        flip=True,
        calls="trail table",
        caller="lead",
        partner="trail",
        administers="caller",
        switch=NONE,
    ),
    Scenario(
        name="bonus in the back court, lead caller stays",
        whistle=Whistle.SHOOTING,
        resumes=FREE,
        court=BACK,
        calls="lead table",
        caller="lead",
        partner="trail",
        administers="caller",
        switch=NONE,
    ),
    Scenario(
        name="player control, lead caller becomes trail",
        whistle=Whistle.PLAYER_CONTROL,
        resumes=END,
        flip=True,
        calls="lead table",
        caller="trail",
        partner="lead",
        administers="caller",
        switch=NONE,
    ),
    Scenario(
        name="offensive foul in the old back court",
        whistle=Whistle.PLAYER_CONTROL,
        resumes=SIDE,
        court=BACK,
        flip=True,
        calls="lead table",
        caller="trail",
        partner="lead",
        administers=BY_LINE,
        switch=NONE,
        sure=False,
    ),
    Scenario(
        name="defensive, back court, trail caller stays and administers",
        whistle=Whistle.COMMON,
        resumes=SIDE,
        court=BACK,
        calls="trail table",
        caller="trail",
        partner="lead",
        administers="caller",
        switch=NONE,
    ),
    Scenario(
        name="defensive, front court, lead opposite as in the first code",
        whistle=Whistle.COMMON,
        resumes=END,
        calls="lead opposite",
        caller="trail table",
        partner="lead",
        administers="partner",
        switch=SHORT,
    ),
]

FREE_THROWS_ONLY = [
    Scenario(
        name="shooting, a lead caller must become trail",
        whistle=Whistle.SHOOTING,
        resumes=FREE,
        calls="lead opposite",
        caller="trail",
        partner="lead",
        administers="partner",
        switch=SHORT,
    ),
    Scenario(
        name="shooting, a trail caller stays",
        whistle=Whistle.SHOOTING,
        resumes=FREE,
        calls="trail opposite",
        caller="trail",
        partner="lead",
        administers="partner",
        switch=NONE,
    ),
    Scenario(
        name="bonus after a flip, a lead caller is trail by standing still",
        whistle=Whistle.SHOOTING,
        resumes=FREE,
        flip=True,
        calls="lead table",
        caller="trail",
        partner="lead",
        administers="partner",
        switch=NONE,
    ),
    Scenario(
        name="bonus after a flip, a trail caller stays at that end",
        whistle=Whistle.SHOOTING,
        resumes=FREE,
        flip=True,
        calls="trail table",
        caller="lead",
        partner="trail",
        administers="caller",
        switch=NONE,
        sure=False,
    ),
    Scenario(
        name="double between free throws",
        whistle=Whistle.DOUBLE,
        resumes=FREE,
        calls="lead table",
        caller="lead",
        partner="trail",
        administers="caller",
        switch=NONE,
        sure=False,
    ),
    Scenario(
        name="double between free throws, direction turned",
        whistle=Whistle.DOUBLE,
        resumes=FREE,
        flip=True,
        calls="lead table",
        caller="trail",
        partner="lead",
        administers="partner",
        switch=NONE,
        sure=False,
    ),
    Scenario(
        name="defensive, end line, lead opposite",
        whistle=Whistle.COMMON,
        resumes=END,
        calls="lead opposite",
        caller="lead",
        partner="trail",
        administers=BY_LINE,
        switch=NONE,
    ),
    Scenario(
        name="player control, trail table",
        whistle=Whistle.PLAYER_CONTROL,
        resumes=END,
        flip=True,
        calls="trail table",
        caller="lead",
        partner="trail",
        administers=BY_LINE,
        switch=NONE,
    ),
]

TRAIL_OPPOSITE = [
    Scenario(
        name="shooting, lead table",
        whistle=Whistle.SHOOTING,
        resumes=FREE,
        calls="lead table",
        caller="trail opposite",
        partner="lead table",
        administers="partner",
        switch=SHORT,
    ),
    Scenario(
        name="shooting, trail table",
        whistle=Whistle.SHOOTING,
        resumes=FREE,
        calls="trail table",
        caller="trail opposite",
        partner="lead table",
        administers="partner",
        switch=NONE,
    ),
    Scenario(
        name="technical, free throws, lead opposite",
        whistle=Whistle.TECHNICAL,
        resumes=FREE,
        calls="lead opposite",
        caller="trail opposite",
        partner="lead table",
        administers="partner",
        switch=SHORT,
    ),
    Scenario(
        name="technical, free throws, trail table",
        whistle=Whistle.TECHNICAL,
        resumes=FREE,
        calls="trail table",
        caller="trail opposite",
        partner="lead table",
        administers="partner",
        switch=NONE,
    ),
    Scenario(
        name="disqualifying, lead table",
        whistle=Whistle.DISQUALIFYING,
        resumes=FREE,
        calls="lead table",
        caller="trail opposite",
        partner="lead table",
        administers="partner",
        switch=SHORT,
    ),
    Scenario(
        name="disqualifying after a flip, trail table",
        whistle=Whistle.DISQUALIFYING,
        resumes=FREE,
        flip=True,
        calls="trail table",
        caller="trail opposite",
        partner="lead table",
        administers="partner",
        switch=LONG,
    ),
]

NOBODY_MOVES = (Whistle.DOUBLE, Whistle.VIOLATION, Whistle.HELD_BALL)

TABLES = {
    "two_person_every_foul": SWITCH_ON_EVERY_FOUL,
    # Where no switch would be long, and where nobody switches anyway, it is the first code.
    "two_person_no_long_switch": [
        *NO_LONG_SWITCH,
        *(
            s
            for s in SWITCH_ON_EVERY_FOUL
            if s.whistle in NOBODY_MOVES or (s.court is FRONT and not s.flip)
        ),
    ],
    "two_person_free_throws_only": FREE_THROWS_ONLY,
    # Away from free throws it is the first code.
    "two_person_trail_opposite": [
        *TRAIL_OPPOSITE,
        *(s for s in SWITCH_ON_EVERY_FOUL if s.resumes is not FREE or s.whistle is Whistle.DOUBLE),
    ],
}
LINES = [
    pytest.param(key, scenario, id=f"{key}: {scenario.name}")
    for key, scenarios in TABLES.items()
    for scenario in scenarios
]


def whistled(scenario: Scenario, caller: CrewPosition = REFEREE) -> DeadBall:
    return DeadBall(
        number=1,
        whistle=scenario.whistle,
        caller=caller,
        resumes=scenario.resumes,
        court=scenario.court,
        flip=scenario.flip,
        before={caller: stood(scenario.calls)},
    )


@pytest.mark.parametrize(("caller", "partner"), [(REFEREE, UMPIRE), (UMPIRE, REFEREE)])
@pytest.mark.parametrize(("key", "scenario"), LINES)
def test_where_the_crew_should_end(
    key: str, scenario: Scenario, caller: CrewPosition, partner: CrewPosition
) -> None:
    made = engine(key)
    board = made.board(whistled(scenario, caller))
    who = {"caller": caller, "partner": partner, BY_LINE: None}
    places = {member: expected_place(board, member) for member in (REFEREE, UMPIRE)}
    assert places == {caller: place(scenario.caller), partner: place(scenario.partner)}
    assert {case.administers for case in board.cases} == {who[scenario.administers]}
    assert switch_due(board) is scenario.switch
    row = one_row(board)
    assert row is not None and made.table.code.rows[row].sure is scenario.sure


@pytest.mark.parametrize("key", TWO_PERSON)
def test_every_row_of_the_code_has_a_scenario(key: str) -> None:
    made = engine(key)
    rows = {one_row(made.board(whistled(scenario))) for scenario in TABLES[key]}
    assert set(range(len(code(key).rows))) - rows == set()
