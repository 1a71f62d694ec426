"""From a log and a code to findings: whose duty it was, and met, not met or not judged."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.code import MechanicsCode
from evaluations.core.mechanics.court import Place
from evaluations.core.mechanics.facts import DeadBall, Log, Source
from evaluations.core.mechanics.judging import Board, Verdict
from evaluations.core.mechanics.rules import RULES, Rule
from evaluations.core.mechanics.switching import seen_after
from evaluations.core.mechanics.table import CodeTable


class Finding(NamedTuple):
    """One judged fact about one official at one dead ball.

    `member` None: a miss that is nobody's in particular. `row` is the index of the code's row
    that says so, None where a rule alone does or several rows may apply. `expected` is the place
    that the row names, for the rules "end" (without its side) and "side". `option` is the key of
    the option that was used.
    """

    dead_ball: int
    rule: str
    member: CrewPosition | None
    verdict: Verdict
    row: int | None = None
    expected: Place | None = None
    option: str | None = None


class Engine:
    """A code made ready to judge logs of one crew size.

    `film_rules` adds the rules for what can't be seen from the stand; they judge film only.
    """

    def __init__(self, code: MechanicsCode, crew: int, *, film_rules: bool = False) -> None:
        if crew not in code.crews:
            raise ValueError(f"the code {code.key} is not for crews of {crew}")
        self.table = CodeTable(code, crew)
        self._from_film = tuple(r for r in RULES if film_rules or not r.film)
        self._from_the_stand = tuple(r for r in RULES if not r.film)

    def findings(self, log: Log) -> tuple[Finding, ...]:
        """All findings, by dead ball as logged and by rule in the order of `RULES`."""
        if log.crew != self.table.crew:
            raise ValueError(f"a log of a crew of {log.crew}")
        rules = self._from_film if log.source is Source.FILM else self._from_the_stand
        return tuple([f for ball in log.dead_balls for f in self._judge(ball, log.agreed, rules)])

    def board(self, ball: DeadBall, agreed: frozenset[str] | None = frozenset()) -> Board:
        """The dead ball beside what the code says."""
        members, cases = self.table.members, self.table.cases(ball)
        return Board(
            ball=ball,
            cases=cases,
            members=members,
            others=tuple([m for m in members if m is not ball.caller]) if ball.caller else (),
            after=seen_after(ball, members, cases),
            is_foul=None if ball.whistle is None else ball.whistle.is_foul,
            agreed=agreed,
            number_scheme=self.table.code.number_scheme,
        )

    def _judge(
        self, ball: DeadBall, agreed: frozenset[str] | None, rules: tuple[Rule, ...]
    ) -> Iterator[Finding]:
        board = self.board(ball, agreed)
        row = one_row(board)
        for rule in rules:
            for member in rule.whose(board):
                verdict, option = rule.judge(board, member)
                if not rule.by_row:
                    yield Finding(ball.number, rule.key, member, verdict)
                    continue
                place = PLACED[rule.key](board, member) if rule.key in PLACED else None
                yield Finding(ball.number, rule.key, member, verdict, row, place, option)


class Change(NamedTuple):
    """A finding that two codes judge differently; None where only one of them has it."""

    dead_ball: int
    rule: str
    member: CrewPosition | None
    before: Verdict | None
    after: Verdict | None


def changes(before: Iterable[Finding], after: Iterable[Finding]) -> tuple[Change, ...]:
    """What becomes of the findings of one log when its code is corrected."""
    old, new = (
        {(f.dead_ball, f.rule, f.member): f.verdict for f in found} for found in (before, after)
    )
    return tuple(
        Change(*key, old.get(key), new.get(key))
        for key in dict.fromkeys((*old, *new))
        if old.get(key) is not new.get(key)
    )


def one_row(board: Board) -> int | None:
    """The row that applies, when only one may."""
    rows = {case.row for case in board.cases}
    return rows.pop() if len(rows) == 1 else None


def expected_place(board: Board, member: CrewPosition | None) -> Place | None:
    """Where a member should have ended, when all rows that may apply say the same."""
    if member is None or not board.cases:
        return None
    first = board.cases[0].expected[member]
    return first if all(case.expected[member] == first for case in board.cases) else None


def expected_end(board: Board, member: CrewPosition | None) -> Place | None:
    """The position in which a member should have ended, when all rows that may apply agree on it;
    its side is left out."""
    if member is None or not board.cases:
        return None
    due = {case.expected[member].position for case in board.cases}
    return Place(due.pop()) if len(due) == 1 else None


PLACED = {"end": expected_end, "side": expected_place}
"""The rules that judge a member's place, and what of it each of them is about."""
