"""The words of a rubric as a whole: note, levels, bands."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from django import forms
from django.forms.boundfield import BoundField
from django.utils.translation import get_language, gettext_lazy
from django.utils.translation import gettext as _

from evaluations.core.rubric_content import BandContent, RubricContent
from evaluations.forms.fields import label_of
from evaluations.forms.rubric_fields import (
    DraftForm,
    NameField,
    NumberField,
    PercentField,
    TextField,
    in_language,
    languages,
)
from evaluations.models import CodeEdition, Rubric
from evaluations.queries.code_pages import code_name
from evaluations.queries.codes import CODE_FIELD, codes_to_choose, mechanics_code

WORD_BUDGET = 24
BANDS_AT_MOST = 6
MINIMUM_COUNT_AT_MOST = 50
NOTE_BUDGET = 400
MECHANICS_BUDGET = 120

CODE_LABELS = {
    2: gettext_lazy("Mechanics code for crews of two"),
    3: gettext_lazy("Mechanics code for crews of three"),
}


class CodeField(forms.ModelChoiceField[CodeEdition]):
    """An edition of a mechanics code, by its number and name."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(required=False, empty_label=_("none: no log is worked out"), **kwargs)

    def label_from_instance(self, obj: CodeEdition) -> str:
        name = code_name(mechanics_code(obj), get_language() or "en")
        return _("edition %(edition)s: %(name)s") % {"edition": obj.edition, "name": name}


