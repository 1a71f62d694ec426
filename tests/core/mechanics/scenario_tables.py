"""Scenario tables: what a mechanics code asks for, a named line for each kind of dead ball.

Each file in `scenarios/` has a code's table, with the source of its lines above them. Columns are
divided by bars. A column of the situation holds one word or several, or "any"; the line stands for
every possible situation that its words make. A caller is written "lead" (on either side) or
"lead table". The last column is empty or says "not sure".
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import product
from pathlib import Path
from typing import NamedTuple

from evaluations.core.mechanics.code import Situation
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
from tests.core.mechanics.crews import place

NO_SOURCE = "common practice, no source"
TABLES = Path(__file__).parent / "scenarios"
DIRECTIONS = {"same": (False,), "turns": (True,), "any": (False, True)}


class Scenario(NamedTuple):
    """`due`: the places afterwards in the order of the table's columns.

    `moves` is "stay", "switch" (two officials exchange ends) or, in a crew of three, "shift"
    (places change, and nobody goes from one end to the other).
    """

    name: str
    situations: tuple[Situation, ...]
    due: tuple[Place, ...]
    administers: str
    moves: str
    sure: bool
    source: str


@cache
def table(key: str) -> tuple[Scenario, ...]:
    """The scenarios of a shipped code."""
    source, found = "", []
    crew = 3 if key == "three_person" else 2
    for line in (TABLES / f"{key}.txt").read_text(encoding="utf-8").splitlines():
        if line.startswith("source: "):
            source = line.removeprefix("source: ")
        elif "|" in line and not line.startswith("scenario |"):
            found.append(_scenario(crew, [column.strip() for column in line.split("|")], source))
    return tuple(found)


def _scenario(crew: int, columns: list[str], source: str) -> Scenario:
    name, whistles, resumes, courts, direction, caller = columns[:6]
    due, (administers, moves, sure) = columns[6 : 6 + crew], columns[6 + crew :]
    assert moves in ("stay", "switch", "shift")
    assert sure in ("", "not sure")
    return Scenario(
        f"{name}, {caller} calls",
        tuple(_situations(crew, whistles, resumes, courts, direction, caller)),
        tuple(place(text) for text in due),
        administers,
        moves,
        not sure,
        source,
    )


def _situations(
    crew: int, whistles: str, resumes: str, courts: str, direction: str, caller: str
) -> Iterator[Situation]:
    position, _space, side = caller.partition(" ")
    assert Position(position) in POSITIONS_OF[crew]
    for whistle, way, court, flip, where in product(
        [Whistle(word) for word in whistles.split()],
        [Resumes(word) for word in resumes.split()],
        Court if courts == "any" else [Court(courts)],
        DIRECTIONS[direction],
        [Side(side)] if side else Side,
    ):
        if possible(whistle, way, flip):
            yield Situation(crew, whistle, way, court, flip, Position(position), where)
