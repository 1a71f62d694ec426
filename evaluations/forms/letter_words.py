"""The words for a letter: summary, what went well, next steps."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext as _

from evaluations.core.drafting import Words
from evaluations.core.next_steps import (
    STEP_BUDGET,
    STRENGTH_BUDGET,
    STRENGTHS_AT_MOST,
    SUMMARY_BUDGET,
    NextStep,
    Strength,
)
from evaluations.forms.fields import DeadBallField, WrittenField, label_of
from evaluations.queries.letter_words import WordSheet

LEAVE_OUT = "leave-out"
STEP_PARTS = ("standard", "why", "try_this", "check")

Item = TypeVar("Item", Strength, NextStep)


@dataclass(frozen=True)
class StrengthRow:
    key: str
    label: str
    level: str
    seen: forms.BoundField
    dead_ball: forms.BoundField
    raised: forms.BoundField
    instead: forms.BoundField


@dataclass(frozen=True)
class StepRow:
    key: str
    label: str
    level: str
    seen: forms.BoundField
    parts: list[forms.BoundField]
    dead_ball: forms.BoundField
    raised: forms.BoundField
    instead: forms.BoundField
    budget: int = STEP_BUDGET


class WordsForm(forms.Form):
    """Everything of a letter that is written rather than rated.

    A whole page says itself which criteria it is about (`strength` and `step`, in order). With
    `only_changes` the data are the few fields that changed, and the others stay as they were.
    Choosing another criterion for a strength or a step, leaving it out or adding one is a move:
    it brings the texts of the new criterion, and the page is shown again.
    """

    marks_optional = False  # of a draft everything may wait

    def __init__(
        self, sheet: WordSheet, data: QueryDict | None = None, *, only_changes: bool = False
    ) -> None:
        super().__init__(data)
        self.sheet = sheet
        self.only_changes = only_changes
        self.kind_of: dict[str, str] = {}  # of the fields in which a move is chosen
        before = sheet.words
        strengths = {s.criterion: s for s in before.strengths}
        steps = {s.criterion: s for s in before.next_steps}
        self.strength_keys = self._keys("strength", strengths)
        self.step_keys = self._keys("step", steps)
        self.fields["summary"] = WrittenField(
            label=_("In short"),
            help_text=_("Two sentences, about the work."),
            rows=3,
            budget=SUMMARY_BUDGET,
            initial=before.summary,
            attrs={"lang": sheet.letter_wording.language},
        )
        for key in self.strength_keys:
            self._add_strength(strengths.get(key) or sheet.strength(key))
        for key in self.step_keys:
            self._add_step(steps.get(key) or sheet.next_step(key))
        self._add_choice("strength", "add-strength", _("Add a strength"))
        self._add_choice("step", "add-step", _("Add a next step"))

    def _keys(self, kind: str, before: Iterable[str]) -> list[str]:
        if not self.is_bound or self.only_changes:
            return list(before)
        assert isinstance(self.data, QueryDict)
        return [k for k in dict.fromkeys(self.data.getlist(kind)) if k in self.sheet.spec.area_of]

    def _add_strength(self, value: Strength) -> None:
        name = self._label(value.criterion)
        self.fields[f"strength-{value.criterion}-seen"] = WrittenField(
            label=label_of(_("What was seen"), name),
            help_text=self._asked(value),
            rows=2,
            budget=STRENGTH_BUDGET,
            initial=value.seen,
            attrs={"lang": self.sheet.letter_wording.language},
        )
        self._add_marks("strength", value)

    def _add_step(self, value: NextStep) -> None:
        prefix = f"step-{value.criterion}"
        names = {
            "seen": _("What was seen"),
            "standard": _("Standard"),
            "why": _("Why it matters"),
            "try_this": _("Try this"),
            "check": _("How we will check"),
        }
        for part, name in names.items():
            self.fields[f"{prefix}-{part}"] = WrittenField(
                label=label_of(name, self._label(value.criterion)),
                help_text=self._asked(value) if part == "seen" else "",
                rows=2,
                initial=getattr(value, part),
                attrs={"data-budget-group": prefix, "lang": self.sheet.letter_wording.language},
            )
        self._add_marks("step", value)

    def _asked(self, value: Strength | NextStep) -> str:
        return "" if value.seen else _("Needed: a sentence, or a dead ball.")

    def _add_marks(self, kind: str, value: Strength | NextStep) -> None:
        name = self._label(value.criterion)
        prefix = f"{kind}-{value.criterion}"
        self.fields[f"{prefix}-dead_ball"] = DeadBallField(
            label=label_of(_("Dead ball"), name), initial=value.dead_ball
        )
        self.fields[f"{prefix}-raised"] = forms.BooleanField(
            label=label_of(_("raised after the game"), name),
            required=False,
            initial=value.raised,
        )
        self._add_choice(
            kind,
            f"{prefix}-instead",
            label_of(_("Put in its place"), name),
            (LEAVE_OUT, _("nothing: leave it out")),
        )

    def _add_choice(self, kind: str, field: str, label: str, *others: tuple[str, str]) -> None:
        taken = self.step_keys if kind == "step" else self.strength_keys
        self.kind_of[field] = kind
        self.fields[field] = forms.ChoiceField(
            label=label,
            required=False,
            choices=[("", _("choose")), *others, *self._free_criteria(taken)],
            widget=forms.Select(attrs={"data-unsaved": ""}),
        )

    def _free_criteria(self, taken: Sequence[str]) -> Iterator[tuple[str, list[tuple[str, str]]]]:
        for area in self.sheet.spec.areas:
            free = [c.key for c in area.criteria if c.key in self.sheet.seen]
            found = [
                (key, f"{self._label(key)} ({self._level(key)})")
                for key in free
                if key not in taken
            ]
            if found:
                yield self.sheet.wording.areas[area.key], found

    def _label(self, key: str) -> str:
        return self.sheet.wording.criteria[key].label

    def _level(self, key: str) -> str:
        rating = self.sheet.seen.get(key)
        if rating is None or rating.level is None:
            return _("not seen")
        return f"{rating.level}, {self.sheet.wording.level_words[rating.level - 1]}"

    # --- What the page shows ------------------------------------------------------------------
    def strength_rows(self) -> Iterator[StrengthRow]:
        for key in self.strength_keys:
            fields = (
                self[f"strength-{key}-{n}"] for n in ("seen", "dead_ball", "raised", "instead")
            )
            yield StrengthRow(key, self._label(key), self._level(key), *fields)

    def step_rows(self) -> Iterator[StepRow]:
        for key in self.step_keys:
            yield StepRow(
                key=key,
                label=self._label(key),
                level=self._level(key),
                seen=self[f"step-{key}-seen"],
                parts=[self[f"step-{key}-{part}"] for part in STEP_PARTS],
                dead_ball=self[f"step-{key}-dead_ball"],
                raised=self[f"step-{key}-raised"],
                instead=self[f"step-{key}-instead"],
            )

    @property
    def add_strength(self) -> forms.BoundField:
        return self["add-strength"]

    @property
    def add_step(self) -> forms.BoundField:
        return self["add-step"]

    @property
    def takes_strength(self) -> bool:
        return len(self.strength_keys) < STRENGTHS_AT_MOST

    @property
    def takes_step(self) -> bool:
        return len(self.step_keys) < self.sheet.steps_at_most

    # --- What was written ---------------------------------------------------------------------
    @property
    def words(self) -> Words:
        """Everything as it is to be kept, moves included."""
        return Words(
            summary=self._now("summary"),
            strengths=self._moved(
                "strength", [self._strength(k) for k in self.strength_keys], self.sheet.strength
            ),
            next_steps=self._moved(
                "step", [self._step(k) for k in self.step_keys], self.sheet.next_step
            ),
        )

    def _strength(self, key: str) -> Strength:
        parts = ("seen", "dead_ball", "raised")
        return Strength(key, **{part: self._now(f"strength-{key}-{part}") for part in parts})

    def _step(self, key: str) -> NextStep:
        parts = ("seen", *STEP_PARTS, "dead_ball", "raised")
        return NextStep(key, **{part: self._now(f"step-{key}-{part}") for part in parts})

    def _moved(
        self, kind: str, items: Sequence[Item], made: Callable[[str], Item]
    ) -> tuple[Item, ...]:
        kept: list[Item] = []
        for item in items:
            instead = self.cleaned_data[f"{kind}-{item.criterion}-instead"]
            if instead != LEAVE_OUT:
                kept.append(made(instead) if instead else item)
        added = self.cleaned_data[f"add-{kind}"]
        if added:
            kept.append(made(added))
        return tuple(kept)

    @property
    def moves(self) -> dict[str, str]:
        """What was chosen, by field; without the fields in which nothing was."""
        chosen = ((field, self.cleaned_data.get(field)) for field in self.kind_of)
        return {field: key for field, key in chosen if key}

    @property
    def moved_to(self) -> str:
        """The part of the page that a move has changed; "" without one."""
        for field, key in self.moves.items():
            kind = self.kind_of[field]
            return f"{kind}s" if key == LEAVE_OUT else f"{kind}-{key}"
        return ""

    def clean(self) -> dict[str, Any]:
        """One criterion can't take two places."""
        taken: set[tuple[str, str]] = set()
        for field, key in self.moves.items():
            if key != LEAVE_OUT and (self.kind_of[field], key) in taken:
                self.add_error(field, _("This criterion is chosen twice. Choose another one."))
            taken.add((self.kind_of[field], key))
        return self.cleaned_data

    def _now(self, name: str) -> Any:
        if not self.only_changes or name in self.data:
            return self.cleaned_data[name]
        return self.get_initial_for_field(self.fields[name], name)
