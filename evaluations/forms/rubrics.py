"""Where a draft comes from: another rubric, or the shipped one."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext as _

from evaluations.forms.rubric_fields import DraftForm
from evaluations.models import Rubric, Season

SHIPPED = "shipped"


class CopyForm(forms.Form):
    """The season that gets the copy; only those without a rubric in work are offered."""

    def __init__(self, data: Any, *, seasons: QuerySet[Season], asked: str | None) -> None:
        super().__init__(data, initial={"season": asked})
        self.fields["season"] = forms.ModelChoiceField(
            label=_("Season of the copy"), queryset=seasons, empty_label=None
        )


class StartOverForm(DraftForm):
    """What takes the place of a draft's content."""

    def __init__(self, data: Any = None, *, version: int, rubrics: QuerySet[Rubric]) -> None:
        super().__init__(data, version=version)
        self.rubrics = {str(r.pk): r for r in rubrics}
        self.fields["source"] = forms.ChoiceField(
            label=_("Begin again from"),
            choices=[
                (SHIPPED, _("the rubric that comes with Crewmark")),
                *((pk, str(rubric)) for pk, rubric in self.rubrics.items()),
            ],
            widget=forms.RadioSelect,
        )

    @property
    def values(self) -> dict[str, Any]:
        """The cleaned form as arguments of `rubrics.start_over`."""
        return {
            "version": self.cleaned_data["version"],
            "source": self.rubrics.get(self.cleaned_data["source"]),
        }
