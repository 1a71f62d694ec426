"""A mechanics code in words: when a row holds, what it asks for, what it allows instead."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from evaluations.core.mechanics import words
from evaluations.core.mechanics.code import Administers, Needs, NumberScheme, Situation
from evaluations.core.mechanics.code_compare import When
from evaluations.core.mechanics.court import Place, Position, Side
from evaluations.core.voice import Voice

APART = " · "


def when(voice: Voice, common: When) -> str:
    """What situations have in common, such as "common foul · back court · caller: lead"."""
    _ = voice.text
    parts = [
        either(voice, (words.whistle(voice, w) for w in common.whistle)),
        either(voice, (words.resumes(voice, r) for r in common.resumes)),
        either(voice, (words.court_part(voice, c) for c in common.court)),
        either(voice, (turn(voice, flip) for flip in common.flip)),
        _caller(voice, common.caller, common.side),
    ]
    return APART.join(part for part in parts if part) or _("in every situation")


def situation(voice: Voice, value: Situation) -> str:
    """One situation by all of its fields."""
    _crew, whistle, resumes, court, flip, caller, side = value
    return when(voice, When((whistle,), (resumes,), (court,), (flip,), (caller,), (side,)))


def _caller(voice: Voice, callers: Sequence[Position], sides: Sequence[Side]) -> str:
    _ = voice.text
    if len(callers) == 1 and len(sides) == 1:
        where = words.place(voice, Place(callers[0], sides[0]))
    else:
        positions = either(voice, (words.position(voice, c) for c in callers))
        side = either(voice, (words.side(voice, s) for s in sides))
        where = ", ".join(part for part in (positions, side) if part)
    return _("caller: %(where)s") % {"where": where} if where else ""


def turn(voice: Voice, flip: bool) -> str:
    """Whether the direction of play turns."""
    _ = voice.text
    return _("direction turns") if flip else _("direction stays")


def administers(voice: Voice, value: Administers) -> str:
    """Who hands the ball over."""
    _ = voice.text
    return {
        Administers.LEAD: _("the lead"),
        Administers.TRAIL: _("the trail"),
        Administers.CENTRE: _("the centre"),
        Administers.LINE_OWNER: _("who owns the line"),
    }[value]


def need(voice: Voice, value: Needs) -> str:
    """What must hold before an option may be used."""
    _ = voice.text
    return {
        Needs.AGREED: _("agreed before the game"),
        Needs.HEATED_BENCH: _("a heated bench"),
    }[value]


def number_scheme(voice: Voice, value: NumberScheme) -> str:
    """How the hands give a number."""
    _ = voice.text
    return {
        NumberScheme.TOGETHER: _("both hands together"),
        NumberScheme.TENS_THEN_UNITS: _("tens, then units"),
    }[value]


def either(voice: Voice, values: Iterable[str]) -> str:
    """Words joined by "or"; nothing where there are none.

    >>> from evaluations.core.voice import PlainEnglish
    >>> either(PlainEnglish(), ["lead", "trail", "centre"])
    'lead, trail or centre'
    """
    _ = voice.text
    *rest, last = [*values] or [""]
    if not rest:
        return last
    return _("%(some)s or %(last)s") % {"some": ", ".join(rest), "last": last}
