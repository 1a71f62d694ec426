"""What a season's findings are narrowed down to."""

from __future__ import annotations

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from accounts.models import Membership
from evaluations.core.mechanics.facts import Kept
from evaluations.forms.games import AskersForm
from evaluations.models import DeadBallLog, Game, Season
from evaluations.queries.findings import Asked, levels_of_play
from evaluations.queries.seasons import seasons_for

ALL = [("", _("all"))]
KEPT = [choice for choice in DeadBallLog.Kept.choices if Kept(choice[0]).gives_shares]


class FindingsFilter(AskersForm):
    """A season, and within it the crew, the level of play and how logs were kept."""

    marks_optional = False  # nothing here has to be asked

    season = forms.ModelChoiceField(
        label=_("Season"), queryset=Season.objects.none(), empty_label=None
    )
    crew_size = forms.TypedChoiceField(
        label=_("Crew"),
        choices=[*ALL, *Game.CrewSize.choices],
        coerce=int,
        empty_value=None,
        required=False,
    )
    level_of_play = forms.ChoiceField(label=_("Level of play"), required=False)
    kept = forms.TypedChoiceField(
        label=_("What was logged"),
        choices=[*ALL, *KEPT],
        coerce=Kept,
        empty_value=None,
        required=False,
    )

    def __init__(self, asker: Membership, asked: QueryDict, *, season: Season | None) -> None:
        """`season` is looked at first, until the asker chooses one."""
        first = {"season": season.pk} if season else {}
        super().__init__(asker, {**first, **asked.dict()})
        self.choose_from("season", seasons_for(asker))
        self.any_season = season is not None
        level = self.fields["level_of_play"]
        assert isinstance(level, forms.ChoiceField)
        level.choices = [*ALL, *((name, name) for name in levels_of_play(asker))]

    @property
    def asked(self) -> Asked | None:
        """What is asked for; None if the question makes no sense."""
        return Asked(**self.cleaned_data) if self.is_valid() else None
