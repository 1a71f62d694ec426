"""What was marked on film about who faced the players, as a form: all there is without scripts."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django import forms
from django.forms.boundfield import BoundField
from django.utils.translation import gettext as _

from evaluations.core.floor.eyes import Facing, Mark
from evaluations.core.floor_words import film_time
from evaluations.core.games import CrewPosition
from evaluations.forms.fields import label_of
from evaluations.models import FilmStatement
from evaluations.queries.film import SPANS_AT_MOST, FilmSheet

BLANK_SPANS = 4
"""Lines for each official that wait to be filled in."""

HIGHEST_BALL = 9999
PERMISSION_LIMIT = 200

_TIME = re.compile(
    r"(?:(?:(\d{1,2}):)?(\d{1,3}):(?=[0-5]?\d(?:\.|\Z)))?(\d{1,5})(?:\.(\d{1,3}))?", re.ASCII
)


class FilmForm(forms.Form):
    """Whose film it is, asked before it is opened. `ball` is the dead ball to go on with."""

    marks_optional = False
    owner = forms.ChoiceField(widget=forms.RadioSelect)
    permission = forms.CharField(max_length=PERMISSION_LIMIT)
    ball = forms.IntegerField(
        required=False, min_value=1, max_value=HIGHEST_BALL, widget=forms.HiddenInput
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["owner"] = forms.ChoiceField(
            label=_("Whose film is it?"),
            choices=FilmStatement.Owner.choices,
            widget=forms.RadioSelect,
            error_messages={"required": _("Say whose film it is.")},
        )
        self.fields["permission"] = forms.CharField(
            label=_("With what permission do you look at it?"),
            help_text=_("Who gave it, and for what, such as: league office, for this evaluation."),
            max_length=PERMISSION_LIMIT,
            widget=forms.TextInput(attrs={"autocomplete": "off"}),
            error_messages={"required": _("Say who gave permission, and for what.")},
        )

    @staticmethod
    def initial_from(statement: FilmStatement | None, ball: str | None) -> dict[str, Any]:
        start: dict[str, Any] = {"ball": ball if ball and ball.isdecimal() else None}
        if statement is not None:
            start |= {"owner": statement.owner, "permission": statement.permission}
        return start


class FilmTimeField(forms.CharField):
    """A time on film in whole milliseconds: 1:23.480, 83.480 or, on a long film, 1:02:03.5."""

    def __init__(self, label: str, *, required: bool = False, help_text: str = "") -> None:
        super().__init__(
            label=label,
            required=required,
            help_text=help_text,
            widget=forms.TextInput(attrs={"autocomplete": "off", "size": 10, "data-time": ""}),
            error_messages={"required": _("Give the time on film.")},
        )

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value)
        if not text:
            return None
        found = _TIME.fullmatch(text.replace(",", "."))
        if found is None:
            raise forms.ValidationError(_("Give a time on film, such as 1:23.480 or 83.480."))
        hours, minutes, seconds = (int(part or 0) for part in found.groups()[:3])
        rest = int((found[4] or "").ljust(3, "0"))
        return ((hours * 60 + minutes) * 60 + seconds) * 1000 + rest

    def prepare_value(self, value: Any) -> Any:
        return film_time(value) if isinstance(value, int) else value


@dataclass(frozen=True, slots=True)
class SpanRow:
    """The fields of one span; `number` counts from 1."""

    number: int
    facing: BoundField
    start: BoundField
    end: BoundField


class EyesForm(forms.Form):
    """Times and spans of one dead ball. A line whose fields are all empty says nothing; of two
    lines about one official that overlap, the lower one counts."""

    marks_optional = False

    def __init__(self, sheet: FilmSheet, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sheet = sheet
        self.fields["whistle"] = FilmTimeField(_("Whistle"), required=True)
        self.fields["report_ended"] = FilmTimeField(
            _("Report ended"),
            help_text=_("From then on the players are the crew's. Leave it open if not seen."),
        )
        self.fields["live"] = FilmTimeField(
            _("Ball live"),
            help_text=_("Leave it open if the ball never became live on this film."),
        )
        self.initial = {**self._stored(), **self.initial}
        self.lines = {member: self._lines(member) for member in sheet.names}
        for member, name in sheet.names.items():
            for n in range(min(self.lines[member], SPANS_AT_MOST)):
                self._ask_span(member, name, n)

    def _stored(self) -> dict[str, Any]:
        time = self.sheet.time
        if time is None:
            return {}
        stored: dict[str, Any] = {
            "whistle": time.whistle,
            "report_ended": time.report_ended,
            "live": time.live,
        }
        for member in self.sheet.names:
            own = (mark for mark in time.marks if mark.member is member)
            for n, mark in enumerate(own):
                values = (mark.facing, mark.start, mark.end)
                stored |= dict(zip(_names(member, n), values, strict=True))
        return stored

    def _lines(self, member: CrewPosition) -> int:
        """How many lines there are: those that were sent, or those stored and a few more."""
        known: Mapping[str, Any] = self.data if self.is_bound else self.initial
        numbered = re.compile(rf"{member}-(\d{{1,4}})-(?:facing|from|to)", re.ASCII)
        found = (numbered.fullmatch(name) for name in known)
        highest = max((int(one[1]) + 1 for one in found if one), default=0)
        return highest if self.is_bound else min(highest + BLANK_SPANS, SPANS_AT_MOST)

    def _ask_span(self, member: CrewPosition, name: str, n: int) -> None:
        facing, start, end = _names(member, n)
        who = _("%(who)s, line %(n)s") % {"who": name, "n": n + 1}
        self.fields[facing] = forms.ChoiceField(
            label=label_of(_("what was seen"), who),
            choices=[
                ("", "–"),
                (Facing.FACING, _("facing")),
                (Facing.NOT_FACING, _("not facing")),
                (Facing.CANT_TELL, _("can't tell")),
            ],
            required=False,
        )
        self.fields[start] = FilmTimeField(label_of(_("from"), who))
        self.fields[end] = FilmTimeField(label_of(_("to"), who))

    # --- What the page shows -------------------------------------------------------------------
    def officials(self) -> Iterable[tuple[CrewPosition, str, list[SpanRow]]]:
        for member, name in self.sheet.names.items():
            shown = range(min(self.lines[member], SPANS_AT_MOST))
            rows = [SpanRow(n + 1, *(self[f] for f in _names(member, n))) for n in shown]
            yield member, name, rows

    # --- What was said -------------------------------------------------------------------------
    def clean(self) -> dict[str, Any]:
        said = super().clean() or {}
        if any(lines > SPANS_AT_MOST for lines in self.lines.values()):
            text = _("An official has at most %(n)s lines.") % {"n": SPANS_AT_MOST}
            self.add_error(None, text)
        whistle = said.get("whistle")
        for name in ("report_ended", "live"):
            if whistle is not None and said.get(name) is not None and said[name] < whistle:
                self.add_error(name, _("This can't be before the whistle."))
        for member in self.sheet.names:
            for n in range(min(self.lines[member], SPANS_AT_MOST)):
                self._check_span(said, *_names(member, n))
        return said

    def _check_span(self, said: Mapping[str, Any], facing: str, start: str, end: str) -> None:
        if self.errors.keys() & {facing, start, end}:
            return
        if said[facing] and said[start] is None:
            self.add_error(start, _("Say from when on, or empty this line."))
        elif not said[facing] and (said[start] is not None or said[end] is not None):
            self.add_error(facing, _("Say what was seen, or empty this line."))
        elif said[start] is not None and said[end] is not None and said[end] <= said[start]:
            self.add_error(end, _("This must be after the time from which on it was so."))

    @property
    def times(self) -> dict[str, Any]:
        """As `keep_eyes` takes them; of a valid form only."""
        said = self.cleaned_data
        return {
            "whistle_at": said["whistle"],
            "report_ended_at": said["report_ended"],
            "live_at": said["live"],
            "marks": [
                Mark(member, Facing(said[facing]), said[start], said[end])
                for member in self.sheet.names
                for facing, start, end in (_names(member, n) for n in range(self.lines[member]))
                if said[facing]
            ],
        }


def _names(member: CrewPosition, n: int) -> tuple[str, str, str]:
    return f"{member}-{n}-facing", f"{member}-{n}-from", f"{member}-{n}-to"
