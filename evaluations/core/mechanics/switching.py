"""Who went where: the right end and side, and the switch that had to be forced.

A missed switch is one miss and belongs to one: the official in whose place the caller should be
lets it happen by staying. So does a needless one: it is the caller's. The end of the other one
who stands wrong through it is not judged again.
"""

from __future__ import annotations

from enum import StrEnum

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.code import Needs
from evaluations.core.mechanics.court import Court, Place, Position
from evaluations.core.mechanics.facts import NOT_SEEN, DeadBall, positions
from evaluations.core.mechanics.judging import (
    MET,
    NOT_JUDGED,
    NOT_MET,
    Board,
    Judgement,
    Verdict,
    agree,
)
from evaluations.core.mechanics.table import Allowed, Case, Standing


class Switch(StrEnum):
    """What a row asks of the crew. A long one takes officials the length of the floor.

    In a crew of three a change with the centre is never long.
    """

    NONE = "none"
    SHORT = "short"
    LONG = "long"


def switch_due(board: Board) -> Switch | None:
    """The switch that the code asks for; None when the facts leave it open."""
    found = {_due(case, board.ball.court) for case in board.cases}
    return found.pop() if len(found) == 1 else None


def _due(case: Case, court: Court | None) -> Switch | None:
    if case.forcer is None:
        return Switch.NONE
    if not _ends_change(case):
        return Switch.SHORT
    if case.flip or court is Court.BACK:
        return Switch.LONG
    return None if court is None else Switch.SHORT


def _ends_change(case: Case) -> bool:
    """Whether somebody goes from one end to the other."""
    ends = {Position.LEAD, Position.TRAIL}
    return any({still, case.expected[m].position} == ends for m, still in case.still.items())


def seen_after(
    ball: DeadBall, members: tuple[CrewPosition, ...], cases: tuple[Case, ...]
) -> Standing:
    """The positions seen when the ball was live, also from "switched" or "stayed" alone."""
    seen = positions(ball.after, members) if ball.after else {}
    if ball.switched is None or seen or not cases:
        return seen
    still = cases[0].still
    if any(case.still != still for case in cases):
        return seen
    first, second = members
    if ball.switched:
        return {first: still[second], second: still[first]}
    return still


def place(board: Board, member: CrewPosition | None) -> Judgement:
    """At the end and on the side that the code, or an option that may be used, gives."""
    position = None if member is None else board.after.get(member)
    if member is None or position is None:
        return NOT_JUDGED
    return agree([_place(board, case, member, position) for case in board.cases])


def _place(board: Board, case: Case, member: CrewPosition, position: Position) -> Judgement:
    fits = _fit(board, case.expected[member], member)
    if fits:
        return MET
    by_option = _option(board, case, (member,))
    if by_option is not None:
        return by_option
    if fits is None:
        return NOT_JUDGED
    wrong_end = position is not case.expected[member].position
    return NOT_JUDGED if wrong_end and _counts_elsewhere(board, case, member) else NOT_MET


def force_switch(board: Board, _member: CrewPosition | None) -> Judgement:
    """The switch is done before the ball is live."""
    return agree([_forced(board, case) for case in board.cases])


def forcers(board: Board) -> tuple[CrewPosition | None, ...]:
    """Whose duty the switch was: the observer's word on a miss, else who had to make room."""
    found = {case.forcer for case in board.cases} - {None}
    if len(found) != 1:
        return ()
    whose = board.ball.switch_whose
    if whose is not None and force_switch(board, None).verdict is Verdict.NOT_MET:
        return (whose,)
    return tuple(found)


def _forced(board: Board, case: Case) -> Judgement | None:
    caller, forcer = case.caller, case.forcer
    if forcer is None:
        return None
    if caller not in board.after or forcer not in board.after:
        return NOT_JUDGED
    stayed = [board.after[member] is case.still[member] for member in (caller, forcer)]
    if all(stayed):
        return _option(board, case, (caller, forcer)) or NOT_MET
    return NOT_JUDGED if any(stayed) else MET


def _counts_elsewhere(board: Board, case: Case, member: CrewPosition) -> bool:
    """Whether the wrong end comes from a switch that is or may be counted as another's miss."""
    caller, forcer, still, after = case.caller, case.forcer, case.still, board.after
    if forcer is None:
        pushed = after[member] is still[caller] and after.get(caller) in (None, still[member])
        return member is not caller and pushed
    if member not in (caller, forcer):
        return False
    other = forcer if member is caller else caller
    return after[member] is still[member] and after.get(other) in (None, still[other])


def _option(board: Board, case: Case, members: tuple[CrewPosition, ...]) -> Judgement | None:
    """Met by an option, not judged where one may have been used, None where none was."""
    may_be = False
    for option in case.options:
        allowed = _allowed(board, option)
        fits = [_fit(board, option.places[member], member) for member in members]
        if allowed is False or False in fits:
            continue
        if allowed and None not in fits:
            return Judgement(Verdict.MET, option.key)
        may_be = True
    return NOT_JUDGED if may_be else None


def _allowed(board: Board, option: Allowed) -> bool | None:
    holds = {
        Needs.AGREED: None if board.agreed is None else option.key in board.agreed,
        Needs.HEATED_BENCH: board.ball.heated_bench,
    }
    needed = [holds[need] for need in option.needs]
    if False in needed:
        return False
    return None if None in needed else True


def _fit(board: Board, place: Place, member: CrewPosition) -> bool | None:
    """Whether a member whose position was seen is in the place; None when the side wasn't."""
    if board.after[member] is not place.position:
        return False
    if place.side is None:
        return True
    side = board.ball.after.get(member, NOT_SEEN).side
    return None if side is None else side is place.side
