"""Forms about people and associations."""

from __future__ import annotations

from functools import cache
from typing import Any
from zoneinfo import available_timezones

from crispy_forms.helper import FormHelper
from django import forms
from django.conf import settings
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from accounts.models import Association, Membership, Role, Terms, User
from accounts.queries.people import people

# Areas of the time zone database that hold places; the rest are older names for the same clocks.
AREAS = (
    "Africa", "America", "Antarctica", "Asia", "Atlantic", "Australia", "Europe", "Indian",
    "Pacific",
)  # fmt: skip


@cache
def time_zones() -> list[tuple[str, str]]:
    """Time zones by place, with UTC first."""
    places = sorted(name for name in available_timezones() if name.split("/")[0] in AREAS)
    return [("UTC", "UTC"), *((name, name.replace("_", " ")) for name in places)]


def time_zone_choices(chosen: str) -> list[tuple[str, str]]:
    """The list, and what is chosen now if it goes by one of the older names."""
    known = time_zones()
    return known if any(name == chosen for name, _label in known) else [*known, (chosen, chosen)]


class ProfileForm(forms.ModelForm[User]):
    class Meta:
        model = User
        fields = ("name", "pronouns", "language", "time_zone")
        help_texts = {"name": _("As it stands in letters.")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["name"].widget.attrs["autocomplete"] = "name"
        self.fields["time_zone"] = forms.ChoiceField(
            label=_("Time zone"), choices=time_zone_choices(self.instance.time_zone)
        )


class AssociationForm(forms.ModelForm[Association]):
    class Meta:
        model = Association
        fields = (
            "name",
            "language",
            "time_zone",
            "paper_size",
            "court",
            "letter_paragraph",
            "show_observer",
            "due_hours",
            "cool_off_hours",
            "quiet_from",
            "quiet_until",
            "quiet_before_game_hours",
            "respond_days",
            "coaching_first",
        )
        help_texts = {
            "language": _("Of mail to people who have no account yet."),
            "letter_paragraph": _("Stands at the end of every letter."),
        }
        widgets = {
            "letter_paragraph": forms.Textarea(attrs={"rows": 4, "data-budget": 400}),
            "quiet_from": forms.TimeInput(format="%H:%M", attrs={"type": "time"}),
            "quiet_until": forms.TimeInput(format="%H:%M", attrs={"type": "time"}),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["time_zone"] = forms.ChoiceField(
            label=_("Time zone"), choices=time_zone_choices(self.instance.time_zone)
        )


class TermsForm(forms.Form):
    """On what terms somebody belongs to the association."""

    roles = forms.MultipleChoiceField(
        label=_("Roles"),
        choices=Role.choices,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("Choose at least one role.")},
    )
    new_official = forms.BooleanField(
        label=_("New official"),
        required=False,
        help_text=_("The first observations are coaching: without a total."),
    )
    under_18 = forms.BooleanField(
        label=_("Official under 18"),
        required=False,
        help_text=_(
            "No total, no standing, no private message; the guardian is told of every letter."
        ),
    )
    guardian_email = forms.EmailField(
        label=_("Guardian's email address"),
        required=False,
        help_text=_("Needed for an official under 18."),
    )
    cleared_until = forms.DateField(
        label=_("Observer cleared until"),
        required=False,
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
        help_text=_("After that day, or without one, the observer can't be sent to a game."),
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        under_18 = cleaned.get("under_18")
        if under_18 and "guardian_email" in cleaned and not cleaned["guardian_email"]:
            self.add_error("guardian_email", _("An official under 18 needs a guardian's address."))
        if under_18 and Role.OFFICIAL not in cleaned.get("roles", [Role.OFFICIAL]):
            self.add_error("under_18", _("The mark for under 18 is for officials only."))
        return cleaned

    @property
    def terms(self) -> Terms:
        """What was chosen; of a valid form only."""
        chosen = self.cleaned_data
        return Terms(
            roles=frozenset(Role(role) for role in chosen["roles"]),
            new_official=chosen["new_official"],
            under_18=chosen["under_18"],
            guardian_email=chosen["guardian_email"],
            cleared_until=chosen["cleared_until"],
        )

    @staticmethod
    def initial_from(membership: Membership) -> dict[str, Any]:
        """The membership's terms as they fill this form."""
        terms = membership.terms
        return {
            "roles": sorted(terms.roles),
            "new_official": terms.new_official,
            "under_18": terms.under_18,
            "guardian_email": terms.guardian_email,
            "cleared_until": terms.cleared_until,
        }


class InviteForm(TermsForm):
    name = forms.CharField(label=_("Name"), max_length=80)
    email = forms.EmailField(
        label=_("Email address"), help_text=_("The link goes there; it is good for seven days.")
    )

    field_order = ("name", "email", "roles")


class PeopleFilter(forms.Form):
    """What the list of people is narrowed down to."""

    search = forms.CharField(label=_("Name or email address"), required=False, max_length=80)
    role = forms.ChoiceField(
        label=_("Role"), required=False, choices=[("", _("every role")), *Role.choices]
    )
    ended = forms.BooleanField(label=_("Ended memberships"), required=False)

    marks_optional = False  # a filter has nothing else
    helper = FormHelper()
    helper.form_tag = False
    helper.disable_csrf = True

    def narrow(self, asker: Membership) -> QuerySet[Membership]:
        """The people found; everybody if the question makes no sense."""
        if not self.is_valid():
            return people(asker)
        asked = self.cleaned_data
        return people(
            asker,
            search=asked["search"].strip(),
            role=Role(asked["role"]) if asked["role"] else None,
            ended=asked["ended"],
        )


class AcceptForm(forms.Form):
    """What a new person says when accepting an invitation."""

    name = forms.CharField(
        label=_("Your name"),
        max_length=80,
        help_text=_("As it stands in letters."),
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    language = forms.ChoiceField(label=_("Language"), choices=settings.LANGUAGES)
    password = forms.CharField(
        label=_("Password"),
        max_length=128,
        strip=False,
        help_text=_(
            "At least 12 characters. Three or four words that nobody would guess are good."
        ),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )
    password_again = forms.CharField(
        label=_("Password again"),
        max_length=128,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    def clean_password_again(self) -> str:
        again: str = self.cleaned_data["password_again"]
        if again != self.cleaned_data.get("password", again):
            raise ValidationError(_("The two passwords differ."))
        return again


class ConflictForm(forms.Form):
    """A conflict of the asker with an official; an admin may declare one for any observer."""

    observer = forms.ModelChoiceField(label=_("Observer"), queryset=Membership.objects.none())
    official = forms.ModelChoiceField(label=_("Official"), queryset=Membership.objects.none())
    reason = forms.CharField(
        label=_("Reason"),
        required=False,
        max_length=200,
        help_text=_("A few words, such as family, colleague, same crew elsewhere."),
    )

    def __init__(self, asker: Membership, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.asker = asker
        self._choose_from("official", people(asker, role=Role.OFFICIAL).exclude(pk=asker.pk))
        if Role.ADMIN in asker.roles:
            self._choose_from("observer", people(asker, role=Role.OBSERVER))
        else:
            del self.fields["observer"]

    def _choose_from(self, name: str, queryset: QuerySet[Membership]) -> None:
        field = self.fields[name]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = queryset

    @property
    def observer_chosen(self) -> Membership:
        """Whose conflict it is; of a valid form only."""
        chosen: Membership = self.cleaned_data.get("observer", self.asker)
        return chosen
