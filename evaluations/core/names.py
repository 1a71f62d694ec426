"""Whether free text names a person. Players are minors: no names anywhere; and a letter speaks of
one official alone, so none of another of the crew.

The answer is a caution to the writer and never blocks, so it errs on the side of silence: better
a name missed than a caution that people learn to click away.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import pairwise

# Letters only; O'Neil and Vale-Odell are one word each.
_WORD = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*")

# What stands before a word that begins something, where a capital says nothing: a line, a
# sentence, a quotation, a list's item, what follows a colon or a dash.
_OPENING = re.compile(r"(?:^|[.!?…:;\n\r(\[\"“„\u2018«¿¡/•*]|(?<!\w)[-–—])\s*$")

# Words that people write with a capital and that name nobody.
_TRADE = """
    referee umpire lead trail slot center centre crew table side opposite official officials
    observer court foul technical player control team home visitors visitor coach captain
    scorer timer half quarter overtime period game free throw dead ball
    principal auxiliar árbitro árbitra cancha mesa falta técnica equipo local visitante
"""
_COLOURS = """
    white black blue red green gold yellow orange purple grey gray maroon navy silver dark light
    blanco negro azul rojo verde
"""
_CALENDAR = """
    monday tuesday wednesday thursday friday saturday sunday january february march april may
    june july august september october november december
"""
_NOT_NAMES = frozenset(f"{_TRADE} {_COLOURS} {_CALENDAR}".split())


def looks_like_full_name(text: str, known: Iterable[str] = ()) -> str | None:
    """The first two capitalised words in sequence amid a sentence; None if there are none.

    Words in `known` don't count: the names of crew and observer, of teams and site.

    >>> looks_like_full_name("Talked about the block by Jonas Weller in the third.")
    'Jonas Weller'
    >>> looks_like_full_name("Blue 12 was fouled; the Lead Official had it.") is None
    True
    >>> looks_like_full_name("Raised with Nico Vale.", known=["Nico Vale"]) is None
    True
    """
    spared = _NOT_NAMES | {part for name in known for part in _parts(name)}
    for first, second in pairwise(_WORD.finditer(text)):
        side_by_side = not text[first.end() : second.start()].strip(" \t")
        words = (first.group(), second.group())
        if (
            side_by_side
            and all(_capitalised(word) for word in words)
            and spared.isdisjoint(part for word in words for part in _parts(word))
            and not _OPENING.search(text[: first.start()])
        ):
            return " ".join(words)
    return None


def mentioned(text: str, people: Iterable[str], *, besides: Iterable[str] = ()) -> str | None:
    """The first of `people` of whom any name stands in the text; None if nobody does.

    Names that somebody in `besides` bears as well say nothing, nor do those that are words of the
    trade, colours or months.

    >>> mentioned("The whistle was Nico's, not Mara's.", ["Nico Vale"], besides=["Mara Odell"])
    'Nico Vale'
    >>> mentioned("White 4 was fouled.", ["Ada White"]) is None
    True
    """
    spared = _NOT_NAMES | {part for name in besides for part in _parts(name)}
    there = {p for word in _WORD.findall(text) if _capitalised(word) for p in _parts(word)}
    found = (person for person in people if there & (set(_parts(person)) - spared))
    return next(found, None)


def _capitalised(word: str) -> bool:
    """A capital and then mostly small letters; initials and words all in capitals aren't."""
    return len(word) > 1 and word[0].isupper() and not word.isupper()


def _parts(name: str) -> list[str]:
    """A name's words in small letters, without a possessive's ending."""
    return [re.sub(r"['’]s$", "", word.casefold()) for word in _WORD.findall(name)]
