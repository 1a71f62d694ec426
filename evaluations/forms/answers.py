"""What an official says to a letter, and what a review finds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.validators import MaxLengthValidator
from django.forms.boundfield import BoundField
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from accounts.models import Membership
from evaluations.core.letter import FormRow, LetterContent
from evaluations.core.release import ReleaseSnapshot
from evaluations.forms.fields import WrittenField, label_of
from evaluations.forms.releases import NeededField
from evaluations.models import ReviewLine
from evaluations.queries.reviews import Candidate, LineUnderReview
from evaluations.services.answers import ReviewInput

ANSWER_LIMIT = 2000
LINE_LIMIT = 500


@dataclass(frozen=True, slots=True)
class LineRow:
    """A line of the letter, with room to say that this is not what happened."""

    row: FormRow
    field: BoundField

    @property
    def is_open(self) -> bool:
        return bool(self.field.errors or self.field.value())


class RespondForm(forms.Form):
    """An answer as a whole, and to any line of the letter."""

    marks_optional = False

    def __init__(self, snapshot: ReleaseSnapshot, content: LetterContent, data: Any) -> None:
        super().__init__(data)
        self.content = content
        self.keys = {f"line-{key}": key for key in snapshot.rubric.area_of}
        for name, key in self.keys.items():
            self.fields[name] = WrittenField(
                label=label_of(_("What happened"), snapshot.wording.criteria[key].label),
                rows=3,
                budget=LINE_LIMIT,
                validators=[MaxLengthValidator(LINE_LIMIT)],
            )
        self.fields["text"] = WrittenField(
            label=_("Your answer"),
            rows=6,
            budget=ANSWER_LIMIT,
            validators=[MaxLengthValidator(ANSWER_LIMIT)],
            help_text=_("It stays with the letter and travels with every copy of it."),
        )

    def areas(self) -> Iterator[tuple[str, list[LineRow]]]:
        """The lines area by area, in the letter's order."""
        names = iter(self.keys)
        for area in self.content.form.areas:
            yield area.label, [LineRow(row, self[next(names)]) for row in area.rows]

    @property
    def lines(self) -> dict[str, str]:
        """What was said, by criterion; of a valid form only."""
        return {key: self.cleaned_data[name] for name, key in self.keys.items()}


class ReviewAskForm(forms.Form):
    reason = NeededField(
        label=gettext_lazy("What should be looked at"),
        limit=LINE_LIMIT,
        help_text=gettext_lazy("Say which line and, if you can, which dead ball or minute."),
        missing=gettext_lazy("Say what should be looked at."),
    )


class ReviewerForm(forms.Form):
    """Who reviews a letter, of those who can."""

    reviewer = forms.ChoiceField(
        label=gettext_lazy("Reviewer"),
        widget=forms.RadioSelect,
        error_messages={
            "required": gettext_lazy("Choose a reviewer."),
            "invalid_choice": gettext_lazy("This observer can't review it; see below."),
        },
    )

    def __init__(self, candidates: Sequence[Candidate], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fit = {str(c.observer.pk): c.observer for c in candidates if not c.obstacle}
        self.unfit = [c for c in candidates if c.obstacle]
        field = self.fields["reviewer"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [(pk, str(observer)) for pk, observer in self.fit.items()]

    @property
    def chosen(self) -> Membership:
        """Of a valid form only."""
        return self.fit[self.cleaned_data["reviewer"]]


@dataclass(frozen=True, slots=True)
class FindingRow:
    """A line under review with its three fields."""

    line: LineUnderReview
    outcome: BoundField
    level: BoundField
    note: BoundField


class ReviewForm(forms.Form):
    """For each line: it stands, is corrected from film, or is removed; and what the film shows.

    A line that the official marked has to be answered; of the others, as many as were looked at.
    """

    marks_optional = False

    def __init__(self, lines: Sequence[LineUnderReview], words: Sequence[str], data: Any) -> None:
        super().__init__(data)
        self.lines = lines
        levels = [("", "–"), *((str(n), word) for n, word in enumerate(words, start=1))]
        for line in lines:
            self.fields[f"{line.criterion}-outcome"] = forms.ChoiceField(
                label=_("On film, this line"),
                choices=ReviewLine.Outcome.choices,
                widget=forms.RadioSelect(attrs={"class": "inline"}),
                required=bool(line.said),
                error_messages={
                    "required": _("%(line)s: say whether it stands.") % {"line": line.label}
                },
            )
            self.fields[f"{line.criterion}-level"] = forms.ChoiceField(
                label=label_of(_("If corrected: to"), line.label), choices=levels, required=False
            )
            self.fields[f"{line.criterion}-note"] = WrittenField(
                label=label_of(_("What the film shows"), line.label),
                rows=3,
                budget=LINE_LIMIT,
                validators=[MaxLengthValidator(LINE_LIMIT)],
            )

    def rows(self) -> list[FindingRow]:
        return [
            FindingRow(line, *(self[f"{line.criterion}-{n}"] for n in ("outcome", "level", "note")))
            for line in self.lines
        ]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        for line in self.lines:
            self._check(line)
        return cleaned

    def _check(self, line: LineUnderReview) -> None:
        outcome, level, note = self._said(line)
        corrected = outcome == ReviewLine.Outcome.CORRECTED
        named = {"line": line.label}
        if corrected and not level:
            self._refuse(
                line, "level", _("%(line)s: choose the level that the film shows.") % named
            )
        if level and not corrected:
            text = _("%(line)s: a level goes with “corrected from film” only.") % named
            self._refuse(line, "level", text)
        if outcome and not note.strip():
            self._refuse(line, "note", _("%(line)s: say what the film shows.") % named)
        if note.strip() and not outcome and not line.said:
            self._refuse(line, "outcome", _("%(line)s: say whether it stands.") % named)

    def _refuse(self, line: LineUnderReview, field: str, text: str) -> None:
        self.add_error(f"{line.criterion}-{field}", text)

    def _said(self, line: LineUnderReview) -> tuple[str, str, str]:
        names = ("outcome", "level", "note")
        outcome, level, note = (
            self.cleaned_data.get(f"{line.criterion}-{name}", "") for name in names
        )
        return outcome, level, note

    @property
    def findings(self) -> list[ReviewInput]:
        """Of a valid form only."""
        found = ((line, *self._said(line)) for line in self.lines)
        return [
            ReviewInput(
                criterion=line.criterion,
                outcome=ReviewLine.Outcome(outcome),
                note=note,
                level=int(level) if level else None,
            )
            for line, outcome, level, note in found
            if outcome
        ]
