"""One row of a mechanics code: what it is for, who goes where, what is allowed instead."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django import forms
from django.forms.boundfield import BoundField
from django.http import QueryDict
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from evaluations.core.mechanics import code_words, words
from evaluations.core.mechanics.code import (
    Administers,
    CodeError,
    MechanicsCode,
    Needs,
    Option,
    Outcome,
    Row,
)
from evaluations.core.mechanics.court import (
    POSITIONS_OF,
    Court,
    Position,
    Resumes,
    Side,
    Whistle,
)
from evaluations.core.mechanics.questions import option_key
from evaluations.core.voice import Voice
from evaluations.forms.code_row_fields import (
    as_asked,
    as_initial,
    matching_fields,
    outcome_fields,
    place_of,
    several,
)
from evaluations.forms.fields import label_of
from evaluations.forms.rubric_fields import DraftForm, TextField, in_language, languages

NOTE_BUDGET = 300
OPTIONS_AT_MOST = 10
NEW = "new"


class RowForm(DraftForm):
    """All of a row. `row` None: a new one, with what `asked` names filled in.

    `seen` is the fingerprint of the row that the page was made from: a page that was open for long
    is then saved to this row, wherever it stands by now.
    """

    seen = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(
        self,
        data: Any = None,
        *,
        version: int,
        value: MechanicsCode,
        row: Row | None,
        own_language: str,
        voice: Voice,
        asked: QueryDict | None = None,
    ) -> None:
        self.value, self.row, self.voice = value, row, voice
        self.crew = value.crews[0] if row is None else row.crew
        self.languages = languages(own_language)
        initial = as_asked(asked) if row is None else as_initial(row)
        super().__init__(data, version=version, initial=initial)
        if row is None:
            self.fields["before"] = self._place()
            self.initial.setdefault("before", str(len(value.rows) + 1))
        self.fields |= matching_fields(voice, self.crew)
        self.fields |= outcome_fields(voice, self.crew, "", _("Afterwards"), required=True)
        for key in self._options:
            self.fields |= self._option(key)
        self.fields["sure"] = forms.BooleanField(label=_("We are sure of this row"), required=False)
        for code, name in self.languages:
            label = _("Note in %(language)s") % {"language": name}
            note = TextField(label=label, budget=NOTE_BUDGET, required=False)
            self.fields |= in_language(code, {f"note-{code}": note})

    # --- Fields -------------------------------------------------------------------------------
    def _place(self) -> forms.Field:
        count = len(self.value.rows)
        places = [(str(n), _("before row %(number)s") % {"number": n}) for n in range(1, count + 1)]
        return forms.ChoiceField(
            label=_("Where it stands"),
            help_text=_("The first row that fits decides: what is special stands before the rest."),
            choices=[*places, (str(count + 1), _("at the end"))],
        )

    @property
    def _options(self) -> list[str]:
        """The stored options by number, and the place for one more."""
        stored = 0 if self.row is None else len(self.row.options)
        return [
            *(str(n) for n in range(1, stored + 1)),
            *([NEW] if stored < OPTIONS_AT_MOST else []),
        ]

    def _option(self, key: str) -> dict[str, forms.Field]:
        prefix, whose = f"option-{key}-", self._title(key)
        fields = outcome_fields(self.voice, self.crew, prefix, whose, required=False)
        fields[f"{prefix}needs"] = several(
            label_of(_("Only when"), whose),
            [(n.value, code_words.need(self.voice, n)) for n in Needs],
            _("None chosen: always. All that are chosen must hold."),
        )
        if key != NEW:
            fields[f"{prefix}remove"] = forms.BooleanField(
                label=label_of(_("Remove this option"), whose), required=False
            )
        return fields

    def _title(self, key: str) -> str:
        if key == NEW:
            return _("One more option")
        assert self.row is not None
        return capfirst(words.option(self.voice, self.row.options[int(key) - 1].key))

    # --- For the page ---------------------------------------------------------------------------
    @property
    def after(self) -> list[BoundField]:
        """Who goes where, and who administers."""
        return self._bound("")

    @property
    def options(self) -> Iterator[tuple[str, list[BoundField], list[BoundField]]]:
        """Each option's title, who goes where, and the rest; the last one is for another."""
        for key in self._options:
            prefix = f"option-{key}-"
            last = [f"{prefix}needs", *([f"{prefix}remove"] if key != NEW else [])]
            yield self._title(key), self._bound(prefix), [self[name] for name in last]

    @property
    def notes(self) -> list[BoundField]:
        return [self[f"note-{code}"] for code, _name in self.languages]

    def _bound(self, prefix: str) -> list[BoundField]:
        return [self[name] for name in self._names(prefix)]

    # --- What was filled in ---------------------------------------------------------------------
    def clean(self) -> None:
        self._clean_options()
        if self.errors:
            return
        try:
            MechanicsCode(
                "row", "1", {}, {}, (self.crew,), self.value.number_scheme, (self._row(),)
            )
        except CodeError as error:
            option = error.field.partition(".options[")[2].partition("]")[0]
            prefix = f"option-{self._kept[int(option)]}-" if option else ""
            self.add_error(f"{prefix}after-lead", self._no_crew())

    def _no_crew(self) -> str:
        if self.crew == 2:
            return _("One of the two ends lead and the other one trail.")
        return _(
            "The three end lead, trail and centre, and trail and centre stand on opposite sides."
        )

    def _clean_options(self) -> None:
        keys = []
        for key in self._kept:
            prefix = f"option-{key}-"
            for name in self._names(prefix):
                if not self.cleaned_data.get(name) and name not in self.errors:
                    self.add_error(name, _("An option says this, too; or remove it."))
            if not any(name in self.errors for name in [*self._names(prefix), f"{prefix}needs"]):
                keys.append(self._as_option(key).key)
                if keys.count(keys[-1]) > 1:
                    self.add_error(f"{prefix}after-lead", _("Another option allows the same."))

    @property
    def _kept(self) -> list[str]:
        """The options to be stored: those not removed, and a new one of which something is said."""
        cleaned = self.cleaned_data
        return [
            key
            for key in self._options
            if (
                any(cleaned.get(name) for name in self._names(f"option-{key}-"))
                if key == NEW
                else not cleaned.get(f"option-{key}-remove")
            )
        ]

    def _names(self, prefix: str) -> list[str]:
        places = [f"{prefix}after-{was.value}" for was in POSITIONS_OF[self.crew]]
        return [*places, f"{prefix}administers"]

    def _caller(self) -> Position | None:
        caller = self.cleaned_data.get("caller")
        return Position(caller) if caller else None

    def _as_option(self, key: str) -> Option:
        prefix, cleaned = f"option-{key}-", self.cleaned_data
        after = self._after(prefix)
        return Option(
            key=option_key(self._caller(), after),
            after=after,
            administers=Administers(cleaned[f"{prefix}administers"]),
            needs=frozenset(Needs(need) for need in cleaned[f"{prefix}needs"]),
        )

    def _after(self, prefix: str) -> Outcome:
        texts = {
            was: self.cleaned_data[f"{prefix}after-{was.value}"] for was in POSITIONS_OF[self.crew]
        }
        return {was: place_of(text) for was, text in texts.items()}

    def _row(self) -> Row:
        cleaned = self.cleaned_data
        notes = {code: cleaned[f"note-{code}"] for code, _name in self.languages}
        return Row(
            crew=self.crew,
            after=self._after(""),
            administers=Administers(cleaned["administers"]),
            whistles=frozenset(Whistle(w) for w in cleaned["whistles"]),
            resumes=frozenset(Resumes(r) for r in cleaned["resumes"]),
            court=Court(cleaned["court"]) if cleaned["court"] else None,
            flip={"yes": True, "no": False}.get(cleaned["flip"]),
            caller=self._caller(),
            side=Side(cleaned["side"]) if cleaned["side"] else None,
            options=tuple(self._as_option(key) for key in self._kept),
            sure=cleaned["sure"],
            note={code: text for code, text in notes.items() if text},
        )

    @property
    def values(self) -> dict[str, Any]:
        """The cleaned form as arguments of `code_edits.set_row`, or of `add_row` for a new one."""
        values: dict[str, Any] = {"version": self.cleaned_data["version"], "row": self._row()}
        return values | ({"before": int(self.cleaned_data["before"])} if self.row is None else {})

    def show_stored(self) -> None:
        """As for every draft; the row that is stored now takes the place of the one opened."""
        assert isinstance(self.data, QueryDict)
        own = {"version", "seen"}
        stored = {name: self._stored(name) for name in self.changed_data if name not in own}
        data = self.data.copy()
        for name in own:
            data[name] = str(self.initial.get(name, ""))
        self.data = data
        for name, value in stored.items():
            self.add_error(name, _("Stored now: %(value)s") % {"value": value})

    def _stored(self, name: str) -> str:
        """A stored choice as its label, several as a list."""
        field, stored = self.fields[name], self.initial.get(name)
        if not isinstance(field, forms.ChoiceField):
            return super()._stored(name)
        labels = {str(c.data["value"]): str(c.choice_label) for c in self[name].subwidgets}
        several = stored if isinstance(stored, list) else [stored or ""]
        return ", ".join(labels.get(value, value) for value in several) or _("nothing")
