"""Forms about seasons and games."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Q, QuerySet
from django.forms.models import model_to_dict
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from accounts.models import Membership, Role
from accounts.queries.people import everybody, people
from evaluations.core.games import CrewPosition
from evaluations.models import Game, Season
from evaluations.queries.games import find_games
from evaluations.queries.seasons import seasons_for


class Day(forms.DateInput):
    """A day, picked or typed by the browser's own means."""

    def __init__(self) -> None:
        super().__init__(format="%Y-%m-%d", attrs={"type": "date"})


class SeasonForm(forms.ModelForm[Season]):
    class Meta:
        model = Season
        fields = ("name", "starts_on", "ends_on")
        widgets = {"starts_on": Day(), "ends_on": Day()}
        help_texts = {"name": _("As it stands in letters, such as 2026–27.")}


class AskersForm(forms.Form):
    """A form that knows who asks."""

    def __init__(self, asker: Membership, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.asker = asker

    def choose_from(self, name: str, rows: QuerySet[Any]) -> None:
        """Offer these rows in the named field."""
        field = self.fields[name]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = rows


class WhenForm(AskersForm):
    """Day and time by the clock of the association, whoever's zone the asker is in."""

    day = forms.DateField(label=_("Day"), widget=Day())
    clock = forms.TimeField(
        label=_("Time"), widget=forms.TimeInput(format="%H:%M", attrs={"type": "time"})
    )

    def __init__(self, asker: Membership, *args: Any, **kwargs: Any) -> None:
        super().__init__(asker, *args, **kwargs)
        zone = asker.association.time_zone
        self.zone = ZoneInfo(zone)
        self.fields["clock"].help_text = _("By the clock of %(place)s.") % {
            "place": zone.rpartition("/")[2].replace("_", " ")
        }

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("day") and cleaned.get("clock"):
            plays_at = datetime.combine(cleaned["day"], cleaned["clock"], tzinfo=self.zone)
            if plays_at.astimezone(UTC).astimezone(self.zone) != plays_at:
                self.add_error("clock", _("The clocks skip this hour on that day."))
            cleaned["plays_at"] = plays_at
        return cleaned

    @staticmethod
    def initial_from(game: Game) -> dict[str, Any]:
        """The time that a game is at, as it fills this form."""
        here = game.plays_at.astimezone(ZoneInfo(game.season.association.time_zone))
        return {"day": here.date(), "clock": here.time()}

    @property
    def plays_at(self) -> datetime:
        """Of a valid form only."""
        moment: datetime = self.cleaned_data["plays_at"]
        return moment


class DetailsForm(forms.ModelForm[Game]):
    class Meta:
        model = Game
        fields = ("level_of_play", "home", "visitors", "site")
        help_texts = {"level_of_play": _("Such as varsity, or girls under 16.")}

    @classmethod
    def initial_from(cls, game: Game) -> dict[str, Any]:
        """The game's details as they fill this form."""
        return model_to_dict(game, fields=cls._meta.fields)


class CrewForm(AskersForm):
    """Two officials or three; who is what follows from how many are chosen."""

    referee = forms.ModelChoiceField(
        label=_("Referee"), queryset=Membership.objects.none(), empty_label=_("choose")
    )
    umpire = forms.ModelChoiceField(
        label=_("Umpire, or umpire 1 of three"),
        queryset=Membership.objects.none(),
        empty_label=_("choose"),
    )
    third = forms.ModelChoiceField(
        label=_("Umpire 2"),
        queryset=Membership.objects.none(),
        required=False,
        empty_label=_("nobody: a crew of two"),
    )

    def __init__(
        self, asker: Membership, *args: Any, game: Game | None = None, **kwargs: Any
    ) -> None:
        super().__init__(asker, *args, **kwargs)
        for name in ("referee", "umpire", "third"):
            self.choose_from(name, _officials(asker, game))
        self.fields["referee"].error_messages["required"] = _("A crew has a referee.")
        self.fields["umpire"].error_messages["required"] = _("A crew has an umpire.")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        first: dict[Membership, str] = {}
        for name in ("referee", "umpire", "third"):
            official = cleaned.get(name)
            if official in first:
                already = self.fields[first[official]].label
                message = _("%(name)s is in the crew already, as “%(position)s”.")
                self.add_error(name, message % {"name": official, "position": already})
            elif official is not None:
                first[official] = name
        return cleaned

    @property
    def crew(self) -> dict[CrewPosition, Membership]:
        """Who is what; of a valid form only."""
        chosen = self.cleaned_data
        crew = {CrewPosition.REFEREE: chosen["referee"]}
        if chosen["third"] is None:
            return {**crew, CrewPosition.UMPIRE: chosen["umpire"]}
        return {
            **crew,
            CrewPosition.UMPIRE_1: chosen["umpire"],
            CrewPosition.UMPIRE_2: chosen["third"],
        }

    @staticmethod
    def initial_from(game: Game) -> dict[str, Any]:
        """The crew as it fills this form."""
        fields = {
            CrewPosition.REFEREE: "referee",
            CrewPosition.UMPIRE: "umpire",
            CrewPosition.UMPIRE_1: "umpire",
            CrewPosition.UMPIRE_2: "third",
        }
        return {fields[CrewPosition(c.position)]: c.official_id for c in game.crew.all()}


def _officials(asker: Membership, game: Game | None) -> QuerySet[Membership]:
    """Active officials by name, and whoever is in the game's crew already."""
    if game is None:
        return people(asker, role=Role.OFFICIAL)
    return (
        everybody(asker)
        .filter(Q(is_official=True, active=True) | Q(crews__game=game))
        .distinct()
        .order_by("user__name", "pk")
    )


class NewGameForm(WhenForm, CrewForm, DetailsForm):
    """A game on one page: when, who plays where, who officiates."""

    season = forms.ModelChoiceField(
        label=_("Season"), queryset=Season.objects.none(), empty_label=None
    )

    field_order = (
        "season",
        "day",
        "clock",
        "level_of_play",
        "home",
        "visitors",
        "site",
        "referee",
        "umpire",
        "third",
    )

    def __init__(self, asker: Membership, *args: Any, **kwargs: Any) -> None:
        super().__init__(asker, *args, **kwargs)
        self.choose_from("season", seasons_for(asker))

    @property
    def game(self) -> dict[str, Any]:
        """As `enter_game` takes it; of a valid form only."""
        names = ("season", "level_of_play", "home", "visitors", "site")
        chosen = {name: self.cleaned_data[name] for name in names}
        return {**chosen, "plays_at": self.plays_at, "crew": self.crew}


class GameFilter(AskersForm):
    """What the list of games is narrowed down to."""

    marks_optional = False  # nothing here has to be asked

    season = forms.ModelChoiceField(
        label=_("Season"),
        queryset=Season.objects.none(),
        required=False,
        empty_label=_("every season"),
    )
    since = forms.DateField(label=_("From the day"), required=False, widget=Day())
    text = forms.CharField(label=_("Team, site or name"), required=False, max_length=80)
    unobserved = forms.BooleanField(label=_("Without an observer"), required=False)

    def __init__(self, asker: Membership, asked: QueryDict, *, season: Season | None) -> None:
        """`season` is looked at first, until the asker chooses one or every season."""
        first = {"season": season.pk} if season else {}
        super().__init__(asker, {**first, **asked.dict()})
        self.choose_from("season", seasons_for(asker))

    def narrow(self) -> QuerySet[Game]:
        """The games found; none if the question makes no sense."""
        if not self.is_valid():
            return Game.objects.none()
        asked = self.cleaned_data
        return find_games(
            self.asker,
            season=asked["season"],
            since=asked["since"],
            text=asked["text"].strip(),
            unobserved=asked["unobserved"],
        )


class ReasonForm(forms.Form):
    """Why something is cancelled or closed."""

    reason = forms.CharField(
        label=_("Reason"),
        max_length=200,
        help_text=_("One sentence. The observer reads it."),
        error_messages={"required": _("Say why. The observer reads it.")},
    )

    def clean_reason(self) -> str:
        reason: str = self.cleaned_data["reason"].strip()
        if not reason:
            raise ValidationError(self.fields["reason"].error_messages["required"])
        return reason
