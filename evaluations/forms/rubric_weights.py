"""The weights page: every area and criterion with its weight."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from django import forms
from django.forms.boundfield import BoundField
from django.utils.translation import gettext as _

from evaluations.core.rubric_content import AreaContent, RubricContent
from evaluations.forms.rubric_fields import DraftForm, PercentField, WeightField
from evaluations.queries.rubric_pages import AreaLines, CriterionLine, RubricSheet
from evaluations.services.rubric_edits import AreaWeight


class WeightsForm(DraftForm):
    """Fields are named by the key of their area or criterion."""

    def __init__(
        self, data: Any = None, *, version: int, content: RubricContent, sheet: RubricSheet
    ) -> None:
        super().__init__(data, version=version, initial=_initial(content))
        self.sheet = sheet
        for area in sheet.areas:
            self.fields |= _area_fields(area)
        self.fields["target_level"] = forms.TypedChoiceField(
            label=_("Target level"),
            coerce=int,
            choices=[(row.number, f"{row.number} {row.word}") for row in sheet.levels[1:]],
            help_text=_("A criterion below it may become a next step."),
        )
        self.fields["minimum_seen"] = PercentField(
            label=_("Least seen of the whole form (%)"),
            zero=True,
            help_text=_("With less of it seen, a letter goes out without a total."),
        )

    @property
    def areas(self) -> Iterator[tuple[AreaLines, dict[str, BoundField], list[Any]]]:
        """Each area with its own fields, and its criteria with theirs."""
        for area in self.sheet.areas:
            own = {part: self[_area(part, area.key)] for part in ("weight", "share", "needed")}
            yield area, own, [(c, self[_criterion(c.key)]) for c in area.criteria]

    @property
    def values(self) -> dict[str, Any]:
        """The cleaned form as arguments of `rubric_edits.set_weights`."""
        cleaned = self.cleaned_data
        return {
            "version": cleaned["version"],
            "target_level": cleaned["target_level"],
            "minimum_seen": cleaned["minimum_seen"],
            "areas": {
                area.key: AreaWeight(
                    weight=cleaned[_area("weight", area.key)],
                    minimum_share=cleaned[_area("share", area.key)],
                    needed=cleaned[_area("needed", area.key)],
                )
                for area in self.sheet.areas
            },
            "criteria": {
                c.key: cleaned[_criterion(c.key)]
                for area in self.sheet.areas
                for c in area.criteria
            },
        }


def _area_fields(area: AreaLines) -> dict[str, forms.Field]:
    return {
        _area("weight", area.key): WeightField(
            label=_("Weight of %(area)s") % {"area": area.label}
        ),
        _area("share", area.key): PercentField(
            label=_("Least seen of %(area)s (%%)") % {"area": area.label}
        ),
        _area("needed", area.key): forms.BooleanField(
            label=_("%(area)s is needed: without it there is no total") % {"area": area.label},
            required=False,
        ),
        **{_criterion(c.key): _criterion_field(c) for c in area.criteria},
    }


def _criterion_field(line: CriterionLine) -> forms.Field:
    return WeightField(label=line.wording.label)


def _initial(content: RubricContent) -> dict[str, Decimal | bool | int]:
    initial: dict[str, Decimal | bool | int] = {
        "target_level": content.target_level,
        "minimum_seen": content.minimum_seen,
    }
    for area in content.areas:
        initial |= _area_initial(area)
    return initial


def _area_initial(area: AreaContent) -> dict[str, Decimal | bool]:
    return {
        _area("weight", area.key): area.weight,
        _area("share", area.key): area.minimum_share,
        _area("needed", area.key): area.needed,
        **{_criterion(c.key): c.weight for c in area.criteria},
    }


def _area(part: str, key: str) -> str:
    return f"area-{part}-{key}"


def _criterion(key: str) -> str:
    return f"criterion-{key}"
