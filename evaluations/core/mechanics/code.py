"""A mechanics code as data: the first row that matches a situation says who goes where.

What a row leaves blank matches all. Outcomes are written out, nothing is derived: each row names
the place of every member afterwards, by the position before. A code covers every possible
situation of the crew sizes that it declares.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from itertools import product
from typing import NamedTuple

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

Texts = Mapping[str, str]
"""A text by language."""


class CodeError(ValueError):
    """A code that can't be used. `field` names the value, as in `rows[3].after`."""

    def __init__(self, field: str, message: str) -> None:
        super().__init__(f"{field}: {message}")
        self.field = field
        self.message = message


class Administers(StrEnum):
    """Who hands the ball over, by position afterwards; or who owns the line of the throw-in."""

    LEAD = "lead"
    TRAIL = "trail"
    CENTRE = "centre"
    LINE_OWNER = "line_owner"


class Needs(StrEnum):
    """What must hold before an option may be used."""

    AGREED = "agreed"
    HEATED_BENCH = "heated_bench"


class NumberScheme(StrEnum):
    """How a caller's hands give a number: see `number_signals`."""

    TOGETHER = "together"
    TENS_THEN_UNITS = "tens_then_units"


class Situation(NamedTuple):
    """Everything that a code decides by. `caller` and `side` are the caller's before."""

    crew: int
    whistle: Whistle
    resumes: Resumes
    court: Court
    flip: bool
    caller: Position
    side: Side


def situations(crew: int) -> Iterator[Situation]:
    """Every situation that a crew of this size can be in."""
    parts = product(Whistle, Resumes, Court, (False, True), POSITIONS_OF[crew], Side)
    for whistle, resumes, court, flip, caller, side in parts:
        if possible(whistle, resumes, flip):
            yield Situation(crew, whistle, resumes, court, flip, caller, side)


Outcome = Mapping[Position, Place]
"""The place afterwards of each member, by the position before."""


