"""What holds in every situation and every shipped code."""

from __future__ import annotations

from itertools import product

import pytest

from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.code import Needs, Situation, situations
from evaluations.core.mechanics.court import (
    POSITIONS_OF,
    End,
    Place,
    Position,
    Resumes,
    Side,
    Whistle,
    end_of,
)
from evaluations.core.mechanics.engine import expected_place
from evaluations.core.mechanics.facts import DeadBall, Stood
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.mechanics.switching import Switch, switch_due
from tests.core.mechanics.crews import (
    ALL_CODES,
    DEFAULT,
    REFEREE,
    TWO_PERSON,
    UMPIRE,
    code,
    engine,
    findings,
    in_situation,
)


def crew_of(key: str) -> int:
    return code(key).crews[0]


EVERY = [(key, s) for key in ALL_CODES for s in situations(crew_of(key))]
OF_TWO = [(key, s) for key in TWO_PERSON for s in situations(2)]


def places_due(ball: DeadBall, key: str) -> dict[CrewPosition, Place]:
    made = engine(key)
    board = made.board(ball)
    due = {member: expected_place(board, member) for member in made.table.members}
    return {member: place for member, place in due.items() if place is not None}


def test_in_a_crew_of_two_a_switch_is_an_exchange_of_ends() -> None:
    """Checked with ends alone, for either basket: they change exactly when a switch is due."""
    for (key, situation), basket in product(OF_TWO, End):
        ball = in_situation(situation)
        attacked = basket.other if situation.flip else basket
        board = engine(key).board(ball)
        changed = set()
        for member, place in places_due(ball, key).items():
            before = ball.before[member].position
            assert before is not None
            changed.add(end_of(before, basket) is not end_of(place.position, attacked))
        assert len(changed) == 1
        assert (switch_due(board) is not Switch.NONE) is changed.pop()


def test_in_a_flip_with_a_switch_both_keep_their_position() -> None:
    for key, situation in OF_TWO:
        if not situation.flip:
            continue
        ball = in_situation(situation)
        due = places_due(ball, key)
        kept = [due[member].position is stood.position for member, stood in ball.before.items()]
        assert all(kept) or not any(kept)
        assert all(kept) is (switch_due(engine(key).board(ball)) is Switch.LONG)


def test_afterwards_there_is_one_lead_one_trail_and_in_threes_one_centre() -> None:
    for key, situation in EVERY:
        due = places_due(in_situation(situation), key)
        assert {p.position for p in due.values()} == set(POSITIONS_OF[situation.crew])
        assert len(due) == situation.crew


def test_no_two_stand_on_one_spot() -> None:
    """A spot is an end and a side; a centre is at no end, and across from the trail."""
    for key, situation in EVERY:
        due = places_due(in_situation(situation), key)
        spots = {(end_of(p.position, End.LEFT), p.side) for p in due.values()}
        assert len(spots) == situation.crew
        sides = {p.position: p.side for p in due.values()}
        if situation.crew == 3 and sides[Position.TRAIL] is not None:
            assert sides[Position.TRAIL] is not sides[Position.CENTRE]


@pytest.mark.parametrize("agreed_before", [True, False])
def test_with_free_throws_the_caller_ends_trail_unless_an_agreed_option_says_lead(
    agreed_before: bool,
) -> None:
    for situation in situations(2):
        if situation.resumes is not Resumes.FREE_THROWS or situation.whistle is Whistle.DOUBLE:
            continue
        ball = in_situation(situation)
        assert places_due(ball, DEFAULT)[REFEREE].position is Position.TRAIL
        for case in engine().board(ball).cases:
            for option in case.options:
                assert option.places[REFEREE] == Place(Position.LEAD, Side.OPPOSITE)
                assert Needs.AGREED in option.needs
        options = ["caller_lead_opposite"] if agreed_before else []
        lead = {REFEREE: Stood(Position.LEAD, Side.OPPOSITE), UMPIRE: Stood(Position.TRAIL)}
        heated = in_situation(situation, after=lead, heated_bench=True)
        used = {f.option for f in findings(heated, agreed=options) if f.member is REFEREE}
        assert ("caller_lead_opposite" in used) is agreed_before


def test_in_the_code_without_long_switches_nobody_runs_the_floor() -> None:
    due = [
        switch_due(engine("two_person_no_long_switch").board(in_situation(situation)))
        for situation in situations(2)
    ]
    assert set(due) == {Switch.NONE, Switch.SHORT}


def as_the_row_says(situation: Situation, key: str) -> DeadBall:
    due = places_due(in_situation(situation), key)
    return in_situation(situation, after={m: Stood(p.position, p.side) for m, p in due.items()})


def test_who_ends_where_the_row_says_has_met_it() -> None:
    for key, situation in EVERY:
        found = [
            f
            for f in findings(as_the_row_says(situation, key), key)
            if f.rule in ("end", "force_switch")
        ]
        assert {f.member for f in found if f.rule == "end"} == set(POSITIONS[situation.crew])
        assert {f.verdict for f in found} == {Verdict.MET}
        assert {f.option for f in found} == {None}


def test_in_a_crew_of_two_a_wrong_end_is_one_miss_of_one_official() -> None:
    for key, situation in OF_TWO:
        right = as_the_row_says(situation, key)
        swapped = {
            REFEREE: Stood(right.after[UMPIRE].position),
            UMPIRE: Stood(right.after[REFEREE].position),
        }
        found = findings(in_situation(situation, after=swapped, heated_bench=False), key)
        missed = [f for f in found if f.verdict is Verdict.NOT_MET]
        due = switch_due(engine(key).board(right))
        assert len(missed) == 1
        expected = ("end", REFEREE) if due is Switch.NONE else ("force_switch", UMPIRE)
        assert (missed[0].rule, missed[0].member) == expected


def test_what_nobody_saw_is_judged_by_nobody() -> None:
    for key, situation in EVERY:
        found = findings(in_situation(situation), key)
        assert {f.verdict for f in found} == {Verdict.NOT_JUDGED}
