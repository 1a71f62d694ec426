"""Answers that several forms ask for in the same way."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from evaluations.core.ratings import COMMENT_LIMIT

HIGHEST_DEAD_BALL = 999


class WrittenField(forms.CharField):
    """A text of at most COMMENT_LIMIT characters, a line break counted as one.

    The browser gets no limit: it would cut what is pasted without a word.
    """

    def __init__(self, *, rows: int, budget: int | None = None, **kwargs: Any) -> None:
        attrs = {"rows": rows, **kwargs.pop("attrs", {})}
        if budget is not None:
            attrs["data-budget"] = budget
        widget = forms.Textarea(attrs=attrs)
        super().__init__(required=False, widget=widget, max_length=COMMENT_LIMIT, **kwargs)

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value)
        return text.replace("\r\n", "\n") if isinstance(text, str) else text

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        attrs = super().widget_attrs(widget)
        attrs.pop("maxlength", None)
        return attrs


class DeadBallField(forms.IntegerField):
    """The number of a dead ball. A plain line: a number's arrows change it by a turned wheel."""

    def __init__(self, **kwargs: Any) -> None:
        attrs = {"inputmode": "numeric", "autocomplete": "off", "size": 3, "class": "dead-ball"}
        super().__init__(
            required=False,
            min_value=1,
            max_value=HIGHEST_DEAD_BALL,
            widget=forms.TextInput(attrs=attrs),
            error_messages={
                "invalid": _("Give the number of the dead ball alone, such as 9."),
                "min_value": _("Dead balls are counted from 1."),
                "max_value": _("No game has this many dead balls."),
            },
            **kwargs,
        )

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        return {}


def label_of(what: str, whose: str) -> SafeString:
    """A field's name; whose it is stands beside it for the eye and is read out."""
    return format_html('{} <span class="visually-hidden">({})</span>', what, whose)
