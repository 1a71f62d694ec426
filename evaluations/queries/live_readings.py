"""What each tap of the live page means, ready to be read: its script knows no mechanics.

A table, by zone and whether it is in the back court, of what the page says for whoever called, and
of who is then at the left end; and what the third tap makes of the ends. Ends are named by who of
the crew is at the left one, as seen from the table, "" while that isn't known.
"""

from __future__ import annotations

from typing import Any

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics import words
from evaluations.core.mechanics.court import POSITIONS_OF, End, Place, Position
from evaluations.core.mechanics.taps import Tap, ball_of, ends_after, ends_at, ends_with
from evaluations.core.mechanics.zones import Ends, Zone, stand
from evaluations.core.voice import Voice
from evaluations.queries.live_log import LiveSheet, Names

LAST_PERIOD = 20
"""Quarters or halves, and overtimes."""

NOT_SEEN = "not_seen"
SWITCHED = {"switched": True, "stayed": False, NOT_SEEN: None}
"""The third tap in a crew of two."""


def called(member: CrewPosition, position: Position | None) -> str:
    """A caller of a crew of three with the position, as one answer."""
    return f"{member}-{position or NOT_SEEN}"


def at_left(ends: Ends | None) -> str:
    """Who is at the left end, as the page's script knows ends."""
    found = (member.value for member, end in (ends or {}).items() if end is End.LEFT)
    return next(found, "")


def readings(sheet: LiveSheet, voice: Voice) -> dict[str, Any]:
    """The table, as plain data."""
    zones: tuple[Zone | None, ...] = (None, *Zone)
    return {
        "zones": {
            zone or NOT_SEEN: [_reading(sheet.names, zone, back, voice) for back in (False, True)]
            for zone in zones
        },
        "after": _after(sheet.names) if sheet.crew_size == 2 else {},
        "ends": {at_left(ends): _ends(sheet.names, ends) for ends in _all_ends(sheet.names)},
    }


def _reading(names: Names, zone: Zone | None, back: bool, voice: Voice) -> dict[str, Any]:
    if len(names) == 3:
        return {"words": _words_of_three(names, zone, voice), "ends": {}}
    place = ""
    if zone is not None:
        where = stand(zone, back)
        place = words.place(voice, Place(where.position, where.side))
    taps = {member: Tap(zone, None, member, back_court=back) for member in names}
    ends = {member: at_left(ends_at(ball_of(tap, 2), None)) for member, tap in taps.items()}
    said = {member.value: _joined(name, place) for member, name in names.items()}
    return {"words": {**said, **_unsaid(place, voice)}, "ends": ends if zone else {}}


def _words_of_three(names: Names, zone: Zone | None, voice: Voice) -> dict[str, str]:
    side = None if zone is None else zone.side
    where = "" if side is None else words.side(voice, side)
    said = {called(m, None): _joined(name, where) for m, name in names.items()}
    for member, name in names.items():
        for position in POSITIONS_OF[3]:
            held = words.position(voice, position)
            said[called(member, position)] = _joined(name, held, where)
    return {**said, **_unsaid(where, voice)}


def _unsaid(place: str, voice: Voice) -> dict[str, str]:
    _ = voice.text
    return {NOT_SEEN: _joined(_("caller not seen"), place), "": _joined(place, _("who called?"))}


def _joined(*parts: str) -> str:
    return ", ".join(part for part in parts if part)


def _after(names: Names) -> dict[str, dict[str, str]]:
    """By the third tap: who is at the left end then, by who was."""
    taps = {word: Tap(None, None, None, switched=switched) for word, switched in SWITCHED.items()}
    return {
        word: {member: at_left(ends_after(ball_of(tap, 2), ends_with(member))) for member in names}
        for word, tap in taps.items()
    }


def _all_ends(names: Names) -> tuple[Ends | None, ...]:
    return (None, *(ends_with(member) for member in names)) if len(names) == 2 else (None,)


def _ends(names: Names, ends: Ends | None) -> dict[str, str]:
    return {end.value: names[member] for member, end in (ends or {}).items()}


def standing(sheet: LiveSheet) -> dict[str, Any]:
    """Who is at the left end, and in which periods the next whistle may be for that to hold."""
    periods = (None, *range(1, LAST_PERIOD + 1))
    held = ["" if p is None else str(p) for p in periods if sheet.ends_in(p) is not None]
    return {"left": at_left(sheet.ends), "periods": held}
