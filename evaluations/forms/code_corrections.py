"""Putting a correction in force, and choosing whose letter is amended because of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.http import QueryDict
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from evaluations.forms.releases import NOTE_LIMIT, NeededField
from evaluations.forms.rubric_fields import DraftForm
from evaluations.models import CodeEdition, Release
from evaluations.queries.code_changes import OfficialChange

REASON_LIMIT = 300


class InForceForm(DraftForm):
    """Why an edition is corrected; carries the version that the admin has read."""

    reason = NeededField(
        label=gettext_lazy("Why it is corrected"),
        limit=REASON_LIMIT,
        help_text=gettext_lazy("It stands with the edition from then on."),
        missing=gettext_lazy("Say why the edition is corrected."),
    )

    def show_stored(self) -> None:
        """The page shows whom the edition as it is stored now changes: the next answer is to it."""
        assert isinstance(self.data, QueryDict)  # only what was sent can be refused
        typed = self.data.copy()
        typed["version"] = self.initial["version"]
        self.data = typed


class AmendLettersForm(forms.Form):
    """Which letters are amended, and what their observers read."""

    # Nothing is ticked by somebody who wants all of them.
    marks_optional = False

    letters = forms.MultipleChoiceField(
        label=gettext_lazy("Letters"), required=False, widget=forms.CheckboxSelectMultiple
    )
    note = NeededField(
        label=gettext_lazy("Note to the observers"),
        limit=NOTE_LIMIT,
        help_text=gettext_lazy("It stands above each form until it is submitted again."),
        missing=gettext_lazy("Say in the note why the letter is amended."),
    )

    def __init__(
        self, correction: CodeEdition, offered: Sequence[OfficialChange], data: Any = None
    ) -> None:
        note = _("Edition %(edition)s of the mechanics code was corrected: %(reason)s") % {
            "edition": correction.corrects.edition if correction.corrects else "",
            "reason": correction.reason,
        }
        super().__init__(data, initial={"note": note})
        self.releases = {str(o.release.pk): o.release for o in offered if o.release is not None}
        field = self.fields["letters"]
        assert isinstance(field, forms.MultipleChoiceField)
        zone = ZoneInfo(correction.association.time_zone)
        field.choices = [
            (str(o.release.pk), _line(o, zone)) for o in offered if o.release is not None
        ]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if not cleaned.get("letters") and not self._all_of_them:
            self.add_error("letters", _("Choose at least one letter, or all of them."))
        return cleaned

    @property
    def _all_of_them(self) -> bool:
        return "all" in self.data

    @property
    def chosen(self) -> list[Release]:
        """The letters to amend: those that were ticked, or all that the page offered."""
        keys = self.releases if self._all_of_them else self.cleaned_data["letters"]
        return [self.releases[key] for key in keys]


def _line(official: OfficialChange, zone: ZoneInfo) -> str:
    game = official.observation.game
    return _("%(official)s, %(game)s, %(day)s") % {
        "official": official.evaluation.official,
        "game": game,
        "day": date_format(game.plays_at.astimezone(zone), "DATE_FORMAT"),
    }
