"""A floor sketch as figures: what the pad draws into, and all there is without scripts."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.forms.boundfield import BoundField
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from evaluations.core.floor.frames import FRAMES
from evaluations.core.floor.presets import Shape, preset
from evaluations.core.floor.sketch import (
    BEYOND,
    FIELD_OF_VIEW,
    PLAYERS_AT_MOST,
    ROUTE_POINTS_AT_MOST,
    WIDEST_FIELD,
    OfficialAt,
    PlayerAt,
    Point,
    Sketch,
    Team,
)
from evaluations.core.floor_lines import shape_name
from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.court import End
from evaluations.core.mechanics.facts import Source
from evaluations.core.voice import Voice
from evaluations.forms.fields import label_of
from evaluations.models import DeadBallLog
from evaluations.queries.floor import SketchSheet

NUMBERS = range(1, PLAYERS_AT_MOST + 1)
AXES = ("x", "y")
_LEAST_FIELD = 1.0
_APART = re.compile(r"[;\s]+")


class FigureField(forms.FloatField):
    """A length or an angle with a point or a comma. A plain line: a number's arrows change it by a
    turned wheel, and some phones' number pads have no minus."""

    def __init__(self, label: str, low: float | None, high: float | None, unit: str) -> None:
        attrs = {"autocomplete": "off", "size": 6}
        super().__init__(
            label=label,
            required=False,
            widget=forms.TextInput(attrs=attrs),
            error_messages={"invalid": _("Give a figure, such as 4.5.")},
        )
        if low is not None and high is not None:
            limits = {"low": f"{low:g}", "high": f"{high:g}", "unit": unit}
            text = _("From %(low)s to %(high)s %(unit)s.") % limits
            self.validators += [MinValueValidator(low, text), MaxValueValidator(high, text)]

    def to_python(self, value: Any) -> Any:
        return super().to_python(value.replace(",", ".") if isinstance(value, str) else value)

    def prepare_value(self, value: Any) -> Any:
        return f"{value:.10g}" if isinstance(value, float) else value


class RouteField(forms.CharField):
    """A point a line, x and y."""

    def __init__(self, across: FigureField, away: FigureField) -> None:
        self.axes = (across, away)
        super().__init__(
            label=_("The caller's way to report"),
            required=False,
            help_text=_("A point on each line, x and y with a space between, such as 6.5 3.2."),
            widget=forms.Textarea(attrs={"rows": 4, "spellcheck": "false"}),
        )

    def clean(self, value: Any) -> Any:
        lines = [line for line in super().clean(value).splitlines() if line.strip()]
        if len(lines) > ROUTE_POINTS_AT_MOST:
            text = _("Give at most %(n)s points.") % {"n": ROUTE_POINTS_AT_MOST}
            raise forms.ValidationError(text)
        return tuple(self._point(number, line) for number, line in enumerate(lines, start=1))

    def _point(self, number: int, line: str) -> Point:
        figures = _APART.split(line.strip())
        where = _("Line %(n)s:") % {"n": number}
        if len(figures) != len(AXES):
            said = _("give x and y, and nothing else.")
            raise forms.ValidationError(f"{where} {said}")
        try:
            x, y = (axis.clean(text) for axis, text in zip(self.axes, figures, strict=True))
        except forms.ValidationError as error:
            raise forms.ValidationError(f"{where} {' '.join(error.messages)}") from None
        return Point(x, y)

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, str) or value is None:
            return value
        return "\n".join(f"{x:.10g} {y:.10g}" for x, y in value)


@dataclass(frozen=True, slots=True)
class PlaceRow:
    """The fields of an official or a player; `last` is the facing, or the team."""

    name: str
    x: BoundField
    y: BoundField
    last: BoundField


