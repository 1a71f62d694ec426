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


def end(board: Board, member: CrewPosition | None) -> Judgement:
    """At the end that the code, or an option that may be used, gives."""
    position = None if member is None else board.after.get(member)
    if member is None or position is None:
        return NOT_JUDGED
    return agree([_end(board, case, member, position) for case in board.cases])


def _end(board: Board, case: Case, member: CrewPosition, position: Position) -> Judgement:
    if position is case.expected[member].position:
        return MET
    by_option = _option(board, case, (member,))
    if by_option is not None:
        return by_option
    return NOT_JUDGED if _counts_elsewhere(board, case, member) else NOT_MET


def side(board: Board, member: CrewPosition | None) -> Judgement:
    """On the side that the code, or an option that may be used, gives at the end taken.

    Where that is the wrong end it is not judged again, and a free side asks for nothing.
    """
    position = None if member is None else board.after.get(member)
    seen = None if member is None else board.ball.after.get(member, NOT_SEEN).side
    if member is None or position is None or seen is None:
        return NOT_JUDGED
    return agree([_side(board, case, member, Place(position, seen)) for case in board.cases])


def _side(board: Board, case: Case, member: CrewPosition, seen: Place) -> Judgement:
    due = case.expected[member]
    at_end = seen.position is due.position
    if at_end and due.side in (None, seen.side):
        return NOT_JUDGED if due.side is None else MET
    ways = [o for o in case.options if o.places[member].position is seen.position]
    ways = [o for o in ways if _allowed(board, o) is not False]
    if any(_allowed(board, o) is None for o in ways):
        return NOT_JUDGED
    for option in ways:
        if option.places[member].side is seen.side:
            return Judgement(Verdict.MET, option.key)
        if option.places[member].side is None:
            return NOT_JUDGED
    return NOT_MET if at_end or ways else NOT_JUDGED


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
    other = forcer if member is caller else caller
    return after[member] is still[member] and after.get(other) in (None, still[other])


def _option(board: Board, case: Case, members: tuple[CrewPosition, ...]) -> Judgement | None:
    """Whether these members' ends are those of an option: met by it, not judged where it may have
    been used, None where none was."""
    may_be = False
    for option in case.options:
        allowed = _allowed(board, option)
        if any(board.after[m] is not option.places[m].position for m in members):
            continue
        if allowed:
            return Judgement(Verdict.MET, option.key)
        may_be = may_be or allowed is None
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
