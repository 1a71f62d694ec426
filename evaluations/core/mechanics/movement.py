"""One official's own movement at one dead ball: where he or she stood, was due, and ended.

A letter and its page draw one of these: the dead ball that says most. Nobody else is on it, and
nothing is drawn that was judged as another's duty.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.court import (
    Court,
    End,
    Place,
    Position,
    Resumes,
    Whistle,
    standing_still,
)
from evaluations.core.mechanics.engine import Engine, Finding, expected_place
from evaluations.core.mechanics.facts import NOT_SEEN, DeadBall, Log, positions
from evaluations.core.mechanics.judging import Board, Verdict, together
from evaluations.core.mechanics.rules import WHO_GOES_WHERE

_ENDS = {Position.LEAD, Position.TRAIL}


@dataclass(frozen=True, slots=True)
class Movement:
    """`side` None in `before` and `actual` is not seen, in `expected` free.

    `basket` is the one under attack before the whistle (None: not known, then either will do for
    a drawing), `flip` says whether the other one was afterwards. `verdict` is that of the place,
    or of the switch whose forcing was this official's; `option` is the key of the option that
    made it met.
    """

    dead_ball: int
    period: int | None
    clock: str
    whistle: Whistle | None
    resumes: Resumes | None
    court: Court | None
    basket: End | None
    flip: bool
    long_switch: bool
    before: Place
    expected: Place
    actual: Place
    verdict: Verdict
    option: str | None

    @property
    def switch_due(self) -> bool:
        """Whether the code sent the official to another end, or to a partner's place."""
        return _elsewhere(self.before.position, self.expected, self.flip)


def most_telling(
    engine: Engine, log: Log, findings: Iterable[Finding], member: CrewPosition
) -> Movement | None:
    """The own movement that says most, None where none is known.

    First a long switch missed, then whatever else was missed, then a long switch done, another
    switch done, an option used, and a place kept; of several the first. `findings` are those of
    the log by the engine.
    """
    own: dict[int, list[Finding]] = {}
    for finding in findings:
        if finding.member is member and finding.rule in WHO_GOES_WHERE:
            own.setdefault(finding.dead_ball, []).append(finding)
    found = [
        movement
        for ball in log.dead_balls
        if (movement := _movement(engine, log, ball, own.get(ball.number, []), member))
    ]
    return min(found, key=lambda m: (_rank(m), m.dead_ball), default=None)


def _movement(
    engine: Engine, log: Log, ball: DeadBall, own: list[Finding], member: CrewPosition
) -> Movement | None:
    """The movement at one dead ball, if it was judged and all of its places are known."""
    verdict = together(finding.verdict for finding in own)
    if verdict is Verdict.NOT_JUDGED:
        return None
    board = engine.board(ball, log.agreed)
    before = positions(ball.before, board.members).get(member)
    actual, expected, flip = board.after.get(member), expected_place(board, member), _flip(board)
    if before is None or actual is None or expected is None or flip is None:
        return None
    far = flip or ball.court is Court.BACK
    return Movement(
        dead_ball=ball.number,
        period=ball.period,
        clock=ball.clock,
        whistle=ball.whistle,
        resumes=ball.resumes,
        court=ball.court,
        basket=ball.basket,
        flip=flip,
        long_switch=far and {standing_still(before, flip), expected.position} == _ENDS,
        before=Place(before, ball.before.get(member, NOT_SEEN).side),
        expected=expected,
        actual=Place(actual, ball.after.get(member, NOT_SEEN).side),
        verdict=verdict,
        option=next((f.option for f in own if f.option), None),
    )


def _elsewhere(before: Position, expected: Place, flip: bool) -> bool:
    return expected.position is not standing_still(before, flip)


def _flip(board: Board) -> bool | None:
    """Whether the direction turned, when all rows that may apply say the same."""
    turns = {case.flip for case in board.cases}
    return turns.pop() if len(turns) == 1 else None


def _rank(movement: Movement) -> int:
    if movement.verdict is Verdict.NOT_MET:
        return 0 if movement.long_switch else 1
    if movement.option is not None:
        return 4
    if movement.long_switch:
        return 2
    return 3 if movement.switch_due else 5
