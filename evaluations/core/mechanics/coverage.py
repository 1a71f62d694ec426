"""Watching: what the officials do who don't report.

While one reports, the players are the other's. After the report has ended they are the crew's,
and a miss is nobody's unless the observer says whose.
"""

from __future__ import annotations

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.facts import UNWATCHED, Moment, Watching
from evaluations.core.mechanics.judging import NOT_JUDGED, Board, Judgement, answer


def others(board: Board) -> tuple[CrewPosition, ...]:
    """All but the caller."""
    return board.others


def others_at_a_foul(board: Board) -> tuple[CrewPosition, ...]:
    """All but the one who reports or may have to."""
    return () if board.is_foul is False else board.others


def vision_wide(board: Board, member: CrewPosition | None) -> Judgement:
    return answer(_watching(board, member).wide)


def ball_not_chased(board: Board, member: CrewPosition | None) -> Judgement:
    chased = _watching(board, member).chased_ball
    return answer(None if chased is None else not chased)


def moved_opposite(board: Board, member: CrewPosition | None) -> Judgement:
    if board.is_foul is None:
        return NOT_JUDGED
    return answer(_watching(board, member).moved_opposite)


def eyes_kept(board: Board, _member: CrewPosition | None) -> Judgement:
    """Somebody faces the players all the time."""
    eyes = board.ball.eyes
    when_is_known = eyes.lost is not None and board.is_foul is not None
    if eyes.kept is False and eyes.whose is None and not when_is_known:
        return NOT_JUDGED
    return answer(eyes.kept)


def players_keepers(board: Board) -> tuple[CrewPosition | None, ...]:
    """Whose the players were; nobody's where a miss was the crew's."""
    eyes = board.ball.eyes
    if eyes.kept is False and eyes.whose is not None:
        return (eyes.whose,)
    if not board.others:
        return ()
    if eyes.kept is False and eyes.lost is not None and board.is_foul is not None:
        one_had_them = board.is_foul and eyes.lost is Moment.REPORT and len(board.others) == 1
        return board.others if one_had_them else (None,)
    return board.others


def _watching(board: Board, member: CrewPosition | None) -> Watching:
    return UNWATCHED if member is None else board.ball.watching.get(member, UNWATCHED)
