"""The misses of a crew: what was not met at each dead ball, and whose duty it was."""

from __future__ import annotations

from dataclasses import dataclass, replace

from evaluations.core.games import CrewPosition
from evaluations.core.log_document import read_dead_ball
from evaluations.core.mechanics.engine import Finding
from evaluations.core.mechanics.judging import Verdict
from evaluations.models import DeadBall, DeadBallLog, MissMoved
from evaluations.queries.logs import JudgedLog, judged

MOVABLE = frozenset({"force_switch", "eyes_kept"})
"""Rules by which a miss is the crew's before it is somebody's: the observer may say whose."""


@dataclass(frozen=True, slots=True)
class Miss:
    """A duty that was not met. `whose` None: nobody's in particular.

    `moved` is the observer's word that brought it there; without it it would be `by_code`'s.
    """

    row: DeadBall
    finding: Finding
    moved: MissMoved | None
    by_code: CrewPosition | None

    @property
    def rule(self) -> str:
        return self.finding.rule

    @property
    def whose(self) -> CrewPosition | None:
        return self.finding.member

    @property
    def movable(self) -> bool:
        return self.rule in MOVABLE


def misses_of(log: DeadBallLog) -> list[Miss]:
    """Every miss of a log, by dead ball and rule; each is there once, whoever's it is."""
    return misses_in(judged(log))


def misses_in(found: JudgedLog) -> list[Miss]:
    """The same of a log that was judged already."""
    by_number = {row.number: row for row in found.rows}
    return [
        _miss(by_number[finding.dead_ball], finding, found)
        for finding in found.findings
        if finding.verdict is Verdict.NOT_MET
    ]


def miss_at(log: DeadBallLog, number: int, rule: str) -> Miss | None:
    """The movable miss by a rule at a dead ball."""
    found = (m for m in misses_of(log) if m.movable and (m.row.number, m.rule) == (number, rule))
    return next(found, None)


def _miss(row: DeadBall, finding: Finding, found: JudgedLog) -> Miss:
    moved = next((m for m in row.moved.all() if m.rule == finding.rule), None)
    if moved is None:
        return Miss(row, finding, None, finding.member)
    assert found.engine is not None  # it judges what is moved; film's findings never are
    unmoved = replace(found.value, dead_balls=(read_dead_ball(row.facts, row.number),))
    by_code = (
        f.member
        for f in found.engine.findings(unmoved)
        if f.rule == finding.rule and f.verdict is Verdict.NOT_MET
    )
    return Miss(row, finding, moved, next(by_code, None))
