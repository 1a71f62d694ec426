"""Fields and the base of every form that edits a draft rubric."""

from __future__ import annotations

from collections.abc import Collection
from decimal import Decimal
from typing import Any

from django import forms
from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import MaxLengthValidator
from django.http import QueryDict
from django.utils import formats
from django.utils.translation import get_language, gettext_lazy
from django.utils.translation import gettext as _

from evaluations.core.mechanics.rules import RULES
from evaluations.core.mechanics.words import duty_of
from evaluations.voice import SiteVoice


class NumberField(forms.DecimalField):
    """A decimal, typed with a point or a comma and shown in the page's language."""

    widget = forms.TextInput

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(localize=True, **kwargs)
        self.widget.attrs.update({"inputmode": "decimal", "autocomplete": "off"})

    def to_python(self, value: Any) -> Any:
        if isinstance(value, str):
            value = formats.sanitize_separators(value).strip().replace(",", ".")
        return super().to_python(value)

    def prepare_value(self, value: Any) -> Any:
        return plain(value) if isinstance(value, Decimal) else value


class WeightField(NumberField):
    """A weight: above 0, finite, at most two decimals."""

    default_error_messages = {
        "invalid": gettext_lazy("Enter a weight as a number, such as 25 or 12.5."),
        "required": gettext_lazy("Enter a weight above 0."),
    }

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(max_digits=7, decimal_places=2, **kwargs)
        self.widget.attrs["data-weight"] = True

    def validate(self, value: Any) -> None:
        super().validate(value)
        if value is not None and value <= 0:
            raise ValidationError(
                _("A weight must be above 0. To leave something out, remove it from the rubric.")
            )


class PercentField(NumberField):
    """A share, typed and shown in percent; the value is from 0 to 1."""

    default_error_messages = {"invalid": gettext_lazy("Enter a percentage, such as 70.")}

    def __init__(self, *, zero: bool = False, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.zero = zero

    def to_python(self, value: Any) -> Any:
        percent = super().to_python(value)
        return percent if percent is None else percent / 100

    def validate(self, value: Any) -> None:
        super().validate(value)
        if value is None:
            return
        if not (0 if self.zero else Decimal("0.0001")) <= value <= 1:
            raise ValidationError(
                _("Enter a percentage from 0 to 100.")
                if self.zero
                else _("Enter a percentage above 0 and at most 100.")
            )
        if value != round(value, 4):
            raise ValidationError(_("At most two decimals."))

    def prepare_value(self, value: Any) -> Any:
        return plain(value * 100) if isinstance(value, Decimal) else value


class TextField(forms.CharField):
    """One paragraph with a budget that is counted while typing; too long a text is kept.

    Fields of one `group` share the budget, and the page counts it once.
    """

    def __init__(
        self, *, budget: int, rows: int = 2, group: str | None = None, **kwargs: Any
    ) -> None:
        counted = {"data-budget-group": group} if group else {"data-budget": budget}
        widget = forms.Textarea(attrs={"rows": rows, **counted})
        super().__init__(widget=widget, validators=[MaxLengthValidator(budget)], **kwargs)

    def to_python(self, value: Any) -> str:
        return " ".join((super().to_python(value) or "").split())


class NameField(forms.CharField):
    """A short name or word in one line."""

    def __init__(self, *, budget: int, **kwargs: Any) -> None:
        super().__init__(validators=[MaxLengthValidator(budget)], **kwargs)


class FindingsField(forms.MultipleChoiceField):
    """Which rules of mechanics are counted for a criterion, by their duties."""

    def __init__(self) -> None:
        voice = SiteVoice(get_language() or settings.LANGUAGE_CODE)
        from_film = _("%(duty)s Only film shows this.")
        self.duties = {rule.key: duty_of(voice, rule.key) for rule in RULES}
        super().__init__(
            label=_("Counted findings"),
            help_text=_(
                "What the dead-ball log is asked for: the share met suggests a level. None: the "
                "criterion is judged by eye alone."
            ),
            required=False,
            widget=forms.CheckboxSelectMultiple,
            choices=[
                (rule.key, from_film % {"duty": duty} if rule.film else duty)
                for rule, duty in zip(RULES, self.duties.values(), strict=True)
            ],
        )

    def in_words(self, keys: Collection[str]) -> str:
        return " ".join(duty for key, duty in self.duties.items() if key in keys)


def languages(own: str) -> list[tuple[str, str]]:
    """Code and name of each of the site's languages, the association's own first."""
    return sorted(
        ((code, str(name)) for code, name in settings.LANGUAGES), key=lambda row: row[0] != own
    )


def in_language(code: str, fields: dict[str, forms.Field]) -> dict[str, forms.Field]:
    """The fields, marked for what is written in them: spelling and speech follow the language."""
    for field in fields.values():
        field.widget.attrs["lang"] = code
    return fields


def plain(value: Decimal) -> Decimal:
    """The same number without zeros at its end, and never with an exponent.

    >>> plain(Decimal("25.00")), plain(Decimal("12.50")), plain(Decimal("100"))
    (Decimal('25'), Decimal('12.5'), Decimal('100'))
    """
    return value.quantize(Decimal(1)) if value == value.to_integral() else value.normalize()


class DraftForm(forms.Form):
    """Carries the version that was read, so that two people's saves can't cross unseen."""

    version = forms.IntegerField(widget=forms.HiddenInput)
    # Nearly everything may be left empty in a draft; saying so at every field would help nobody.
    marks_optional = False

    def __init__(self, data: Any = None, *, version: int, initial: Any = None) -> None:
        super().__init__(data, initial={**(initial or {}), "version": version})

    def show_stored(self) -> None:
        """Say at each field that differs what is stored now, and let the next save replace it."""
        stored = {name: self._stored(name) for name in self.changed_data if name != "version"}
        assert isinstance(self.data, QueryDict)  # only what was sent can be refused
        typed = self.data.copy()
        typed["version"] = self.initial["version"]
        self.data = typed
        for name, value in stored.items():
            self.add_error(name, _("Stored now: %(value)s") % {"value": value})

    def _stored(self, name: str) -> str:
        field = self.fields[name]
        value = field.prepare_value(self.initial.get(name))
        if isinstance(field, FindingsField):
            value = field.in_words(value or ())
        if isinstance(value, bool):
            return _("yes") if value else _("no")
        if value in {None, ""}:
            return _("nothing")
        return str(formats.localize(value))
