"""Forms about observations."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.validators import MaxLengthValidator
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

from accounts.models import Membership
from evaluations.core.games import Difficulty, Kind, Seen, Talk
from evaluations.forms.fields import WrittenField
from evaluations.models import Observation
from evaluations.models.observation import TEXT_LIMIT
from evaluations.queries.assignments import Candidate
from evaluations.queries.observations import facts_said


class AssignForm(forms.Form):
    """Who is sent, of those who can be, and whether the observation is scored."""

    observer = forms.ChoiceField(
        label=_("Observer"),
        widget=forms.RadioSelect,
        error_messages={
            "required": _("Choose an observer."),
            "invalid_choice": _("This observer can't be sent; the reason stands below."),
        },
    )
    kind = forms.ChoiceField(
        label=_("Kind"),
        choices=Observation.Kind.choices,
        initial=Kind.SCORED.value,
        widget=forms.RadioSelect(attrs={"class": "inline"}),
        help_text=_("A coaching observation has no total and counts in no standing."),
    )

    def __init__(self, candidates: Sequence[Candidate], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fit = {str(c.observer.pk): c for c in candidates if not c.obstacle}
        self.unfit = [c for c in candidates if c.obstacle]
        field = self.fields["observer"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [(pk, _with_count(c)) for pk, c in self.fit.items()]

    @property
    def observer_chosen(self) -> Membership:
        """Of a valid form only."""
        return self.fit[self.cleaned_data["observer"]].observer

    @property
    def kind_chosen(self) -> Kind:
        """Of a valid form only."""
        return Kind(self.cleaned_data["kind"])


def _with_count(candidate: Candidate) -> str:
    return ngettext(
        "%(name)s, sent to %(count)s game this season",
        "%(name)s, sent to %(count)s games this season",
        candidate.sent,
    ) % {"name": candidate.observer, "count": candidate.sent}


class FactsForm(forms.Form):
    """What is said of the game as a whole, in a minute, on a phone."""

    seen = forms.ChoiceField(
        label=_("You saw"),
        choices=Observation.Seen.choices,
        widget=forms.RadioSelect(attrs={"class": "inline"}),
        error_messages={"required": _("Choose how much of the game you saw.")},
    )
    part = forms.CharField(
        label=_("Which part"),
        required=False,
        max_length=80,
        help_text=_("If it was a part: such as second half, or from the third quarter on."),
    )
    difficulty = forms.ChoiceField(
        label=_("The game was"),
        choices=Observation.Difficulty.choices,
        widget=forms.RadioSelect(attrs={"class": "inline"}),
        help_text=_("For the reader of the letter. It changes no score."),
        error_messages={"required": _("Choose how demanding the game was.")},
    )
    talk = forms.ChoiceField(
        label=_("Talk after the game"),
        choices=Observation.Talk.choices,
        required=False,
        widget=forms.RadioSelect(attrs={"class": "inline"}),
        help_text=_("Needed before a form can be submitted."),
    )
    raised = WrittenField(
        label=_("What was raised"),
        rows=4,
        budget=TEXT_LIMIT,
        validators=[MaxLengthValidator(TEXT_LIMIT)],
        help_text=_("In key words. Players by jersey colour only, no names."),
    )
    note_to_admin = WrittenField(
        label=_("Note to the admin"),
        rows=3,
        budget=TEXT_LIMIT,
        validators=[MaxLengthValidator(TEXT_LIMIT)],
        help_text=_("About the game, never about a person in secret: it stands in the record."),
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("seen") == Seen.PART and not cleaned.get("part", "").strip():
            self.add_error("part", _("Say which part of the game you saw."))
        no_talk = cleaned.get("talk") in (Talk.DECLINED, Talk.IMPOSSIBLE)
        if no_talk and cleaned.get("raised", "").strip():
            self.add_error(
                "raised",
                _("Without a talk nothing was raised. Choose “held”, or empty this field."),
            )
        return cleaned

    @property
    def facts(self) -> dict[str, Any]:
        """As `change_facts` takes them; of a valid form only."""
        said = self.cleaned_data
        return {
            **said,
            "seen": Seen(said["seen"]),
            "difficulty": Difficulty(said["difficulty"]),
            "talk": Talk(said["talk"]) if said["talk"] else None,
        }

    @staticmethod
    def initial_from(observation: Observation) -> dict[str, Any]:
        """What was said before; until then nothing is chosen."""
        if not facts_said(observation):
            return {}
        names = ("seen", "part", "difficulty", "talk", "raised", "note_to_admin")
        return {name: getattr(observation, name) for name in names}
