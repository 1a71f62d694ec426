"""Where two editions of a code differ, as statements that people can read.

Hundreds of situations come down to a few statements: all that turn the same outcome into the same
other one. What a statement covers is summed up by what its situations have in common, so that the
sums hold exactly the situations that differ, each once.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import product
from typing import NamedTuple

from evaluations.core.mechanics.code import (
    Administers,
    Difference,
    MechanicsCode,
    NumberScheme,
    Option,
    Outcome,
    Row,
    Situation,
    compare,
    row_for,
    situations,
)
from evaluations.core.mechanics.court import (
    POSITIONS_OF,
    Court,
    Position,
    Resumes,
    Side,
    Whistle,
    possible,
)

FIELDS = ("whistle", "resumes", "court", "flip", "caller", "side")


class When(NamedTuple):
    """What situations have in common: the values of each field. An empty field may be anything."""

    whistle: tuple[Whistle, ...] = ()
    resumes: tuple[Resumes, ...] = ()
    court: tuple[Court, ...] = ()
    flip: tuple[bool, ...] = ()
    caller: tuple[Position, ...] = ()
    side: tuple[Side, ...] = ()

    def fits(self, situation: Situation) -> bool:
        fields = zip(self, situation[1:], strict=True)
        return all(not values or value in values for values, value in fields)


class Covered(NamedTuple):
    """Situations summed up: all of their crew size that fit `when`, and no others."""

    when: When
    situations: frozenset[Situation]


class Statement(NamedTuple):
    """One outcome that becomes another one. A row None: the edition has a gap there.

    `rows_before` and `rows_after` are the indices of all rows that say so; `before` and `after`
    are the first of them.
    """

    before: Row | None
    after: Row | None
    rows_before: tuple[int, ...]
    rows_after: tuple[int, ...]
    covers: tuple[Covered, ...]

    @property
    def situations(self) -> int:
        """In how many situations."""
        return sum(len(covered.situations) for covered in self.covers)


class Remark(NamedTuple):
    """Two rows for the same situations, by index, whose note or sureness is not the same."""

    row_before: int
    row_after: int
    before: Row
    after: Row


class Comparison(NamedTuple):
    """All that differs between two editions. `schemes` is None where both show numbers alike."""

    statements: tuple[Statement, ...]
    schemes: tuple[NumberScheme, NumberScheme] | None
    remarks: tuple[Remark, ...]

    @property
    def is_empty(self) -> bool:
        return not self.statements and self.schemes is None and not self.remarks


def compared(old: MechanicsCode, new: MechanicsCode) -> Comparison:
    """The differences between two editions, in the order of a code's situations."""
    schemes = (old.number_scheme, new.number_scheme)
    return Comparison(
        statements=statements(old, new),
        schemes=None if schemes[0] is schemes[1] else schemes,
        remarks=remarks(old, new),
    )


def statements(old: MechanicsCode, new: MechanicsCode) -> tuple[Statement, ...]:
    """What the editions ask for or allow differently."""
    groups: dict[tuple[object, ...], list[Difference]] = {}
    for difference in compare(old, new):
        before, after = asked(difference.before), asked(difference.after)
        groups.setdefault((difference.situation.crew, before, after), []).append(difference)
    return tuple(_statement(old, new, group) for group in groups.values())


def remarks(old: MechanicsCode, new: MechanicsCode) -> tuple[Remark, ...]:
    """Notes that were written anew, and rows that are sure now or no longer."""
    crews = sorted({*old.crews} & {*new.crews})
    pairs = dict.fromkeys(
        (row_for(old, s), row_for(new, s)) for crew in crews for s in situations(crew)
    )
    found = []
    for first, second in pairs:
        if first is None or second is None:
            continue
        before, after = old.rows[first], new.rows[second]
        if (before.sure, dict(before.note)) != (after.sure, dict(after.note)):
            found.append(Remark(first, second, before, after))
    return tuple(found)


def asked(row: Row | None) -> object:
    """What a row asks for and allows, to be told apart by: equal for rows that say the same."""
    if row is None:
        return None
    options = tuple([(o.key, _by_place(o), frozenset(o.needs)) for o in row.options])
    return (_by_place(row), options)


def _by_place(part: Row | Option) -> tuple[frozenset[object], Administers]:
    after: Outcome = part.after
    return frozenset(after.items()), part.administers


def _statement(old: MechanicsCode, new: MechanicsCode, group: list[Difference]) -> Statement:
    found = [difference.situation for difference in group]
    return Statement(
        before=group[0].before,
        after=group[0].after,
        rows_before=_rows(old, found),
        rows_after=_rows(new, found),
        covers=summed_up(found),
    )


def _rows(code: MechanicsCode, found: Iterable[Situation]) -> tuple[int, ...]:
    return tuple(sorted({row for s in found if (row := row_for(code, s)) is not None}))


def summed_up(found: Iterable[Situation]) -> tuple[Covered, ...]:
    """Situations of one crew size as few sums, none of which holds a situation besides."""
    group = frozenset(found)
    boxes = _boxes(group) if group else []
    boxes.sort(key=lambda box: min(_ORDER[s] for s in box))
    return tuple(Covered(_common(box), box) for box in boxes)


_ORDER = {s: place for place, s in enumerate(s for crew in POSITIONS_OF for s in situations(crew))}


def _boxes(found: frozenset[Situation]) -> list[frozenset[Situation]]:
    """Parts that are each whole, cut by the field that takes the fewest of them."""
    if _is_whole(found):
        return [found]
    ways = [slices for field in FIELDS if len(slices := _slices(found, field)) > 1]
    best = min(ways, key=lambda slices: (sum(not _is_whole(s) for s in slices), len(slices)))
    return _merged([box for part in best for box in _boxes(part)])


def _slices(found: frozenset[Situation], field: str) -> list[frozenset[Situation]]:
    by_value: dict[object, set[Situation]] = {}
    for situation in sorted(found, key=_ORDER.__getitem__):
        by_value.setdefault(getattr(situation, field), set()).add(situation)
    return [frozenset(part) for part in by_value.values()]


def _merged(parts: list[frozenset[Situation]]) -> list[frozenset[Situation]]:
    for place, part in enumerate(parts):
        for other in parts[place + 1 :]:
            if _is_whole(part | other):
                rest = [p for p in parts if p is not part and p is not other]
                return _merged([part | other, *rest])
    return parts


def _is_whole(found: frozenset[Situation]) -> bool:
    """Whether no other possible situation has the same values: then there are as many of these."""
    when = _values(found)
    ways = sum(possible(*way) for way in product(when.whistle, when.resumes, when.flip))
    return len(found) == ways * len(when.court) * len(when.caller) * len(when.side)


def _values(found: frozenset[Situation]) -> When:
    rows = sorted(found, key=_ORDER.__getitem__)
    return When(
        tuple(dict.fromkeys(s.whistle for s in rows)),
        tuple(dict.fromkeys(s.resumes for s in rows)),
        tuple(dict.fromkeys(s.court for s in rows)),
        tuple(dict.fromkeys(s.flip for s in rows)),
        tuple(dict.fromkeys(s.caller for s in rows)),
        tuple(dict.fromkeys(s.side for s in rows)),
    )


def _common(box: frozenset[Situation]) -> When:
    """The values of a box, without the fields that nothing else would fit anyway."""
    everything = situations(next(iter(box)).crew)
    besides = [s for s in everything if s not in box]
    when = _values(box)
    for field in FIELDS:
        less = when._replace(**{field: ()})
        if not any(less.fits(s) for s in besides):
            when = less
    return when
