"""How a log is kept, and two officials who were mixed up."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.utils.html import format_html
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics import words
from evaluations.core.mechanics.facts import Kept, Source
from evaluations.core.mechanics.rules import RULES
from evaluations.core.mechanics.taps import marks_for
from evaluations.core.mechanics.zones import Seat
from evaluations.core.voice import Voice
from evaluations.forms.fields import HIGHEST_DEAD_BALL
from evaluations.models import CrewMember, DeadBallLog
from evaluations.services.log_edits import Exchange
from evaluations.services.logs import Terms

MOST_IN_FOCUS = 2
FEWEST, MOST = 2, 10
"""A log of every n-th foul: the bounds of n."""

NOT_KNOWN = "not_known"
ASKED, NOT_ASKED = "asked", "not_asked"


class TermsForm(forms.Form):
    """Asked once, before the first whistle; all of it can be changed later."""

    seat = forms.ChoiceField(
        label=gettext_lazy("Where do you sit?"),
        choices=DeadBallLog.Seat.choices,
        widget=forms.RadioSelect,
        help_text=gettext_lazy("The court is drawn the way you see it."),
        error_messages={"required": gettext_lazy("Say where you sit.")},
    )
    left_end = forms.ChoiceField(
        label=gettext_lazy("Who is nearer to the basket that the table has on its left?"),
        widget=forms.RadioSelect,
        help_text=gettext_lazy("The ends carry over from whistle to whistle."),
        error_messages={"required": gettext_lazy("Choose one of the crew, or “not known yet”.")},
    )
    source = forms.ChoiceField(
        label=gettext_lazy("What do you log from?"),
        choices=DeadBallLog.Source.choices,
        widget=forms.RadioSelect(attrs={"class": "inline"}),
        error_messages={"required": gettext_lazy("Say what you log from.")},
    )
    film_rules = forms.BooleanField(
        label=gettext_lazy("From film: judge also what can't be seen from the stand"),
        required=False,
        help_text=gettext_lazy("Benches kept in view, words spoken, how wide vision was held."),
    )
    kept = forms.ChoiceField(
        label=gettext_lazy("What do you log?"),
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Say what you log.")},
    )
    every_nth = forms.IntegerField(
        label=gettext_lazy("If every n-th foul: one in how many?"),
        required=False,
        min_value=FEWEST,
        max_value=MOST,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off", "size": 3}),
    )
    focus = forms.MultipleChoiceField(
        label=gettext_lazy("Tonight's focus"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=gettext_lazy("At most two. Each gets a quick mark at every whistle."),
    )
    asked = forms.ChoiceField(
        label=gettext_lazy("Did you ask the crew what they agreed before the game?"),
        choices=[
            (ASKED, gettext_lazy("yes: what is ticked below, and nothing else")),
            (NOT_ASKED, gettext_lazy("I didn't ask: where it matters, the place is not judged")),
        ],
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Say whether you asked.")},
    )
    agreed = forms.MultipleChoiceField(
        label=gettext_lazy("They agreed that this may be done instead"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )

    def __init__(
        self,
        crew: Sequence[CrewMember],
        options: Sequence[str],
        voice: Voice,
        *args: Any,
        **kw: Any,
    ) -> None:
        super().__init__(*args, **kw)
        self._offer("kept", _ways_to_keep())
        self._offer("focus", [(key, words.rule(voice, key)) for key in _marked(len(crew))])
        if len(crew) == 2:
            ends = [(member.position, str(member)) for member in crew]
            self._offer("left_end", [*ends, (NOT_KNOWN, _("not known yet"))])
        else:
            del self.fields["left_end"]
        if options:
            self._offer("agreed", [(key, words.option(voice, key)) for key in options])
        else:
            del self.fields["asked"], self.fields["agreed"]

    def _offer(self, name: str, choices: list[tuple[str, str]]) -> None:
        field = self.fields[name]
        assert isinstance(field, forms.ChoiceField)
        field.choices = choices

    def clean(self) -> dict[str, Any]:
        said = super().clean() or {}
        if said.get("kept") == Kept.EVERY_NTH and said.get("every_nth", FEWEST) is None:
            self.add_error("every_nth", _("Give a number from 2 to 10."))
        if len(said.get("focus", ())) > MOST_IN_FOCUS:
            self.add_error("focus", _("Choose two at most: there is one thumb for all of it."))
        if said.get("asked") == NOT_ASKED and said.get("agreed"):
            self.add_error("asked", _("Something is ticked as agreed: choose “yes”, or untick it."))
        if said.get("film_rules") and said.get("source") not in (None, Source.FILM):
            self.add_error("film_rules", _("Only film shows this. Untick it, or choose film."))
        return said

    @property
    def terms(self) -> Terms:
        """As `begin_log` and `change_terms` take them; of a valid form only."""
        said = self.cleaned_data
        kept, left = Kept(said["kept"]), said.get("left_end", NOT_KNOWN)
        # A code without options asks nothing; what was said before a correction stays said.
        not_asked = said.get("asked", self.initial.get("asked")) == NOT_ASKED
        return {
            "seat": Seat(said["seat"]),
            "kept": kept,
            "every_nth": said["every_nth"] if kept is Kept.EVERY_NTH else None,
            "source": Source(said["source"]),
            "focus": said["focus"],
            "agreed": None if not_asked else said.get("agreed", ()),
            "left_end": None if left == NOT_KNOWN else CrewPosition(left),
            "film_rules": said["film_rules"],
        }

    @staticmethod
    def initial_from(log: DeadBallLog) -> dict[str, Any]:
        """How a log is kept, as it fills this form."""
        names = ("seat", "source", "film_rules", "kept", "every_nth", "focus", "agreed")
        asked = NOT_ASKED if log.agreed is None else ASKED
        stored = {name: getattr(log, name) for name in names}
        return {**stored, "asked": asked, "left_end": log.left_end or NOT_KNOWN}


def _marked(crew: int) -> list[str]:
    """The rules that can be seen from the stand and said by one tap."""
    return [rule.key for rule in RULES if not rule.film and marks_for(rule.key, crew)]


def _ways_to_keep() -> list[tuple[str, str]]:
    means = {
        Kept.EVERY_FOUL: _("Counts are of the whole game."),
        Kept.EVERY_NTH: _("A sample: every count comes with its margin."),
        Kept.ONE_DUTY: _("A sample of one duty at a time: every count comes with its margin."),
        Kept.STRIKING: _("Examples only: no counts, no shares, no suggested levels."),
    }
    both = '{}. <span class="soft">{}</span>'
    return [(way.value, format_html(both, way.label, means[Kept(way)])) for way in DeadBallLog.Kept]


class ExchangeForm(forms.Form):
    """From which dead ball on two officials were mixed up; of three, which two."""

    since = forms.IntegerField(
        label=gettext_lazy("From dead ball"),
        min_value=1,
        max_value=HIGHEST_DEAD_BALL,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off", "size": 3}),
        error_messages={
            "required": gettext_lazy("Give the number of the first one that is wrong."),
            "invalid": gettext_lazy("Give the number of the dead ball alone, such as 9."),
        },
    )
    pair = forms.ChoiceField(
        label=gettext_lazy("Which two"),
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Choose the two who were mixed up.")},
    )

    def __init__(self, crew: Sequence[CrewMember], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.pairs = {
            f"{first.position}-{second.position}": (first, second)
            for place, first in enumerate(crew)
            for second in crew[place + 1 :]
        }
        if len(self.pairs) == 1:
            del self.fields["pair"]
            return
        field = self.fields["pair"]
        assert isinstance(field, forms.ChoiceField)
        both = _("%(first)s and %(second)s")
        field.choices = [
            (key, both % {"first": first, "second": second})
            for key, (first, second) in self.pairs.items()
        ]

    @property
    def officials(self) -> tuple[CrewMember, CrewMember]:
        """The two; of a valid form only."""
        return self.pairs[self.cleaned_data.get("pair") or next(iter(self.pairs))]

    @property
    def exchange(self) -> Exchange:
        """As `exchange_officials` takes it; of a valid form only."""
        first, second = (CrewPosition(official.position) for official in self.officials)
        return {"since": self.cleaned_data["since"], "first": first, "second": second}

    def as_query(self, version: int) -> str:
        """The same answers in an address, for the page that offers to undo them.

        `version` is the log's after the exchange: once it was changed again, nothing is offered.
        """
        return urlencode({**{name: self.data[name] for name in self.fields}, "version": version})
