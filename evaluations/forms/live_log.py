"""One whistle as it is tapped: three taps, and what may be said beside them."""

from __future__ import annotations

import re
import uuid
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from django import forms
from django.core.validators import MaxLengthValidator
from django.forms.boundfield import BoundWidget
from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics import words
from evaluations.core.mechanics.court import POSITIONS_OF, End, Position, Side
from evaluations.core.mechanics.facts import Stood
from evaluations.core.mechanics.taps import Mark, Tap
from evaluations.core.mechanics.zones import Follows, Seat, Zone, caller_at, seen_from, stand
from evaluations.core.voice import Voice
from evaluations.forms.fields import WrittenField
from evaluations.queries.live_log import LiveSheet
from evaluations.queries.live_readings import LAST_PERIOD, NOT_SEEN, SWITCHED, called

OVERTIME = 5
"""The first period after four quarters."""
NOTE_LIMIT = 500
_CLOCK = re.compile(r"(?:([0-9]{1,2})[:. ]?)?([0-5][0-9])(\.[0-9])?\Z")

Choices = list[tuple[str, str]]


class ClockField(forms.CharField):
    """The game clock as a thumb types it: "512" and "5.12" are 5:12, "42.3" is 0:42.3."""

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value)
        if not text:
            return text
        found = _CLOCK.match(text)
        if found is None:
            raise forms.ValidationError(_("Give minutes and seconds, such as 4:31 or 431."))
        minutes, seconds, tenths = found.groups(default="")
        return f"{minutes or 0}:{seconds}{tenths}"


class WhistleForm(forms.Form):
    """The taps of one whistle. Its buttons are the third tap, so that it needs no other."""

    marks_optional = False
    client_id = forms.UUIDField(widget=forms.HiddenInput)
    zone = forms.ChoiceField(
        label=gettext_lazy("Where the caller stood"),
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Tap where the caller stood.")},
    )
    back_court = forms.BooleanField(label=gettext_lazy("Back court"), required=False)
    caller = forms.ChoiceField(
        label=gettext_lazy("Who called"), required=False, widget=forms.RadioSelect
    )
    follows = forms.ChoiceField(
        label=gettext_lazy("What follows"),
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Tap what follows.")},
    )
    turned = forms.ChoiceField(
        label=gettext_lazy("Direction"), required=False, initial="", widget=forms.RadioSelect
    )
    third = forms.ChoiceField(
        label=gettext_lazy("The third tap"),
        error_messages={"required": gettext_lazy("Make the third tap.")},
    )
    period = forms.ChoiceField(
        label=gettext_lazy("Period"), required=False, widget=forms.RadioSelect
    )
    clock = ClockField(
        label=gettext_lazy("Clock"),
        required=False,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "size": 6}),
    )

    def __init__(self, sheet: LiveSheet, voice: Voice, data: QueryDict | None = None) -> None:
        last = None if sheet.last is None else sheet.last.period
        fresh = {"client_id": uuid.uuid4(), "period": "" if last is None else str(last)}
        super().__init__(data, initial=fresh)
        self.sheet = sheet
        self.floor = seen_from(Seat(sheet.log.seat))
        zones = [(zone.value, words.zone(voice, zone)) for row in self.floor for zone in row]
        self._offer("zone", [*zones, _not_seen()])
        self._offer("caller", [*_callers(sheet, voice), _not_seen()])
        self._offer("follows", [*_follows(), _not_seen()])
        self._offer("turned", [("", _("as usual")), ("yes", _("turned")), ("no", _("stayed"))])
        self._offer("period", _periods(last))
        self._offer("third", [c for _side, row in _thirds(sheet, voice) for c in row])
        self.thirds = _thirds(sheet, voice)
        for rule, answers in sheet.marks:
            self.fields[_mark_name(rule)] = forms.ChoiceField(
                label=words.rule(voice, rule),
                choices=[(mark.value, _mark_words(mark)) for mark in answers],
                required=False,
                widget=forms.RadioSelect,
            )

    def _offer(self, name: str, choices: Choices) -> None:
        field = self.fields[name]
        assert isinstance(field, forms.ChoiceField)
        field.choices = choices

    @property
    def marks(self) -> list[forms.BoundField]:
        return [self[_mark_name(rule)] for rule, _answers in self.sheet.marks]

    @property
    def ends_drawn(self) -> list[tuple[End, str]]:
        """The ends as they are drawn, the left or the far one first, and who is there if known."""
        ends = (self.floor[0][0].end, self.floor[-1][-1].end)
        known = {end: self.sheet.names[member] for member, end in (self.sheet.ends or {}).items()}
        return [(end, known.get(end, "")) for end in ends]

    @property
    def caller_rows(self) -> Iterator[tuple[str, list[BoundWidget]]]:
        """For a crew of three: each one's name and answers."""
        answers, each = list(self["caller"]), len(POSITIONS_OF[3]) + 1
        for place, name in enumerate(self.sheet.names.values()):
            yield name, answers[place * each : (place + 1) * each]

    def clean(self) -> dict[str, Any]:
        """Without a word on who called, the ends say it."""
        said = super().clean() or {}
        if said.get("caller") or {"zone", "caller", "period"} & self.errors.keys():
            return said
        by_ends = self._caller_by_ends(said)
        if by_ends is None:
            self.add_error("caller", _("Say who called, or that you didn't see it."))
        said["caller"] = by_ends or ""
        return said

    def _caller_by_ends(self, said: dict[str, Any]) -> CrewPosition | None:
        ends = self.sheet.ends_in(_number(said["period"]))
        if ends is None or said["zone"] == NOT_SEEN:
            return None
        return caller_at(stand(Zone(said["zone"]), said["back_court"]), ends)

    @property
    def tap(self) -> Tap:
        """Of a valid form only."""
        said = self.cleaned_data
        marks = {rule: said[_mark_name(rule)] for rule, _answers in self.sheet.marks}
        member, _dash, position = said["caller"].partition("-")
        tap = Tap(
            zone=None if said["zone"] == NOT_SEEN else Zone(said["zone"]),
            follows=None if said["follows"] == NOT_SEEN else Follows(said["follows"]),
            caller=None if member == NOT_SEEN else CrewPosition(member),
            back_court=said["back_court"],
            turned={"": None, "yes": True, "no": False}[said["turned"]],
            marks={rule: Mark(mark) for rule, mark in marks.items() if mark},
            period=_number(said["period"]),
            clock=said["clock"],
        )
        if self.sheet.crew_size == 2:
            return replace(tap, switched=SWITCHED[said["third"]])
        stood = None if position in ("", NOT_SEEN) else Position(position)
        return replace(tap, stood=stood, ended=_ended(said["third"]))


