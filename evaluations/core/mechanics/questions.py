"""Plain questions about an association's manual, and the mechanics code that the answers make.

The answers choose a shipped code and change in its rows what an answer says otherwise; answers
that describe a shipped code give exactly its rows. The way back is in `code_answers`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from enum import StrEnum
from itertools import groupby

from evaluations.core.mechanics.code import (
    Administers,
    MechanicsCode,
    Needs,
    NumberScheme,
    Option,
    Outcome,
    Row,
    never_matching,
)
from evaluations.core.mechanics.court import (
    Court,
    Place,
    Position,
    Resumes,
    Side,
    Whistle,
)

LEAD, TRAIL = Position.LEAD, Position.TRAIL
FREE_THROWS = frozenset({Resumes.FREE_THROWS})
HEATED = frozenset({Needs.AGREED, Needs.HEATED_BENCH})
AGREED = frozenset({Needs.AGREED})
AFTER_TECHNICAL = frozenset({Whistle.TECHNICAL, Whistle.DISQUALIFYING})
CALLER_ENDS_LEAD = Place(LEAD, Side.OPPOSITE)


class Asked(StrEnum):
    """What is asked."""

    SWITCH = "switch"
    LONG_SWITCH = "long_switch"
    FREE_THROWS = "free_throws"
    HEATED_BENCH = "heated_bench"
    TECHNICAL = "technical"
    WITHOUT_FREE_THROWS = "without_free_throws"
    NUMBER = "number"


class Answer(StrEnum):
    """Every answer that some question has."""

    YES = "yes"
    NO = "no"
    TABLE = "table"
    OPPOSITE = "opposite"
    EITHER = "either"
    NOBODY = "nobody"
    TOGETHER = "together"
    TENS_THEN_UNITS = "tens_then_units"


Answers = Mapping[Asked, Answer]

_YES_OR_NO = (Answer.YES, Answer.NO)
_NUMBER = (Answer.TOGETHER, Answer.TENS_THEN_UNITS)

QUESTIONS: Mapping[int, Mapping[Asked, tuple[Answer, ...]]] = {
    2: {
        Asked.SWITCH: _YES_OR_NO,
        Asked.LONG_SWITCH: _YES_OR_NO,
        Asked.FREE_THROWS: (Answer.TABLE, Answer.OPPOSITE, Answer.EITHER),
        Asked.HEATED_BENCH: _YES_OR_NO,
        Asked.TECHNICAL: _YES_OR_NO,
        Asked.NUMBER: _NUMBER,
    },
    3: {
        Asked.FREE_THROWS: (Answer.TABLE, Answer.OPPOSITE),
        Asked.WITHOUT_FREE_THROWS: (Answer.TABLE, Answer.OPPOSITE, Answer.NOBODY),
        Asked.NUMBER: _NUMBER,
    },
}
"""The questions for crews of two and of three, each with its answers."""


def option_key(caller: Position | None, after: Outcome) -> str:
    """The key of an option: where it lets the caller end.

    >>> option_key(LEAD, {LEAD: Place(LEAD, Side.OPPOSITE), TRAIL: Place(TRAIL)})
    'caller_lead_opposite'
    """
    if caller is None:
        return "other_places"
    ends = after[caller]
    return "_".join(["caller", ends.position, *([ends.side] if ends.side else [])])


def base_of(crew: int, answers: Answers) -> str:
    """The key of the shipped code that is nearest to the answers."""
    if crew == 3:
        return "three_person"
    if answers[Asked.SWITCH] is Answer.NO:
        return "two_person_free_throws_only"
    if answers[Asked.LONG_SWITCH] is Answer.NO:
        return "two_person_no_long_switch"
    if answers[Asked.FREE_THROWS] is Answer.OPPOSITE:
        return "two_person_trail_opposite"
    return "two_person_every_foul"


def answered(base: MechanicsCode, answers: Answers) -> MechanicsCode:
    """The code that `base_of` names for the answers, changed where they say something else.

    A row whose outcome an answer changes loses its note, which was about the other outcome.
    """
    rows = _rows_of_three(base, answers) if 3 in base.crews else _rows_of_two(base, answers)
    made = replace(base, rows=tuple(rows), number_scheme=NumberScheme(answers[Asked.NUMBER].value))
    needless = never_matching(made)
    return replace(made, rows=tuple(r for n, r in enumerate(made.rows) if n not in needless))


def _rows_of_two(base: MechanicsCode, answers: Answers) -> Iterator[Row]:
    only_free_throws = answers[Asked.SWITCH] is Answer.NO
    if only_free_throws and answers[Asked.LONG_SWITCH] is Answer.NO:
        yield _NOBODY_IN_THE_BACK_COURT
    for row in base.rows:
        if row.caller is not None and row.resumes == FREE_THROWS:
            yield from _at_free_throws(row, answers)
        elif row.caller is not None and row.whistles == AFTER_TECHNICAL:
            yield replace(row, options=_options(row, Whistle.TECHNICAL, answers))
        else:
            if only_free_throws and not row.whistles:
                yield from _technical_throw_in(row, answers)
            yield row


_NOBODY_IN_THE_BACK_COURT = Row(
    crew=2,
    whistles=frozenset({Whistle.SHOOTING, Whistle.INTENTIONAL, *AFTER_TECHNICAL}),
    resumes=FREE_THROWS,
    court=Court.BACK,
    flip=False,
    after={LEAD: Place(LEAD), TRAIL: Place(TRAIL)},
    administers=Administers.LEAD,
)


def _at_free_throws(row: Row, answers: Answers) -> Iterator[Row]:
    """The row, split where the answers tell its whistles apart."""

    def outcome(whistle: Whistle) -> tuple[Outcome, tuple[Option, ...]]:
        return _sides(row.after, whistle, answers), _options(row, whistle, answers)

    called = sorted(row.whistles, key=list(Whistle).index)
    for (after, options), group in groupby(called, key=outcome):
        note = row.note if after == row.after else {}
        whistles = frozenset(group)
        yield replace(row, whistles=whistles, after=after, options=options, note=note)


_SIDES: Mapping[Answer, Mapping[Position, Side | None]] = {
    Answer.TABLE: {TRAIL: Side.TABLE, LEAD: Side.OPPOSITE},
    Answer.OPPOSITE: {TRAIL: Side.OPPOSITE, LEAD: Side.TABLE},
    Answer.EITHER: {TRAIL: None, LEAD: None},
}
"""Lead and trail at free throws are across from each other."""
_SIDES_AFTER_TECHNICAL: Mapping[Position, Side | None] = {TRAIL: Side.OPPOSITE, LEAD: None}
"""Where others stand trail at the table, a technical foul's caller does not."""


