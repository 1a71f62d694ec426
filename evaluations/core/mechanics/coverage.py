"""Watching: what the officials do who don't report.

While one reports, the players are the other's. After the report has ended they are the crew's,
and a miss is nobody's unless the observer says whose.
"""

from __future__ import annotations

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.facts import UNWATCHED, Moment, Watching
from evaluations.core.mechanics.judging import NOT_JUDGED, NOT_MET, Board, Judgement, answer


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
    if eyes.kept is False and eyes.whose is not None:
        return NOT_MET
    whose_is_open = board.is_foul is None or (eyes.kept is False and eyes.lost is None)
    return NOT_JUDGED if whose_is_open else answer(eyes.kept)


def players_keepers(board: Board) -> tuple[CrewPosition | None, ...]:
    """Whose the players were; nobody's in particular where a miss would be the crew's.

    They are one official's only in a crew of two and until the report has ended. Whatever was
    seen otherwise, kept or lost, is nobody's: what is counted against nobody counts for nobody.
    """
    eyes = board.ball.eyes
    if eyes.kept is False and eyes.whose is not None:
        return (eyes.whose,)
    if not board.others:
        return ()
    the_crews = board.is_foul is False or len(board.others) > 1
    lost_later = board.is_foul and eyes.kept is False and eyes.lost is Moment.AFTER_REPORT
    return (None,) if the_crews or lost_later else board.others


def _watching(board: Board, member: CrewPosition | None) -> Watching:
    return UNWATCHED if member is None else board.ball.watching.get(member, UNWATCHED)
