"""The form that moves a crew's miss to another of the crew."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from evaluations.core.games import CrewPosition
from evaluations.forms.releases import NeededField
from evaluations.models import CrewMember

REASON_LIMIT = 300


class MoveMissForm(forms.Form):
    """Whose the miss was, and why."""

    to = forms.ChoiceField(
        label=_("Whose it was"),
        widget=forms.RadioSelect,
        error_messages={"required": _("Choose whose duty it was.")},
    )
    reason = NeededField(
        label=_("Why"),
        limit=REASON_LIMIT,
        help_text=_(
            "What you saw that the code can't know. You and the admins read it, no official does. "
            "Players by jersey colour only, no names."
        ),
        missing=_("Say why the miss is moved. You and the admins read it."),
    )

    def __init__(self, others: Sequence[CrewMember], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["to"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [(member.position, str(member)) for member in others]

    @property
    def move(self) -> dict[str, Any]:
        """As `move_miss` takes it; of a valid form only."""
        said = self.cleaned_data
        return {"to": CrewPosition(said["to"]), "reason": said["reason"]}