def _sides(after: Outcome, whistle: Whistle, answers: Answers) -> Outcome:
    answer = answers[Asked.FREE_THROWS]
    at_the_table = whistle is Whistle.TECHNICAL and answer is Answer.TABLE
    sides = _SIDES_AFTER_TECHNICAL if at_the_table else _SIDES[answer]
    return {was: Place(p.position, sides[p.position]) for was, p in after.items()}


def _options(row: Row, whistle: Whistle, answers: Answers) -> tuple[Option, ...]:
    """Lead, opposite the table, instead of trail, where the association allows it."""
    technical = whistle in AFTER_TECHNICAL
    allowed = answers[Asked.TECHNICAL if technical else Asked.HEATED_BENCH] is Answer.YES
    caller = row.caller
    if caller is None or not allowed or row.after[caller].position is not TRAIL:
        return ()
    if row.flip and answers[Asked.LONG_SWITCH] is Answer.NO:
        return ()
    partner = TRAIL if caller is LEAD else LEAD
    after = {caller: CALLER_ENDS_LEAD, partner: Place(TRAIL)}
    needs = AGREED if technical else HEATED
    return (Option(option_key(caller, after), after, row.administers, needs),)


def _technical_throw_in(row: Row, answers: Answers) -> Iterator[Row]:
    """Rows before one for all whistles, for a technical foul's caller who stays trail."""
    short = answers[Asked.LONG_SWITCH] is Answer.NO
    for caller, place in row.after.items():
        own = replace(
            row,
            whistles=AFTER_TECHNICAL,
            caller=caller,
            court=Court.FRONT if short else None,
        )
        options = _options(own, Whistle.TECHNICAL, answers)
        if options and place.position is TRAIL:
            yield replace(own, options=options)


_OF_NO_FOUL = frozenset({Whistle.VIOLATION, Whistle.HELD_BALL})


def _rows_of_three(base: MechanicsCode, answers: Answers) -> Iterator[Row]:
    without = answers[Asked.WITHOUT_FREE_THROWS]
    for row in base.rows:
        if row.resumes == FREE_THROWS:
            mirror = answers[Asked.FREE_THROWS] is Answer.OPPOSITE
            yield _mirrored(row) if mirror else row
        elif without is Answer.NOBODY:
            # The rows for no foul then hold for every whistle without free throws.
            if row.whistles == _OF_NO_FOUL:
                yield replace(row, whistles=frozenset(), note={})
        elif without is Answer.OPPOSITE and row.whistles != _OF_NO_FOUL:
            yield _mirrored(row)
        else:
            yield row


_ACROSS = {None: None, Side.TABLE: Side.OPPOSITE, Side.OPPOSITE: Side.TABLE}


def _mirrored(row: Row) -> Row:
    """The row with table side and opposite exchanged, in what it names and in what it asks for."""
    after = {was: Place(p.position, _ACROSS[p.side]) for was, p in row.after.items()}
    return replace(row, side=_ACROSS[row.side], after=after, note={})
