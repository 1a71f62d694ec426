"""Areas, criteria, ceilings and the number of levels of a draft."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from django import forms
from django.forms.boundfield import BoundField
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from evaluations.core.rubric import MAX_LEVELS, CriterionWording
from evaluations.core.rubric_content import (
    HINT_BUDGET,
    LABEL_BUDGET,
    LEVEL_BUDGET,
    NO_TEXTS,
    STEP_TEXTS,
    STEP_TEXTS_BUDGET,
    AreaContent,
    CriterionContent,
    too_long,
)
from evaluations.forms.fields import label_of
from evaluations.forms.film_thresholds import initial_thresholds, threshold_fields, typed_thresholds
from evaluations.forms.rubric_fields import (
    DraftForm,
    FindingsField,
    NameField,
    NumberField,
    TextField,
    WeightField,
    in_language,
    languages,
)
from evaluations.queries.rubric_pages import RubricSheet

STEP_LABELS = {
    "standard": gettext_lazy("Standard"),
    "why": gettext_lazy("Why it matters"),
    "try_this": gettext_lazy("Try this"),
    "check": gettext_lazy("How we will check"),
}


class LevelsForm(DraftForm):
    """How many levels every criterion has."""

    levels = forms.TypedChoiceField(
        label=gettext_lazy("Number of levels"),
        coerce=int,
        choices=[(n, str(n)) for n in range(2, MAX_LEVELS + 1)],
        widget=forms.RadioSelect(attrs={"class": "inline"}),
    )

    @property
    def values(self) -> dict[str, Any]:
        return {"version": self.cleaned_data["version"], "levels": self.cleaned_data["levels"]}


class AreaForm(DraftForm):
    """An area's name in each language."""

    def __init__(
        self, data: Any = None, *, version: int, area: AreaContent, own_language: str
    ) -> None:
        self.languages = languages(own_language)
        super().__init__(data, version=version, initial=dict(area.labels))
        for code, name in self.languages:
            label = _("Name in %(language)s") % {"language": name}
            field = NameField(label=label, budget=LABEL_BUDGET, required=False)
            self.fields |= in_language(code, {code: field})

    @property
    def values(self) -> dict[str, Any]:
        """The cleaned form as arguments of `rubric_edits.set_area_labels`."""
        return {
            "version": self.cleaned_data["version"],
            "labels": {code: self.cleaned_data[code] for code, _name in self.languages},
        }


class NewAreaForm(DraftForm):
    """An area begins with one criterion, so that the rubric stays one to score with."""

    label = NameField(label=gettext_lazy("Name of the area"), budget=LABEL_BUDGET)
    weight = WeightField(
        label=gettext_lazy("Weight of the area"),
        help_text=gettext_lazy("It counts against the weights of the other areas."),
    )
    first_criterion = NameField(
        label=gettext_lazy("Name of its first criterion"), budget=LABEL_BUDGET
    )

    @property
    def values(self) -> dict[str, Any]:
        """The cleaned form as arguments of `rubric_parts.add_area`."""
        return dict(self.cleaned_data)


class NewCriterionForm(DraftForm):
    label = NameField(
        label=gettext_lazy("Name of the criterion"),
        budget=LABEL_BUDGET,
        help_text=gettext_lazy("One thing that can be seen, such as “Holds each sign still”."),
    )

    @property
    def values(self) -> dict[str, Any]:
        """The cleaned form as arguments of `rubric_parts.add_criterion`."""
        return dict(self.cleaned_data)


