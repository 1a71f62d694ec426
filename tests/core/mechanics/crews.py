"""Dead balls and shipped codes that the tests of mechanics speak of.

All codes here are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from evaluations.core.code_document import read_code
from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.code import MechanicsCode, Situation
from evaluations.core.mechanics.court import (
    POSITIONS_OF,
    Court,
    Place,
    Position,
    Resumes,
    Side,
    Whistle,
)
from evaluations.core.mechanics.engine import Engine, Finding
from evaluations.core.mechanics.facts import DeadBall, Log, Source, Stood
from evaluations.core.mechanics.judging import Verdict

SHIPPED = Path(__file__).parents[3] / "evaluations" / "shipped" / "mechanics"
TWO_PERSON = (
    "two_person_every_foul",
    "two_person_no_long_switch",
    "two_person_free_throws_only",
    "two_person_trail_opposite",
)
ALL_CODES = (*TWO_PERSON, "three_person")
DEFAULT = "two_person_every_foul"

REFEREE, UMPIRE = CrewPosition.REFEREE, CrewPosition.UMPIRE
UMPIRE_1, UMPIRE_2 = CrewPosition.UMPIRE_1, CrewPosition.UMPIRE_2
MET, NOT_MET, NOT_JUDGED = Verdict.MET, Verdict.NOT_MET, Verdict.NOT_JUDGED


@cache
def code(key: str = DEFAULT) -> MechanicsCode:
    return read_code((SHIPPED / f"{key}.toml").read_bytes())


@cache
def engine(key: str = DEFAULT, *, film_rules: bool = False) -> Engine:
    shipped = code(key)
    return Engine(shipped, shipped.crews[0], film_rules=film_rules)


def place(text: str) -> Place:
    """A place such as "trail table"; "trail" is on either side."""
    position, _space, side = text.partition(" ")
    return Place(Position(position), Side(side) if side else None)


def stood(text: str) -> Stood:
    """As `place`, but seen: a side that isn't named wasn't seen."""
    seen = place(text)
    return Stood(seen.position, seen.side)


def standing(**places: str) -> Mapping[CrewPosition, Stood]:
    return {CrewPosition(member): stood(text) for member, text in places.items()}


def shooting(**facts: Any) -> DeadBall:
    """The referee, lead and opposite the table, calls a foul with free throws."""
    given: dict[str, Any] = {
        "number": 1,
        "whistle": Whistle.SHOOTING,
        "caller": REFEREE,
        "resumes": Resumes.FREE_THROWS,
        "court": Court.FRONT,
        "flip": False,
        "before": standing(referee="lead opposite", umpire="trail table"),
    }
    return DeadBall(**(given | facts))


def in_situation(situation: Situation, **facts: Any) -> DeadBall:
    """The referee calls; the umpires hold the other positions in their order."""
    others = [p for p in POSITIONS_OF[situation.crew] if p is not situation.caller]
    umpires = (UMPIRE,) if situation.crew == 2 else (UMPIRE_1, UMPIRE_2)
    before = {REFEREE: Stood(situation.caller, situation.side)}
    before |= {umpire: Stood(p) for umpire, p in zip(umpires, others, strict=True)}
    given: dict[str, Any] = {
        "number": 1,
        "whistle": situation.whistle,
        "caller": REFEREE,
        "resumes": situation.resumes,
        "court": situation.court,
        "flip": situation.flip,
        "before": before,
    }
    return DeadBall(**(given | facts))


def log(ball: DeadBall, *, crew: int = 2, **facts: Any) -> Log:
    return Log(crew, (ball,), **facts)


def findings(
    ball: DeadBall,
    key: str = DEFAULT,
    *,
    agreed: Iterable[str] | None = (),
    film: bool = False,
) -> tuple[Finding, ...]:
    made = engine(key, film_rules=film)
    options = None if agreed is None else frozenset(agreed)
    source = Source.FILM if film else Source.LIVE
    return made.findings(log(ball, crew=made.table.crew, agreed=options, source=source))


def verdicts(found: Iterable[Finding], rule: str) -> dict[CrewPosition | None, Verdict]:
    """Whose duty by the rule it was, and how it was judged."""
    return {f.member: f.verdict for f in found if f.rule == rule}