class NoteForm(forms.Form):
    """A note to the whistle that was logged last."""

    client_id = forms.UUIDField(widget=forms.HiddenInput)
    note = WrittenField(
        label=gettext_lazy("Note"),
        rows=2,
        budget=NOTE_LIMIT,
        validators=[MaxLengthValidator(NOTE_LIMIT)],
        help_text=gettext_lazy("Players by jersey colour only, no names."),
    )


class WhistleIdForm(forms.Form):
    """Which whistle is taken back or put back."""

    client_id = forms.UUIDField(widget=forms.HiddenInput)


def _not_seen() -> tuple[str, str]:
    return NOT_SEEN, _("not seen")


def _callers(sheet: LiveSheet, voice: Voice) -> Choices:
    if sheet.crew_size == 2:
        return [(member.value, name) for member, name in sheet.names.items()]
    return [
        (called(member, position), _("not seen") if position is None else said)
        for member in sheet.names
        for position, said in [*_positions(voice), (None, "")]
    ]


def _positions(voice: Voice) -> list[tuple[Position, str]]:
    return [(position, words.position(voice, position)) for position in POSITIONS_OF[3]]


def _follows() -> Choices:
    said = {
        Follows.FREE_THROWS: _("Free throws"),
        Follows.END_LINE: _("End line"),
        Follows.SIDE_LINE: _("Side line"),
        Follows.PLAYER_CONTROL: _("Player control"),
        Follows.TECHNICAL: _("Technical"),
        Follows.NO_FOUL: _("No foul"),
    }
    return [(follows.value, said[follows]) for follows in Follows]


def _thirds(sheet: LiveSheet, voice: Voice) -> list[tuple[str, Choices]]:
    """The third tap in rows: what they are about, and their answers."""
    unseen = (NOT_SEEN, _("Not seen"))
    if sheet.crew_size == 2:
        return [("", [("switched", _("Switched")), ("stayed", _("Stayed")), unseen])]
    near_last = (Side.OPPOSITE, Side.TABLE)
    sides = near_last[::-1] if sheet.log.seat == Seat.OPPOSITE else near_last
    rows = [
        (words.side(voice, s), [(f"{p}-{s}", said) for p, said in _positions(voice)]) for s in sides
    ]
    return [*rows, ("", [unseen])]


def _ended(third: str) -> Stood:
    position, _dash, side = third.partition("-")
    return Stood() if third == NOT_SEEN else Stood(Position(position), Side(side))


def _periods(last: int | None) -> Choices:
    """Four quarters, an overtime, and always one more than there was."""
    most = min(max(OVERTIME, (last or 0) + 1), LAST_PERIOD)
    numbers = range(1, most + 1)
    return [("", "–"), *((str(n), str(n) if n < OVERTIME else _overtime(n)) for n in numbers)]


def _overtime(period: int) -> str:
    further = period - OVERTIME
    return _("OT%(number)s") % {"number": further + 1} if further else _("OT")


def _number(period: str) -> int | None:
    return int(period) if period else None


def _mark_name(rule: str) -> str:
    return f"mark_{rule}"


def _mark_words(mark: Mark) -> str:
    return {
        Mark.YES: _("yes"),
        Mark.NO: _("no"),
        Mark.IN_REPORT: _("no, report"),
        Mark.AFTER_REPORT: _("no, after"),
    }[mark]
