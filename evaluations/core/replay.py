"""A log played through a code, and a situation explained, as documents of plain JSON types.

Rows are numbered from 1 here, as people count them.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from itertools import product
from typing import Any

from evaluations.core.documents import DocumentError, to_document
from evaluations.core.mechanics.code import (
    MechanicsCode,
    Option,
    Outcome,
    Row,
    Situation,
    describe,
    explain,
)
from evaluations.core.mechanics.counts import count
from evaluations.core.mechanics.court import (
    POSITIONS_OF,
    Court,
    Place,
    Position,
    Resumes,
    Side,
    Whistle,
    possible,
)
from evaluations.core.mechanics.engine import Engine, Finding, expected_place, one_row
from evaluations.core.mechanics.facts import DeadBall, Log
from evaluations.core.mechanics.switching import switch_due
from evaluations.core.mechanics.words import duty
from evaluations.core.voice import Voice


def replay(
    log: Log, code: MechanicsCode, voice: Voice, *, film_rules: bool = False
) -> dict[str, Any]:
    """Expected positions, findings and counts for a log.

    Raises:
        DocumentError: the log does not fit the code: its crew size, or an option agreed on.
    """
    if log.crew not in code.crews:
        sizes = ", ".join(map(str, code.crews))
        raise DocumentError("$.crew", f"the code {code.key} is for crews of {sizes}")
    if unknown := sorted((log.agreed or frozenset()) - code.option_keys):
        options = ", ".join(sorted(code.option_keys)) or "none"
        raise DocumentError("$.agreed", f"the code has no {unknown[0]}; allowed: {options}")
    engine = Engine(code, log.crew, film_rules=film_rules)
    findings = engine.findings(log)
    return {
        "schema": 1,
        "code": {"key": code.key, "edition": code.edition},
        "crew": log.crew,
        "kept": log.kept.value,
        "source": log.source.value,
        "dead_balls": [_expected(engine, log, ball) for ball in log.dead_balls],
        "findings": [_finding(finding, voice) for finding in findings],
        "counts": _counts(log, findings),
    }


def _expected(engine: Engine, log: Log, ball: DeadBall) -> dict[str, Any]:
    board = engine.board(ball, log.agreed)
    row = one_row(board)
    administers = {case.administers for case in board.cases}
    due = switch_due(board)
    return {
        "number": ball.number,
        "row": None if row is None else row + 1,
        "sure": None if row is None else engine.table.code.rows[row].sure,
        "expected": {member: _place(expected_place(board, member)) for member in log.members},
        "administers": administers.pop() if len(administers) == 1 else None,
        "switch": None if due is None else due.value,
    }


def _finding(finding: Finding, voice: Voice) -> dict[str, Any]:
    document = finding._asdict() | {
        "row": None if finding.row is None else finding.row + 1,
        "expected": _place(finding.expected),
        "duty": duty(voice, finding),
    }
    plain: dict[str, Any] = to_document(document)
    return plain


def _place(place: Place | None) -> dict[str, str | None] | None:
    if place is None:
        return None
    return {"position": place.position.value, "side": place.side.value if place.side else None}


def _counts(log: Log, findings: tuple[Finding, ...]) -> list[dict[str, Any]]:
    rules = tuple(dict.fromkeys(finding.rule for finding in findings))
    answer = []
    for member, rule in product(log.members, rules):
        found = count(findings, member, (rule,), log.kept)
        if found.judged or found.not_judged:
            document = to_document(found)
            del document["kept"], document["minimum"]
            share, interval = found.share, found.interval
            document |= {
                "share": None if share is None else str(share),
                "interval": None if interval is None else [round(x, 4) for x in interval],
            }
            answer.append({"member": member.value, "rule": rule, **document})
    return answer


class Turn(StrEnum):
    """Whether the direction of play turns, as people write it."""

    YES = "yes"
    NO = "no"


FIELDS: dict[str, type[StrEnum]] = {
    "whistle": Whistle,
    "resumes": Resumes,
    "court": Court,
    "flip": Turn,
    "caller": Position,
    "side": Side,
}
"""The fields of a situation as it is written in words."""


def read_situation(words: Sequence[str], code: MechanicsCode) -> Situation:
    """A situation from words such as "whistle=shooting". `crew` may be left out.

    Raises:
        DocumentError: with the field and what is allowed.
    """
    given = _pairs(words)
    sizes = {str(crew): crew for crew in code.crews}
    size = given.pop("crew", str(code.crews[0]))
    if size not in sizes:
        raise DocumentError("crew", f"allowed: {', '.join(sizes)}")
    crew = sizes[size]
    for name, kind in FIELDS.items():
        choices = POSITIONS_OF[crew] if name == "caller" else tuple(kind)
        if given.get(name) not in {choice.value for choice in choices}:
            raise DocumentError(name, f"allowed: {', '.join(choices)}")
    situation = Situation(
        crew,
        Whistle(given["whistle"]),
        Resumes(given["resumes"]),
        Court(given["court"]),
        given["flip"] == Turn.YES,
        Position(given["caller"]),
        Side(given["side"]),
    )
    _require_possible(situation)
    return situation


def explained(code: MechanicsCode, situation: Situation, language: str) -> dict[str, Any]:
    """The row for a situation and the reason: what in it decided, and what the row leaves blank.

    Raises:
        DocumentError: no row covers the situation.
    """
    found = explain(code, situation)
    if found is None:
        raise DocumentError("rows", f"no row covers {describe(situation)}")
    row = found.row
    return {
        "code": {"key": code.key, "edition": code.edition},
        "situation": describe(situation),
        "row": found.row_index + 1,
        "because": dict(found.because),
        "blank": list(found.left_blank),
        **_asked(row),
        "options": [
            {"key": option.key, "needs": sorted(option.needs), **_asked(option)}
            for option in row.options
        ],
        "sure": row.sure,
        "note": row.note.get(language, ""),
        "source": code.source.get(language, ""),
    }


def _asked(part: Row | Option) -> dict[str, Any]:
    after: Outcome = part.after
    return {
        "after": {position.value: _place(place) for position, place in after.items()},
        "administers": part.administers.value,
    }


def _pairs(words: Sequence[str]) -> dict[str, str]:
    given: dict[str, str] = {}
    for word in words:
        name, _equals, value = word.partition("=")
        if name not in (*FIELDS, "crew"):
            raise DocumentError(name or word, f"is no field; allowed: crew, {', '.join(FIELDS)}")
        if name in given:
            raise DocumentError(name, "is there twice")
        given[name] = value
    return given


def _require_possible(situation: Situation) -> None:
    whistle = situation.whistle
    if possible(whistle, situation.resumes, situation.flip):
        return
    flips = [turn for turn in Turn if possible(whistle, situation.resumes, turn is Turn.YES)]
    if flips:
        raise DocumentError("flip", f"allowed after {whistle}: {', '.join(flips)}")
    ways = [r for r in Resumes if possible(whistle, r, True)]
    raise DocumentError("resumes", f"allowed after {whistle}: {', '.join(ways)}")