@dataclass(frozen=True, slots=True)
class Option:
    """What is allowed instead of a row's outcome when all of `needs` hold."""

    key: str
    after: Outcome
    administers: Administers
    needs: frozenset[Needs] = frozenset()


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a code. None, and no whistle or resumption named, match all."""

    crew: int
    after: Outcome
    administers: Administers
    whistles: frozenset[Whistle] = frozenset()
    resumes: frozenset[Resumes] = frozenset()
    court: Court | None = None
    flip: bool | None = None
    caller: Position | None = None
    side: Side | None = None
    options: tuple[Option, ...] = ()
    sure: bool = True
    note: Texts = field(default_factory=dict)

    def matches(self, situation: Situation) -> bool:
        return (
            self.crew == situation.crew
            and (not self.whistles or situation.whistle in self.whistles)
            and (not self.resumes or situation.resumes in self.resumes)
            and self.court in (None, situation.court)
            and self.flip in (None, situation.flip)
            and self.caller in (None, situation.caller)
            and self.side in (None, situation.side)
        )


@dataclass(frozen=True, slots=True)
class MechanicsCode:
    """An association's table of who goes where, in one edition.

    Raises:
        CodeError: an outcome that no crew can stand in. Gaps are not refused here: `gaps` lists
            them while a code is in work, `require_complete` refuses.
    """

    key: str
    edition: str
    name: Texts
    source: Texts
    crews: tuple[int, ...]
    number_scheme: NumberScheme
    rows: tuple[Row, ...]

    def __post_init__(self) -> None:
        if not self.crews or any(crew not in POSITIONS_OF for crew in self.crews):
            raise CodeError("crews", "must name crew sizes: 2, 3")
        for number, row in enumerate(self.rows):
            if row.crew not in self.crews:
                raise CodeError(f"rows[{number}].crew", "is none of the code's crew sizes")
            if row.caller not in (None, *POSITIONS_OF[row.crew]):
                raise CodeError(f"rows[{number}].caller", "is no position of this crew")
            _check_outcome(row.crew, row.after, row.administers, f"rows[{number}]")
            for place, option in enumerate(row.options):
                at = f"rows[{number}].options[{place}]"
                _check_outcome(row.crew, option.after, option.administers, at)

    @property
    def option_keys(self) -> frozenset[str]:
        return frozenset(option.key for row in self.rows for option in row.options)


def _check_outcome(crew: int, after: Outcome, administers: Administers, at: str) -> None:
    filled = set(POSITIONS_OF[crew])
    if set(after) != filled or {place.position for place in after.values()} != filled:
        names = ", ".join(POSITIONS_OF[crew])
        raise CodeError(f"{at}.after", f"must send {names} to {names}, one each")
    sides = {place.position: place.side for place in after.values()}
    centre, trail = sides.get(Position.CENTRE), sides[Position.TRAIL]
    if centre is not None and centre is trail:
        raise CodeError(f"{at}.after", "trail and centre must be on opposite sides")
    if crew == 2 and administers is Administers.CENTRE:
        raise CodeError(f"{at}.administers", "a crew of two has no centre")


def row_for(code: MechanicsCode, situation: Situation) -> int | None:
    """The index of the first row that matches, or None."""
    return next((n for n, row in enumerate(code.rows) if row.matches(situation)), None)


def gaps(code: MechanicsCode) -> tuple[Situation, ...]:
    """The situations that no row covers."""
    return tuple(s for crew in code.crews for s in situations(crew) if row_for(code, s) is None)


def never_matching(code: MechanicsCode) -> tuple[int, ...]:
    """Indices of the rows that come first in no possible situation."""
    used = {row_for(code, s) for crew in code.crews for s in situations(crew)}
    return tuple(n for n in range(len(code.rows)) if n not in used)


def require_complete(code: MechanicsCode) -> None:
    """Refuse a code with a gap.

    Raises:
        CodeError: with the first situation that no row covers.
    """
    for gap in gaps(code):
        raise CodeError("rows", f"no row covers {describe(gap)}")


def describe(situation: Situation) -> str:
    """A situation by its fields, in one line."""
    crew, whistle, resumes, court, flip, caller, side = situation
    turn = "flip" if flip else "same direction"
    return f"crew {crew}, {whistle}, {resumes}, {court} court, {turn}, caller {caller} {side}"


class Explanation(NamedTuple):
    """Why a row applies: what it names of the situation, and what it leaves blank."""

    row_index: int
    row: Row
    because: Mapping[str, str]
    left_blank: tuple[str, ...]


def explain(code: MechanicsCode, situation: Situation) -> Explanation | None:
    """The row for a situation and what in it decided; None where no row covers it."""
    index = row_for(code, situation)
    if index is None:
        return None
    row = code.rows[index]
    named = {
        "whistle": (bool(row.whistles), situation.whistle.value),
        "resumes": (bool(row.resumes), situation.resumes.value),
        "court": (row.court is not None, situation.court.value),
        "flip": (row.flip is not None, "yes" if situation.flip else "no"),
        "caller": (row.caller is not None, situation.caller.value),
        "side": (row.side is not None, situation.side.value),
    }
    return Explanation(
        index,
        row,
        {name: value for name, (decides, value) in named.items() if decides},
        tuple(name for name, (decides, _value) in named.items() if not decides),
    )


class Difference(NamedTuple):
    """A situation in which two codes or editions don't say the same. None: no row covers it."""

    situation: Situation
    before: Row | None
    after: Row | None


def compare(old: MechanicsCode, new: MechanicsCode) -> tuple[Difference, ...]:
    """Where two editions differ in what they ask for or allow; notes don't count."""
    crews = sorted({*old.crews, *new.crews})
    found = []
    for situation in (s for crew in crews for s in situations(crew)):
        first, second = (_row(code, situation) for code in (old, new))
        if _asks(first) != _asks(second):
            found.append(Difference(situation, first, second))
    return tuple(found)


def _row(code: MechanicsCode, situation: Situation) -> Row | None:
    index = row_for(code, situation)
    return None if index is None else code.rows[index]


def _asks(row: Row | None) -> object:
    return None if row is None else (dict(row.after), row.administers, row.options)