class CriterionForm(DraftForm):
    """A criterion's texts, language by language, and what is counted for it: findings of the log,
    and film by its thresholds."""

    def __init__(
        self,
        data: Any = None,
        *,
        version: int,
        criterion: CriterionContent,
        levels: int,
        own_language: str,
    ) -> None:
        self.languages = languages(own_language)
        self.levels = levels
        self.texts = criterion.texts
        super().__init__(data, version=version, initial=self._initial(criterion))
        self.fields["findings"] = FindingsField()
        self.fields |= threshold_fields()
        for code, name in self.languages:
            self.fields |= in_language(code, self._fields(code, name))

    def _initial(self, criterion: CriterionContent) -> dict[str, Any]:
        initial: dict[str, Any] = {"findings": list(criterion.findings)}
        initial |= initial_thresholds(criterion.thresholds)
        for code, texts in self.texts.items():
            for name in ("label", "hint", *STEP_TEXTS):
                initial[f"{code}-{name}"] = getattr(texts, name)
            initial |= {f"{code}-level-{n}": text for n, text in enumerate(texts.levels, start=1)}
        return initial

    def _fields(self, code: str, language: str) -> dict[str, forms.Field]:
        steps: dict[str, forms.Field] = {
            f"{code}-{name}": TextField(
                label=label_of(str(label), language),
                budget=STEP_TEXTS_BUDGET,
                group=f"step-{code}",
                required=False,
            )
            for name, label in STEP_LABELS.items()
        }
        levels = {
            f"{code}-level-{n}": TextField(
                label=label_of(_("Level %(n)s") % {"n": n}, language),
                budget=LEVEL_BUDGET,
                required=False,
            )
            for n in range(1, self.levels + 1)
        }
        return {
            f"{code}-label": NameField(
                label=label_of(_("Name"), language), budget=LABEL_BUDGET, required=False
            ),
            f"{code}-hint": TextField(
                label=label_of(_("What to look for"), language),
                budget=HINT_BUDGET,
                required=False,
            ),
            **steps,
            **levels,
        }

    @property
    def thresholds(self) -> list[BoundField]:
        return [self[name] for name in threshold_fields()]

    @property
    def sections(self) -> Iterator[dict[str, Any]]:
        """The fields of each language: names, the four texts of a next step, the levels."""
        for code, name in self.languages:
            yield {
                "code": code,
                "name": name,
                "limit": STEP_TEXTS_BUDGET,
                "names": [self[f"{code}-label"], self[f"{code}-hint"]],
                "step": [self[f"{code}-{part}"] for part in STEP_TEXTS],
                "levels": self._level_fields(code),
            }

    def _level_fields(self, code: str) -> list[BoundField]:
        return [self[f"{code}-level-{n}"] for n in range(1, self.levels + 1)]

    def clean(self) -> None:
        for code, _name in self.languages:
            over = too_long(self._wording(code)).get("step")
            if over and not any(f"{code}-{part}" in self.errors for part in STEP_TEXTS):
                self.add_error(
                    f"{code}-standard",
                    _(
                        "Standard, why, try this and how we will check have %(limit)s "
                        "characters together; take away %(over)s."
                    )
                    % {"limit": STEP_TEXTS_BUDGET, "over": over},
                )

    def _wording(self, code: str) -> CriterionWording:
        """What was typed; the wording of levels that the rubric has no more stays as it was."""
        typed = self.cleaned_data
        kept = self.texts.get(code, NO_TEXTS).levels[self.levels :]
        return CriterionWording(
            **{name: typed.get(f"{code}-{name}", "") for name in ("label", "hint", *STEP_TEXTS)},
            levels=(
                *(typed.get(f"{code}-level-{n}", "") for n in range(1, self.levels + 1)),
                *kept,
            ),
        )

    @property
    def values(self) -> dict[str, Any]:
        """The cleaned form as arguments of `rubric_edits.set_criterion`."""
        return {
            "version": self.cleaned_data["version"],
            "findings": self.cleaned_data["findings"],
            "thresholds": typed_thresholds(self.cleaned_data),
            "texts": {code: self._wording(code) for code, _name in self.languages},
        }


class CeilingForm(DraftForm):
    """With a criterion at its lowest level, an area or the total is limited."""

    def __init__(self, data: Any = None, *, version: int, sheet: RubricSheet) -> None:
        super().__init__(data, version=version)
        self.fields["criterion"] = forms.ChoiceField(
            label=_("When this criterion is at its lowest level"),
            choices=[
                ("", _("Choose a criterion")),
                *((a.label, [(c.key, c.wording.label) for c in a.criteria]) for a in sheet.areas),
            ],
        )
        self.fields["area"] = forms.ChoiceField(
            label=_("this is limited"),
            choices=[("", _("the total")), *((a.key, a.label) for a in sheet.areas)],
            required=False,
        )
        self.fields["at_most"] = NumberField(
            label=_("to at most (0 to 100)"),
            min_value=Decimal(0),
            max_value=Decimal(100),
            max_digits=4,
            decimal_places=1,
        )

    @property
    def values(self) -> dict[str, Any]:
        """The cleaned form as arguments of `rubric_edits.set_ceiling`."""
        return {**self.cleaned_data, "area": self.cleaned_data["area"] or None}
