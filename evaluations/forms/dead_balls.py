"""All facts of one dead ball: for the table, the keyboard, and a browser without scripts."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from django import forms
from django.core.validators import MaxLengthValidator
from django.forms.boundfield import BoundField
from django.utils.translation import gettext as _

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics import words
from evaluations.core.mechanics.court import POSITIONS_OF, Court, End, Resumes, Side, Whistle
from evaluations.core.mechanics.facts import (
    NOT_SEEN,
    UNWATCHED,
    DeadBall,
    Eyes,
    Log,
    LogError,
    Source,
    Stood,
    Watching,
)
from evaluations.core.voice import Voice
from evaluations.forms.fact_fields import (
    Answers,
    PeriodField,
    SeenField,
    answer_of,
    clock_field,
    in_words,
    moments,
    report_fields,
    watching_fields,
    yes_or_no,
)
from evaluations.forms.fields import WrittenField
from evaluations.models import CrewMember, DeadBallLog

NOTE_LIMIT = 500
BEFORE, AFTER = "before", "after"


@dataclass(frozen=True, slots=True)
class Section:
    """Fields under one legend. What is rarely used stays folded until something is in it."""

    legend: str
    hint: str
    fields: tuple[BoundField, ...]
    rare: bool = False

    @property
    def is_open(self) -> bool:
        answers = (field.value() for field in self.fields)
        said = any(answer not in (None, "", answer_of(None)) for answer in answers)
        return said or any(field.errors for field in self.fields)


class DeadBallForm(forms.Form):
    """The facts of `ball`, or of a new dead ball, of which nothing is chosen yet.

    What the form doesn't ask for is kept: what only film shows where the log isn't from film, and
    the observer's word on a missed switch.
    """

    marks_optional = False
    mark = forms.CharField(required=False, widget=forms.HiddenInput)
    """Stands for the facts as the page was made from them; see `facts_mark`."""

    def __init__(
        self,
        log: DeadBallLog,
        crew: Sequence[CrewMember],
        voice: Voice,
        *args: Any,
        ball: DeadBall | None = None,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.stored = DeadBall(1) if ball is None else ball
        self.crew = {CrewPosition(member.position): str(member) for member in crew}
        film = log.source == Source.FILM
        self.report = report_fields(film=film)
        self.watching = {m: watching_fields(who, film=film) for m, who in self.crew.items()}
        self._ask_about_the_whistle(voice)
        for when in (BEFORE, AFTER):
            self._ask_where(when, voice)
        self.fields |= {f"report-{name}": field for name, field in self.report.items()}
        for member, fields in self.watching.items():
            self.fields |= {f"watching-{member}-{name}": field for name, field in fields.items()}
        self._ask_about_eyes()
        self.fields["note"] = WrittenField(
            label=_("Note"),
            rows=3,
            budget=NOTE_LIMIT,
            validators=[MaxLengthValidator(NOTE_LIMIT)],
            help_text=_("Players by jersey colour only, no names."),
        )
        if ball is not None:
            self.initial = {**self._stored_answers(), **self.initial}

    def know_newest(self, mark: str) -> None:
        """Keep what was typed, over the facts that were saved in between."""
        self.data = {**dict(self.data.items()), "mark": mark}

    # --- What is asked -------------------------------------------------------------------------
    @property
    def _members(self) -> Answers:
        return list(self.crew.items())

    def _ask_about_the_whistle(self, voice: Voice) -> None:
        turns = [(False, _("stays")), (True, _("turns"))]
        ends = [(End.LEFT, _("left of the table")), (End.RIGHT, _("right of the table"))]
        switched = [(True, _("switched")), (False, _("stayed"))]
        asked: dict[str, forms.Field] = {
            "period": PeriodField(),
            "clock": clock_field(),
            "whistle": SeenField(_("What was called"), in_words(voice, Whistle, words.whistle)),
            "caller": SeenField(_("Who called"), self._members),
            "court": SeenField(
                _("Where the play was"),
                in_words(voice, Court, words.court_part),
                help_text=_("As the team has it that attacked before the whistle."),
            ),
            "resumes": SeenField(
                _("How the ball became live"), in_words(voice, Resumes, words.resumes)
            ),
            "flip": SeenField(_("The direction of play"), turns),
            "basket": SeenField(_("Basket under attack before the whistle"), ends),
            "heated_bench": SeenField(_("A heated bench"), yes_or_no()),
        }
        if len(self.crew) == 2:
            asked["switched"] = SeenField(
                _("The two"),
                switched,
                help_text=_("A switch is an exchange of ends, whichever way play goes on."),
            )
        self.fields |= asked

    def _ask_where(self, when: str, voice: Voice) -> None:
        places = [(p, words.position(voice, p)) for p in POSITIONS_OF[len(self.crew)]]
        for member, who in self.crew.items():
            self.fields[f"{when}-{member}-position"] = SeenField(
                _("%(who)s, position") % {"who": who}, places
            )
            self.fields[f"{when}-{member}-side"] = SeenField(
                _("%(who)s, side") % {"who": who}, in_words(voice, Side, words.side)
            )

    def _ask_about_eyes(self) -> None:
        self.fields |= {
            "eyes-kept": SeenField(_("Somebody faced the players all the time"), yes_or_no()),
            "eyes-lost": SeenField(_("If not: when"), moments()),
            "eyes-whose": SeenField(
                _("If not: whose duty it was"),
                self._members,
                unsaid=_("as the mechanics have it"),
            ),
        }

    def sections(self) -> Iterable[Section]:
        """The fields in the order of what happens, each in one section."""
        crew = self.crew
        watched = [f"watching-{m}-{name}" for m, fields in self.watching.items() for name in fields]
        yield self._section(_("The whistle"), "", "period clock whistle caller court")
        yield self._section(_("How play went on"), "", "resumes flip")
        hint = _("Relative to the basket under attack before the whistle.")
        yield self._section(_("Where they stood at the whistle"), hint, *_places(BEFORE, crew))
        hint = _("Relative to the basket under attack from then on.")
        switched = "switched" if len(crew) == 2 else ""
        legend = _("When the ball was live")
        yield self._section(legend, hint, switched, *_places(AFTER, crew))
        hint = _("Of a foul only.")
        yield self._section(_("The report"), hint, *(f"report-{name}" for name in self.report))
        hint = _("Of those who did not call.")
        yield self._section(_("On a partner's whistle"), hint, *watched)
        yield self._section(_("Facing the players"), "", "eyes-kept eyes-lost eyes-whose")
        rare = self._section(_("Rarely needed"), "", "basket heated_bench")
        yield replace(rare, rare=True)
        yield self._section(_("In your words"), "", "note")

    def _section(self, legend: str, hint: str, *names: str) -> Section:
        return Section(legend, hint, tuple(self[name] for name in " ".join(names).split()))

    def _stored_answers(self) -> dict[str, Any]:
        ball = self.stored
        plain = ("whistle", "caller", "court", "resumes", "flip", "basket", "heated_bench")
        facts = {name: getattr(ball, name) for name in (*plain, "switched")}
        for when, stood in ((BEFORE, ball.before), (AFTER, ball.after)):
            for member in self.crew:
                seen = stood.get(member, NOT_SEEN)
                facts[f"{when}-{member}-position"] = seen.position
                facts[f"{when}-{member}-side"] = seen.side
        facts |= {f"report-{name}": getattr(ball.report, name) for name in self.report}
        facts |= {f"eyes-{name}": getattr(ball.eyes, name) for name in ("kept", "lost", "whose")}
        for member, fields in self.watching.items():
            seen_of = ball.watching.get(member, UNWATCHED)
            facts |= {f"watching-{member}-{name}": getattr(seen_of, name) for name in fields}
        answers = {name: answer_of(fact) for name, fact in facts.items()}
        typed = {"period": ball.period, "clock": ball.clock, "note": ball.note}
        return {**answers, **typed, "report-player": ball.report.player}

    # --- What was said -------------------------------------------------------------------------
    def clean(self) -> dict[str, Any]:
        said = super().clean() or {}
        if not self.errors:
            self._check_eyes(said)
        if not self.errors:
            try:
                Log(len(self.crew), (self.ball,))
            except LogError as error:
                self._refuse(error)
        return said

    def _check_eyes(self, said: dict[str, Any]) -> None:
        more = said["eyes-lost"] is not None or said["eyes-whose"] is not None
        if said["eyes-kept"] and more:
            text = _("Then nothing was lost: take the answers below back, or choose “no”.")
            self.add_error("eyes-kept", text)
        elif said["eyes-kept"] is None and more:
            text = _("Choose “no”, or take the answers below back.")
            self.add_error("eyes-kept", text)

    def _refuse(self, error: LogError) -> None:
        """Say at the field what contradicts what; core names the fact behind its place."""
        last = list(self.crew)[-1]
        fact = error.field.rpartition(".")[2]
        in_one = _("Two officials can't be in one position.")
        told = {
            "whistle": ("whistle", _("No game goes on like this after it: see below.")),
            BEFORE: (f"{BEFORE}-{last}-position", in_one),
            AFTER: (f"{AFTER}-{last}-position", in_one),
            "switched": ("switched", _("The positions before and after say otherwise.")),
        }
        name, text = told[fact]
        self.add_error(name, text)
        if fact == "whistle":
            self.add_error("resumes", _("This way, or this direction, doesn't follow that call."))

    @property
    def ball(self) -> DeadBall:
        """The facts as said, over those that weren't asked for; of a valid form only.

        Raises:
            LogError: facts that contradict each other.
        """
        said, stored = self.cleaned_data, self.stored
        plain = ("whistle", "caller", "court", "resumes", "flip", "basket", "heated_bench")
        report = {name: said[f"report-{name}"] for name in self.report}
        return replace(
            stored,
            **{name: said[name] for name in (*plain, "period", "clock", "note")},
            switched=said.get("switched"),
            before=self._stood(BEFORE),
            after=self._stood(AFTER),
            report=replace(stored.report, **{**report, "player": report["player"] or None}),
            watching={member: self._watching(member) for member in self.crew},
            eyes=Eyes(said["eyes-kept"], said["eyes-lost"], said["eyes-whose"]),
        )

    def _stood(self, when: str) -> dict[CrewPosition, Stood]:
        said = self.cleaned_data
        return {
            member: Stood(said[f"{when}-{member}-position"], said[f"{when}-{member}-side"])
            for member in self.crew
        }

    def _watching(self, member: CrewPosition) -> Watching:
        asked = self.watching[member]
        seen = {name: self.cleaned_data[f"watching-{member}-{name}"] for name in asked}
        return replace(self.stored.watching.get(member, UNWATCHED), **seen)


def _places(when: str, crew: Iterable[CrewPosition]) -> list[str]:
    return [f"{when}-{member}-{part}" for member in crew for part in ("position", "side")]
