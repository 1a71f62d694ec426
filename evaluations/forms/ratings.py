"""The evaluation form: each criterion's level, evidence and comment."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.html import format_html
from django.utils.translation import gettext as _

from evaluations.core.letter_form import percent
from evaluations.core.next_steps import REASON_BUDGET
from evaluations.core.ratings import COMMENT_LIMIT
from evaluations.core.rubric import AreaSpec, CriterionWording
from evaluations.core.voice import Voice
from evaluations.forms.counted import counted_beside
from evaluations.forms.fields import DeadBallField, WrittenField, label_of
from evaluations.forms.widgets import NOT_SEEN, Counted, LevelScale
from evaluations.models import Rating
from evaluations.queries.rating_sheets import RatingSheet
from evaluations.services.evaluation_rows import RatingInput
from evaluations.voice import SiteVoice


@dataclass(frozen=True)
class Row:
    """One criterion of one official. `reason` is there when a count suggests a level."""

    level: forms.BoundField
    reason: forms.BoundField | None
    evidence: forms.BoundField
    dead_ball: forms.BoundField
    comment: forms.BoundField

    @property
    def opens_comment(self) -> bool:
        return bool(self.comment.value() or self.comment.errors)


class RatingsForm(forms.Form):
    """One official's ratings.

    What isn't sent stays as it was, so that the same form takes a whole page and the few fields
    that changed. `whose` is put into labels where a page asks about several officials.
    """

    marks_optional = False  # of a draft everything may wait

    def __init__(
        self,
        sheet: RatingSheet,
        data: QueryDict | None = None,
        *,
        prefix: str | None = None,
        whose: str = "",
    ) -> None:
        super().__init__(data, prefix=prefix)
        self.sheet = sheet
        self.whose = whose
        for criterion in sheet.spec.criteria:
            self._add(criterion.key, sheet.wording.criteria[criterion.key])
        self.fields["flagged"] = forms.ChoiceField(
            label=f"{whose}: {_('Work on this next')}" if whose else _("Work on this next"),
            help_text=_("Your own pick becomes a next step, whatever the weights say."),
            required=False,
            initial=sheet.flagged or "",
            choices=[("", _("no pick of my own")), *self._criteria_by_area()],
        )

    def _add(self, key: str, texts: CriterionWording) -> None:
        name = f"{self.whose}: {texts.label}" if self.whose else texts.label
        stored = self.sheet.stored.get(key) or Rating()
        counted = counted_beside(self.sheet, key, SiteVoice(self.sheet.wording.language))
        self.fields[f"{key}-level"] = self._level(texts, counted, stored)
        if counted is not None and counted.departing:
            self.fields[f"{key}-reason"] = WrittenField(
                label=label_of(_("Why not as counted?"), name),
                help_text=_("Needed for a level other than the suggested one. The letter has it."),
                rows=2,
                budget=REASON_BUDGET,
                initial=stored.reason,
            )
        self.fields |= {
            f"{key}-evidence": WrittenField(
                label=_evidence_label(name), rows=2, initial=stored.evidence
            ),
            f"{key}-dead_ball": DeadBallField(
                label=label_of(_("Dead ball"), name), initial=stored.dead_ball
            ),
            f"{key}-comment": WrittenField(
                label=label_of(_("Comment"), name),
                rows=3,
                budget=COMMENT_LIMIT,
                initial=stored.comment,
            ),
        }

    def _level(
        self, texts: CriterionWording, counted: Counted | None, stored: Rating
    ) -> forms.ChoiceField:
        """Nothing is chosen beforehand, whatever the count suggests."""
        words = self.sheet.wording.level_words
        levels = [(str(level), word) for level, word in enumerate(words, start=1)]
        wordings = {str(level): text for level, text in enumerate(texts.levels, start=1)}
        return forms.ChoiceField(
            label=label_of(self.whose, texts.label) if self.whose else texts.label,
            help_text="" if self.whose else texts.hint,
            required=False,
            initial=NOT_SEEN if stored.not_seen else str(stored.level or ""),
            choices=[*levels, (NOT_SEEN, _("not seen"))],
            widget=LevelScale(wordings=wordings, counted=counted),
        )

    def _criteria_by_area(self) -> Iterator[tuple[str, list[tuple[str, str]]]]:
        wording = self.sheet.wording
        for area in self.sheet.spec.areas:
            criteria = [(c.key, wording.criteria[c.key].label) for c in area.criteria]
            yield wording.areas[area.key], criteria

    def row(self, key: str) -> Row:
        """The fields of one criterion."""
        return Row(
            level=self[f"{key}-level"],
            reason=self[f"{key}-reason"] if f"{key}-reason" in self.fields else None,
            evidence=self[f"{key}-evidence"],
            dead_ball=self[f"{key}-dead_ball"],
            comment=self[f"{key}-comment"],
        )

    @property
    def changed(self) -> bool:
        return bool(self.answers) or self.flagged != self.sheet.flagged

    @property
    def flagged(self) -> str | None:
        return self._now("flagged") or None

    @property
    def answers(self) -> tuple[RatingInput, ...]:
        """The criteria whose answers differ from what is kept."""
        now = (self._answer(criterion.key) for criterion in self.sheet.spec.criteria)
        return tuple(a for a in now if a != _stored(a.criterion, self.sheet.stored))

    def _answer(self, key: str) -> RatingInput:
        level = self._now(f"{key}-level")
        return RatingInput(
            criterion=key,
            level=int(level) if level not in ("", NOT_SEEN) else None,
            not_seen=level == NOT_SEEN,
            comment=self._now(f"{key}-comment"),
            dead_ball=self._now(f"{key}-dead_ball"),
            evidence=self._now(f"{key}-evidence"),
            reason=self._reason(key),
        )

    def _reason(self, key: str) -> str:
        """As typed; where nothing is asked for, as it was."""
        if f"{key}-reason" in self.fields:
            return str(self._now(f"{key}-reason"))
        stored = self.sheet.stored.get(key)
        return stored.reason if stored else ""

    def _now(self, name: str) -> Any:
        if self.add_prefix(name) in self.data:
            return self.cleaned_data[name]
        return self.get_initial_for_field(self.fields[name], name)


@dataclass(frozen=True)
class Area:
    """A section of the page. `rows` are pairs of a criterion's texts and its rows."""

    label: str
    share: str
    rows: list[tuple[CriterionWording, list[Row]]]


def areas_of(sheets: list[RatingsForm], voice: Voice) -> list[Area]:
    """The sections of one or several officials' forms, which have the same rubric."""
    if not sheets:
        return []
    spec, wording = sheets[0].sheet.spec, sheets[0].sheet.wording

    def section(area: AreaSpec) -> Area:
        return Area(
            label=wording.areas[area.key],
            share=_("%(share)s of the total") % {"share": percent(spec.area_share(area), voice)},
            rows=[
                (wording.criteria[c.key], [form.row(c.key) for form in sheets])
                for c in area.criteria
            ],
        )

    return [section(area) for area in spec.areas]


def _stored(key: str, rows: Any) -> RatingInput:
    row = rows.get(key)
    if row is None:
        return RatingInput(key)
    return RatingInput(
        key, row.level, row.not_seen, row.comment, row.dead_ball, row.evidence, row.reason
    )


def _evidence_label(name: str) -> str:
    return format_html(
        '{} <span class="needed">{}</span> <span class="visually-hidden">({})</span>',
        _("What was seen"),
        _("needed, or a dead ball"),
        name,
    )