class WordsForm(DraftForm):
    """Note, level words, shares from which a count reaches a level, bands."""

    note = TextField(
        label=gettext_lazy("Note for readers"), budget=NOTE_BUDGET, rows=3, required=False
    )
    mechanics = NameField(
        label=gettext_lazy("Mechanics manual and edition"),
        budget=MECHANICS_BUDGET,
        required=False,
        help_text=gettext_lazy("As it stands in the heading of every letter."),
    )
    minimum_count = forms.IntegerField(
        label=gettext_lazy("Findings that must be judged for a count"),
        min_value=1,
        max_value=MINIMUM_COUNT_AT_MOST,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off", "size": 3}),
        help_text=gettext_lazy("With fewer the form says “not enough seen” and suggests nothing."),
    )

    def __init__(
        self, data: Any = None, *, version: int, rubric: Rubric, content: RubricContent
    ) -> None:
        self.content = content
        association = rubric.season.association
        self.languages = languages(association.language)
        codes = {"code_of_two": rubric.code_of_two_id, "code_of_three": rubric.code_of_three_id}
        super().__init__(data, version=version, initial={**self._initial(), **codes})
        for crew_size, name in CODE_FIELD.items():
            self.fields[name] = CodeField(
                label=CODE_LABELS[crew_size], queryset=codes_to_choose(association, crew_size)
            )
        for level in self._levels:
            self._add_names(f"word-{level}", _("Level %(n)s") % {"n": level})
            if level > 1:
                label = label_of(
                    _("From (share of what was judged, in %)"), _("Level %(n)s") % {"n": level}
                )
                self.fields[f"cut-{level}"] = PercentField(label=label)
        for slot in self._slots:
            self.fields[f"band-{slot}-lower"] = NumberField(
                label=label_of(_("From"), _("Band %(n)s") % {"n": slot}),
                required=slot == 1,
                min_value=0,
                max_value=Decimal("99.9"),
                decimal_places=1,
            )
            self._add_names(f"band-{slot}", _("Band %(n)s") % {"n": slot})

    def _add_names(self, prefix: str, whose: str) -> None:
        for code, name in self.languages:
            label = label_of(name, whose)
            field = NameField(label=label, budget=WORD_BUDGET, required=False)
            self.fields |= in_language(code, {f"{prefix}-{code}": field})

    @property
    def _levels(self) -> range:
        return range(1, self.content.levels + 1)

    @property
    def _slots(self) -> range:
        return range(1, max(BANDS_AT_MOST, len(self.content.bands)) + 1)

    def _initial(self) -> dict[str, Any]:
        words = self.content.level_words
        initial: dict[str, Any] = {
            "note": self.content.note,
            "mechanics": self.content.mechanics,
            "minimum_count": self.content.minimum_count,
        }
        for code, by_level in words.items():
            initial |= {f"word-{n}-{code}": word for n, word in enumerate(by_level, start=1)}
        initial |= {f"cut-{n}": cut for n, cut in enumerate(self.content.cut_points, start=2)}
        for slot, band in enumerate(self.content.bands, start=1):
            initial[f"band-{slot}-lower"] = band.lower
            initial |= {f"band-{slot}-{code}": name for code, name in band.names.items()}
        return initial

    @property
    def levels(self) -> Iterator[tuple[int, list[BoundField], BoundField | None]]:
        """Each level with its words and the share from which a count reaches it."""
        for level in self._levels:
            words = [self[f"word-{level}-{code}"] for code, _name in self.languages]
            yield level, words, self[f"cut-{level}"] if level > 1 else None

    @property
    def bands(self) -> Iterator[tuple[int, list[BoundField]]]:
        """Each band's fields; those at the end are free for new ones."""
        for slot in self._slots:
            names = [self[f"band-{slot}-{code}"] for code, _name in self.languages]
            yield slot, [self[f"band-{slot}-lower"], *names]

    def clean(self) -> None:
        self._clean_bands()
        cuts = [self.cleaned_data.get(f"cut-{n}") for n in self._levels[1:]]
        for n, (before, cut) in enumerate(itertools.pairwise(cuts), start=3):
            if before is not None and cut is not None and cut <= before:
                self.add_error(f"cut-{n}", _("Must be higher than at the level before."))

    def _clean_bands(self) -> None:
        lowers: list[Decimal] = []
        for slot in self._slots:
            field = f"band-{slot}-lower"
            lower = self.cleaned_data.get(field)
            if lower is None:
                if any(self._band_names(slot).values()) and field not in self.errors:
                    self.add_error(field, _("Say from which total on a band has this name."))
            elif lower in lowers:
                self.add_error(field, _("Another band begins here."))
            else:
                lowers.append(lower)
        if lowers and min(lowers) > 0:
            self.add_error("band-1-lower", _("The lowest band begins at 0."))

    def _band_names(self, slot: int) -> dict[str, str]:
        return {
            code: self.cleaned_data.get(f"band-{slot}-{code}", "") for code, _name in self.languages
        }

    def _stored(self, name: str) -> str:
        field = self.fields[name]
        if not isinstance(field, CodeField):
            return super()._stored(name)
        assert field.queryset is not None
        code = field.queryset.filter(pk=self.initial[name]).first()
        return field.label_from_instance(code) if code else _("nothing")

    @property
    def values(self) -> dict[str, Any]:
        """The cleaned form as arguments of `rubric_edits.set_words`.

        Words of levels that the rubric has no more are handed on as they were.
        """
        cleaned = self.cleaned_data
        kept = self.content.level_words
        return {
            "version": cleaned["version"],
            "note": cleaned["note"],
            "mechanics": cleaned["mechanics"],
            "minimum_count": cleaned["minimum_count"],
            "code_of_two": cleaned["code_of_two"],
            "code_of_three": cleaned["code_of_three"],
            "cut_points": [cleaned[f"cut-{n}"] for n in self._levels[1:]],
            "level_words": {
                code: (
                    *(cleaned[f"word-{n}-{code}"] for n in self._levels),
                    *kept.get(code, ())[self.content.levels :],
                )
                for code, _name in self.languages
            },
            "bands": [
                BandContent(self._band_key(slot), lower, self._band_names(slot))
                for slot in self._slots
                if (lower := cleaned[f"band-{slot}-lower"]) is not None
            ],
        }

    def _band_key(self, slot: int) -> str:
        bands = self.content.bands
        return bands[slot - 1].key if slot <= len(bands) else ""
