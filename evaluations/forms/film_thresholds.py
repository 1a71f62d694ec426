"""The thresholds of a criterion that film is judged by, in the units that people write."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _

from evaluations.core.rubric import HIGHEST, FloorRule
from evaluations.forms.rubric_fields import NumberField, PercentField

_SECOND = 1000


def threshold_fields() -> dict[str, forms.Field]:
    """A field for each rule; left empty, the rule isn't counted."""
    return {
        _name(FloorRule.VIEW_KEPT): PercentField(
            label=_("Own view while a partner reports: at least this share of the players (%)"),
            required=False,
        ),
        _name(FloorRule.BOXED_IN): PercentField(
            label=_("Between the officials: at least this share of the players (%)"),
            required=False,
        ),
        _name(FloorRule.APART): _number(
            FloorRule.APART,
            _("The officials' angle around the players: at least these degrees (to 180)"),
            least=Decimal("0.1"),
        ),
        _name(FloorRule.ROUTE_CLEAR): _number(
            FloorRule.ROUTE_CLEAR,
            _("The caller's way through the players: at most these metres (0: around)"),
        ),
        _name(FloorRule.FACED): _number(
            FloorRule.FACED,
            _("Nobody faces the players while a partner reports: at most these seconds at a time"),
        ),
    }


def initial_thresholds(stored: Mapping[FloorRule, Decimal]) -> dict[str, Decimal]:
    return {_name(rule): at / _unit(rule) for rule, at in stored.items()}


def typed_thresholds(typed: Mapping[str, Any]) -> dict[FloorRule, Decimal]:
    """The thresholds of a cleaned form, in the rules' own units."""
    given = {rule: typed.get(_name(rule)) for rule in FloorRule}
    return {rule: at * _unit(rule) for rule, at in given.items() if at is not None}


def _name(rule: FloorRule) -> str:
    return f"film-{rule}"


def _unit(rule: FloorRule) -> int:
    return _SECOND if rule is FloorRule.FACED else 1


def _number(rule: FloorRule, label: str, least: Decimal = Decimal(0)) -> NumberField:
    return NumberField(
        label=label,
        min_value=least,
        max_value=Decimal(HIGHEST[rule] // _unit(rule)),
        max_digits=4,
        decimal_places=1,
        required=False,
    )
