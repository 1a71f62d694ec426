"""A field for each fact of a dead ball: its answers, and "not seen" among them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from enum import StrEnum
from typing import Any, TypeVar

from django import forms
from django.core.validators import RegexValidator
from django.utils.translation import gettext as _

from evaluations.core.mechanics.facts import Moment, NumberShown, Route
from evaluations.core.voice import Voice
from evaluations.forms.widgets import NOT_SEEN

LAST_PERIOD = 20
"""Quarters or halves, and overtimes."""

Fixed = TypeVar("Fixed", bound=StrEnum)
Answers = Sequence[tuple[Any, str]]


class SeenField(forms.ChoiceField):
    """One fact. Its value is the fact itself; None is "not seen", and so is what was left open."""

    def __init__(
        self, label: str, answers: Answers, *, unsaid: str | None = None, **kwargs: Any
    ) -> None:
        self.facts = {_written(value): value for value, _label in answers}
        choices = [(_written(value), said) for value, said in answers]
        super().__init__(
            label=label,
            choices=[*choices, (NOT_SEEN, unsaid or _("not seen"))],
            widget=forms.RadioSelect(attrs={"class": "inline"}),
            required=False,
            **kwargs,
        )

    def clean(self, value: Any) -> Any:
        return self.facts.get(super().clean(value))


def yes_or_no() -> Answers:
    return [(True, _("yes")), (False, _("no"))]


def answer_of(fact: object) -> str:
    """The answer that stands for a stored fact."""
    return NOT_SEEN if fact is None else _written(fact)


def _written(fact: object) -> str:
    if isinstance(fact, bool):
        return "yes" if fact else "no"
    return str(fact)


def in_words(voice: Voice, kind: type[Fixed], say: Callable[[Voice, Fixed], str]) -> Answers:
    """Every value of a kind with its word."""
    return [(value, say(voice, value)) for value in kind]


class PeriodField(forms.IntegerField):
    """Which quarter or half; overtimes are counted on."""

    def __init__(self) -> None:
        super().__init__(
            label=_("Period"),
            required=False,
            min_value=1,
            max_value=LAST_PERIOD,
            widget=_short("numeric"),
            error_messages={"invalid": _("Give the period as a number, such as 3.")},
        )

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        return {}


class PatternField(forms.CharField):
    """A short text of one form only."""

    def __init__(self, label: str, pattern: str, refusal: str, **kwargs: Any) -> None:
        mode = kwargs.pop("mode")
        super().__init__(
            label=label,
            required=False,
            widget=_short(mode),
            validators=[RegexValidator(pattern, refusal)],
            **kwargs,
        )


def clock_field() -> PatternField:
    """What the game clock showed."""
    return PatternField(
        _("Clock"),
        r"^[0-9]{1,2}:[0-5][0-9](\.[0-9])?\Z",
        _("Give minutes and seconds, such as 4:31 or 0:09.4."),
        mode="text",
    )


def player_field() -> PatternField:
    """The number that was reported. It stays in the log."""
    return PatternField(
        _("Player's number, as reported"),
        r"^(00|0|[1-9][0-9]?)\Z",
        _("Give a number from 0 to 99, or 00."),
        mode="numeric",
        help_text=_("It stays in the log; letters name players by colour only."),
    )


def report_fields(*, film: bool) -> dict[str, forms.Field]:
    """What was seen of the caller's report, in its order; from film what is heard as well."""
    fields: dict[str, forms.Field] = {
        "signal_at_spot": SeenField(_("Preliminary signal at the spot"), yes_or_no()),
        "player_told": SeenField(_("Colour and number told to the player"), yes_or_no()),
        "route": SeenField(
            _("Way to the reporting area"),
            [(Route.AROUND, _("around the players")), (Route.THROUGH, _("through the players"))],
        ),
        "benches_watched": SeenField(_("Benches kept in view on the way"), yes_or_no()),
        "full_stop": SeenField(_("Full stop before speaking"), yes_or_no()),
        "spoken": SeenField(_("Colour and number spoken"), yes_or_no()),
        "number_shown": SeenField(
            _("Number shown"),
            [
                (NumberShown.AT_ONCE, _("at once")),
                (NumberShown.TENS_THEN_UNITS, _("tens, then units")),
                (NumberShown.NOT_SHOWN, _("not shown")),
            ],
        ),
        "type_shown": SeenField(_("Type of foul shown"), yes_or_no()),
        "result_shown": SeenField(_("What follows shown: spot or shots"), yes_or_no()),
        "ended_before_live": SeenField(_("Report ended before the ball was live"), yes_or_no()),
        "player": player_field(),
    }
    heard = () if film else ("benches_watched", "spoken")
    return {name: field for name, field in fields.items() if name not in heard}


def watching_fields(who: str, *, film: bool) -> dict[str, forms.Field]:
    """What was seen of one official on a partner's whistle."""
    asked = {
        "chased_ball": _("%(who)s went after the ball"),
        "moved_opposite": _("%(who)s moved opposite the partner"),
        "wide": _("%(who)s held a wide vision"),
    }
    return {
        name: SeenField(text % {"who": who}, yes_or_no())
        for name, text in asked.items()
        if film or name != "wide"
    }


def moments() -> Answers:
    return [(Moment.REPORT, _("during the report")), (Moment.AFTER_REPORT, _("after the report"))]


def _short(mode: str) -> forms.TextInput:
    return forms.TextInput(attrs={"inputmode": mode, "autocomplete": "off", "size": 6})