class SketchForm(forms.Form):
    """Whoever has no x and no y is not on the floor. `sketch` is there once the form is valid."""

    marks_optional = False
    sketch: Sketch

    def __init__(self, sheet: SketchSheet, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sheet = sheet
        self.crew = sheet.names
        court = FRAMES[sheet.frame]
        self.size = {"x": court.length, "y": court.width}
        self.fields["source"] = forms.ChoiceField(
            label=_("Drawn from"),
            choices=DeadBallLog.Source.choices,
            widget=forms.RadioSelect(attrs={"class": "inline"}),
        )
        self.fields["reporter"] = forms.ChoiceField(
            label=_("Who reports at this moment"),
            choices=[("", _("nobody, or not known")), *self.crew.items()],
            required=False,
        )
        self._ask_where()
        self.fields["route"] = RouteField(*(self._axis(axis, "") for axis in AXES))
        unit = _("degrees")
        label = _("Field of view, in degrees")
        self.fields["field_of_view"] = FigureField(label, _LEAST_FIELD, WIDEST_FIELD, unit)
        self.fields["field_of_view"].required = True
        self.initial = {**self._stored(), **self.initial}

    def _ask_where(self) -> None:
        for member, who in self.crew.items():
            for axis in AXES:
                self.fields[f"{member}-{axis}"] = self._axis(axis, who)
            self.fields[f"{member}-facing"] = FigureField(
                label_of(pgettext("an angle", "facing"), who), -360.0, 360.0, _("degrees")
            )
        for n in NUMBERS:
            who = _("player %(n)s") % {"n": n}
            for axis in AXES:
                self.fields[f"player-{n}-{axis}"] = self._axis(axis, who)
            self.fields[f"player-{n}-team"] = forms.ChoiceField(
                label=label_of(_("team"), who),
                choices=[(Team.LIGHT, _("light")), (Team.DARK, _("dark"))],
            )

    def _axis(self, axis: str, who: str) -> FigureField:
        high = round(self.size[axis] + BEYOND, 2)
        return FigureField(label_of(axis, who), -BEYOND, high, _("metres"))

    def _stored(self) -> dict[str, Any]:
        """Answers that stand in the form before anything is typed."""
        half = PLAYERS_AT_MOST // 2
        teams = {f"player-{n}-team": Team.LIGHT if n <= half else Team.DARK for n in NUMBERS}
        plain = {"source": self.sheet.log.source, "field_of_view": FIELD_OF_VIEW, **teams}
        sketch = self.sheet.sketch
        if sketch is None:
            return plain
        kept = {"source": sketch.source, "field_of_view": sketch.field_of_view}
        more = {"reporter": sketch.reporter or "", "route": sketch.route}
        return {**plain, **kept, **more, **placed(sketch)}

    # --- What the page shows -------------------------------------------------------------------
    def officials(self) -> Iterable[PlaceRow]:
        for member, who in self.crew.items():
            yield self._row(who, member, "facing")

    def players(self) -> Iterable[PlaceRow]:
        for n in NUMBERS:
            yield self._row(str(n), f"player-{n}", "team")

    def _row(self, name: str, prefix: str, last: str) -> PlaceRow:
        x, y, other = (self[f"{prefix}-{part}"] for part in (*AXES, last))
        return PlaceRow(name, x, y, other)

    # --- What was said -------------------------------------------------------------------------
    def clean(self) -> dict[str, Any]:
        said = super().clean() or {}
        for member in self.crew:
            self._want_whole(said, [f"{member}-{part}" for part in (*AXES, "facing")])
        for n in NUMBERS:
            self._want_whole(said, [f"player-{n}-{axis}" for axis in AXES])
        if not self.errors:
            self.sketch = self._drawn(said)
        return said

    def _want_whole(self, said: Mapping[str, Any], names: list[str]) -> None:
        """All of them, or none."""
        if any(name in self.errors for name in names):
            return
        missing = [name for name in names if said[name] is None]
        if missing and len(missing) < len(names):
            self.add_error(missing[0], _("Give this as well, or take the others back."))

    def _drawn(self, said: Mapping[str, Any]) -> Sketch:
        return Sketch(
            crew=len(self.crew),
            officials=tuple(
                OfficialAt(member, self._point(said, member), said[f"{member}-facing"])
                for member in self.crew
                if said[f"{member}-x"] is not None
            ),
            players=tuple(
                PlayerAt(self._point(said, f"player-{n}"), Team(said[f"player-{n}-team"]))
                for n in NUMBERS
                if said[f"player-{n}-x"] is not None
            ),
            frame=self.sheet.frame,
            field_of_view=said["field_of_view"],
            reporter=CrewPosition(said["reporter"]) if said["reporter"] else None,
            route=said["route"],
            instant=self.sheet.instant,
            source=Source(said["source"]),
        )

    def _point(self, said: Mapping[str, Any], prefix: str) -> Point:
        return Point(said[f"{prefix}-x"], said[f"{prefix}-y"])


def placed(sketch: Sketch) -> dict[str, Any]:
    """The form's answers about who stands where."""
    answers: dict[str, Any] = {}
    for official in sketch.officials:
        answers |= dict(
            zip((f"{official.member}-{axis}" for axis in AXES), official.at, strict=True)
        )
        answers[f"{official.member}-facing"] = official.facing
    for n, player in enumerate(sketch.players, start=1):
        answers |= dict(zip((f"player-{n}-{axis}" for axis in AXES), player.at, strict=True))
        answers[f"player-{n}-team"] = player.team
    return answers


class ShapeForm(forms.Form):
    """A shape to start from, at one end."""

    marks_optional = False

    def __init__(self, sheet: SketchSheet, voice: Voice, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sheet = sheet
        shapes = [(shape, shape_name(voice, shape)) for shape in Shape]
        ends = [(End.RIGHT, _("right of the table")), (End.LEFT, _("left of the table"))]
        self.fields["shape"] = forms.ChoiceField(label=_("Shape"), choices=shapes)
        self.fields["end"] = forms.ChoiceField(label=_("Basket under attack"), choices=ends)

    @property
    def answers(self) -> dict[str, Any]:
        """What the shape puts into a sketch's form; nothing if none was chosen."""
        if not self.is_valid():
            return {}
        shape, end = Shape(self.cleaned_data["shape"]), End(self.cleaned_data["end"])
        return placed(preset(shape, len(self.sheet.names), self.sheet.frame, end))
