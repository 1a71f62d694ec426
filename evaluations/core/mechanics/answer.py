"""What the code asked for at one dead ball, for the observer who has just logged it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.court import Place
from evaluations.core.mechanics.engine import Engine, Finding, expected_place, one_row
from evaluations.core.mechanics.facts import DeadBall, Log
from evaluations.core.mechanics.judging import Verdict, together
from evaluations.core.mechanics.rules import WHO_GOES_WHERE
from evaluations.core.mechanics.switching import Switch, switch_due


@dataclass(frozen=True, slots=True)
class Answer:
    """`switch`, a place in `due` and `row` are None where the facts leave them open.

    `verdict` is of places and switch together: not met where one of them was missed, met where
    one was met and none missed. `option` is the key of the option that made it met.
    """

    switch: Switch | None
    due: Mapping[CrewPosition, Place | None]
    row: int | None
    verdict: Verdict
    option: str | None


def answer_to(ball: DeadBall, engine: Engine, log: Log, findings: Iterable[Finding]) -> Answer:
    """`findings` are those of the log by the engine."""
    board = engine.board(ball, log.agreed)
    own = [f for f in findings if f.dead_ball == ball.number and f.rule in WHO_GOES_WHERE]
    return Answer(
        switch=switch_due(board),
        due={member: expected_place(board, member) for member in log.members},
        row=one_row(board),
        verdict=together(f.verdict for f in own),
        option=next((f.option for f in own if f.option is not None), None),
    )
