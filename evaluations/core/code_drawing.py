"""A row of a mechanics code as words and as two small courts: before the whistle, and live again.

Before, a ring stands for each official with a letter for the position, and a star for who called.
Afterwards a square stands where the code sends each, with the letters of the way: "L → T", and a
broken arrow comes from where he or she was. On no side in particular is in the middle; a side that
the code leaves free is told by "↕". Each court has the same in words as its text.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from evaluations.core.court_drawing import Mark, Marked, court
from evaluations.core.drawing import Drawing
from evaluations.core.mechanics import words
from evaluations.core.mechanics.code import Outcome, Row
from evaluations.core.mechanics.code_compare import When
from evaluations.core.mechanics.court import (
    POSITIONS_OF,
    End,
    Place,
    Position,
    Resumes,
    Whistle,
)
from evaluations.core.voice import Voice

BASKET = End.RIGHT
"""Under attack before the whistle, on every row's court."""


class Courts(NamedTuple):
    before: Drawing
    after: Drawing


def when_of(row: Row) -> When:
    """What a row names, in the order in which it is read."""
    return When(
        whistle=tuple(w for w in Whistle if w in row.whistles),
        resumes=tuple(r for r in Resumes if r in row.resumes),
        court=() if row.court is None else (row.court,),
        flip=() if row.flip is None else (row.flip,),
        caller=() if row.caller is None else (row.caller,),
        side=() if row.side is None else (row.side,),
    )


def ways(voice: Voice, after: Outcome) -> Iterator[str]:
    """Who goes where, one sentence for each member: "The lead ends trail, table side." """
    _ = voice.text
    for was in POSITIONS_OF[len(after)]:
        place = after[was]
        names = {"was": words.position(voice, was), "place": words.place(voice, place)}
        if was is place.position:
            yield _("The %(was)s stays %(place)s.") % names
        else:
            yield _("The %(was)s becomes %(place)s.") % names


def row_courts(voice: Voice, row: Row) -> Courts:
    """The two courts of a row. Where the direction may or may not turn, it stays on them."""
    basket = BASKET.other if row.flip else BASKET
    before = {was: _before(row, was) for was in POSITIONS_OF[row.crew]}
    due = {
        was: Marked(Mark.DUE, place, basket, _way(voice, was, place))
        for was, place in row.after.items()
    }
    moves = [(before[was], due[was]) for was in due if before[was].spot != due[was].spot]
    said = " ".join(ways(voice, row.after))
    rings = [_named(voice, row, was, mark) for was, mark in before.items()]
    left = [start for start, _end in moves]
    return Courts(
        before=court(rings, _said_before(voice, row)),
        after=court([*left, *due.values()], said, moves=moves),
    )


def _before(row: Row, was: Position) -> Marked:
    side = row.side if was is row.caller else None
    return Marked(Mark.BEFORE, Place(was, side), BASKET)


def _named(voice: Voice, row: Row, was: Position, mark: Marked) -> Marked:
    letter = _letter(voice, was)
    return mark._replace(label=f"{letter}*" if was is row.caller else letter)


def _way(voice: Voice, was: Position, place: Place) -> str:
    letters = [_letter(voice, position) for position in (was, place.position)]
    way = letters[1] if was is place.position else " → ".join(letters)
    return way if place.side else f"{way} ↕"


def _letter(voice: Voice, position: Position) -> str:
    """A language whose words begin alike translates these to something that tells them apart."""
    _ = voice.text
    return {Position.LEAD: _("L"), Position.TRAIL: _("T"), Position.CENTRE: _("C")}[position]


def _said_before(voice: Voice, row: Row) -> str:
    _ = voice.text
    if row.caller is None:
        return _("Before the whistle: whoever called.")
    where = words.position(voice, row.caller)
    if row.side is not None:
        where = words.place(voice, Place(row.caller, row.side))
    return _("Before the whistle: the caller is %(where)s.") % {"where": where}
