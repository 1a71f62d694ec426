"""The report: preliminary signal, player, route, stop, number, type, result.

Only a foul is reported. All but the last duty are the caller's.
"""

from __future__ import annotations

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.facts import NumberShown, Route
from evaluations.core.mechanics.judging import NOT_JUDGED, NOT_MET, Board, Judgement, answer
from evaluations.core.mechanics.number_signals import shown_in


def caller(board: Board) -> tuple[CrewPosition, ...]:
    """The caller of what is or may be a foul."""
    if board.ball.caller is None or board.is_foul is False:
        return ()
    return (board.ball.caller,)


def signal_at_spot(board: Board, _member: CrewPosition | None) -> Judgement:
    return _of_a_foul(board, board.ball.report.signal_at_spot)


def player_told(board: Board, _member: CrewPosition | None) -> Judgement:
    return _of_a_foul(board, board.ball.report.player_told)


def route_around(board: Board, _member: CrewPosition | None) -> Judgement:
    route = board.ball.report.route
    return _of_a_foul(board, None if route is None else route is Route.AROUND)


def benches_watched(board: Board, _member: CrewPosition | None) -> Judgement:
    return _of_a_foul(board, board.ball.report.benches_watched)


def full_stop(board: Board, _member: CrewPosition | None) -> Judgement:
    return _of_a_foul(board, board.ball.report.full_stop)


def spoken(board: Board, _member: CrewPosition | None) -> Judgement:
    return _of_a_foul(board, board.ball.report.spoken)


def number_shown(board: Board, _member: CrewPosition | None) -> Judgement:
    """The way of the code's scheme; how many signs that takes can depend on the number."""
    shown, player = board.ball.report.number_shown, board.ball.report.player
    if shown is None or board.is_foul is None:
        return NOT_JUDGED
    if shown is NumberShown.NOT_SHOWN:
        return NOT_MET
    signs = shown_in(board.number_scheme, player)
    if signs is None:
        return NOT_JUDGED
    return answer((shown is NumberShown.AT_ONCE) == (signs == 1))


def type_shown(board: Board, _member: CrewPosition | None) -> Judgement:
    return _of_a_foul(board, board.ball.report.type_shown)


def result_shown(board: Board, _member: CrewPosition | None) -> Judgement:
    return _of_a_foul(board, board.ball.report.result_shown)


def live_after_report(board: Board, _member: CrewPosition | None) -> Judgement:
    """The ball is not put in play before the report has ended."""
    return _of_a_foul(board, board.ball.report.ended_before_live)


def puts_in_play(board: Board) -> tuple[CrewPosition | None, ...]:
    """Who can put the ball in play while the caller reports: in a crew of two the partner.

    In a crew of three the one who administers by the row; nobody's where that is not known.
    """
    if board.is_foul is False or not board.others:
        return ()
    if len(board.others) == 1:
        return board.others
    found = {case.administers for case in board.cases}
    member = found.pop() if len(found) == 1 else None
    return (member if member in board.others else None,)


def _of_a_foul(board: Board, seen: bool | None) -> Judgement:
    return NOT_JUDGED if board.is_foul is None else answer(seen)
