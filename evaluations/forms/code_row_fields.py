"""Fields and values of the form for a row of a mechanics code."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext as _

from evaluations.core.mechanics import code_words, words
from evaluations.core.mechanics.code import Administers, Needs, Option, Row
from evaluations.core.mechanics.court import (
    POSITIONS_OF,
    Court,
    Place,
    Position,
    Resumes,
    Side,
    Whistle,
)
from evaluations.core.voice import Voice
from evaluations.forms.fields import label_of
from evaluations.queries.code_sheets import fingerprint

ANY = ""
"""What a row leaves blank."""
Choices = list[tuple[str, str]]


def several(label: str, choices: Choices, help_text: str) -> forms.MultipleChoiceField:
    """Any number of the choices."""
    return forms.MultipleChoiceField(
        label=label,
        choices=choices,
        help_text=help_text,
        required=False,
        widget=forms.CheckboxSelectMultiple(attrs={"class": "inline"}),
    )


def one_of(label: str, anything: str, choices: Choices) -> forms.ChoiceField:
    """One of the choices, or none of them in particular."""
    return forms.ChoiceField(
        label=label,
        choices=[(ANY, anything), *choices],
        required=False,
        widget=forms.RadioSelect(attrs={"class": "inline"}),
    )


def matching_fields(voice: Voice, crew: int) -> dict[str, forms.Field]:
    """What a row may name of a situation."""
    return {
        "whistles": several(
            _("What was called"),
            [(w.value, words.whistle(voice, w)) for w in Whistle],
            _("None chosen: any whistle."),
        ),
        "resumes": several(
            _("How the ball becomes live"),
            [(r.value, words.resumes(voice, r)) for r in Resumes],
            _("None chosen: in any way."),
        ),
        "court": one_of(
            _("Where the whistle was"),
            _("anywhere"),
            [(c.value, words.court_part(voice, c)) for c in Court],
        ),
        "flip": one_of(
            _("Direction of play"),
            _("either way"),
            [("no", code_words.turn(voice, flip=False)), ("yes", code_words.turn(voice, True))],
        ),
        "caller": one_of(
            _("Who called"),
            _("whoever"),
            [(p.value, words.position(voice, p)) for p in POSITIONS_OF[crew]],
        ),
        "side": one_of(
            _("The caller's side"),
            _("either side"),
            [(s.value, words.side(voice, s)) for s in Side],
        ),
    }


def outcome_fields(
    voice: Voice, crew: int, prefix: str, whose: str, *, required: bool
) -> dict[str, forms.Field]:
    """Who goes where, and who administers; `whose` is read out with each label."""
    places = [Place(p, side) for p in POSITIONS_OF[crew] for side in (None, *Side)]
    choices = [("", _("Choose")), *((place_text(p), words.place(voice, p)) for p in places)]
    fields: dict[str, forms.Field] = {}
    for was in POSITIONS_OF[crew]:
        label = _("The %(position)s goes to") % {"position": words.position(voice, was)}
        fields[f"{prefix}after-{was.value}"] = forms.ChoiceField(
            label=label_of(label, whose), choices=choices, required=required
        )
    people = [a for a in Administers if crew == 3 or a is not Administers.CENTRE]
    fields[f"{prefix}administers"] = forms.ChoiceField(
        label=label_of(_("The ball is administered by"), whose),
        choices=[
            ("", _("Choose")),
            *((a.value, code_words.administers(voice, a)) for a in people),
        ],
        required=required,
    )
    return fields


def place_text(place: Place) -> str:
    """A place as the value of a choice: "trail table", or "trail" on either side."""
    return f"{place.position} {place.side}" if place.side else place.position.value


def place_of(text: str) -> Place:
    """The place that `place_text` wrote."""
    position, _space, side = text.partition(" ")
    return Place(Position(position), Side(side) if side else None)


def as_initial(row: Row) -> dict[str, Any]:
    """A stored row as the form begins with it."""
    initial: dict[str, Any] = {
        "seen": fingerprint(row),
        "whistles": [w.value for w in Whistle if w in row.whistles],
        "resumes": [r.value for r in Resumes if r in row.resumes],
        "court": row.court or ANY,
        "flip": {True: "yes", False: "no", None: ANY}[row.flip],
        "caller": row.caller or ANY,
        "side": row.side or ANY,
        "sure": row.sure,
        **{f"note-{code}": text for code, text in row.note.items()},
        **_outcome_initial("", row),
    }
    for n, option in enumerate(row.options, start=1):
        initial |= _outcome_initial(f"option-{n}-", option)
        initial[f"option-{n}-needs"] = [n.value for n in Needs if n in option.needs]
    return initial


def _outcome_initial(prefix: str, part: Row | Option) -> dict[str, str]:
    places = {f"{prefix}after-{was.value}": place_text(place) for was, place in part.after.items()}
    return {**places, f"{prefix}administers": part.administers.value}


def as_asked(asked: QueryDict | None) -> dict[str, Any]:
    """What an address names for a new row. It is only filled in, so anything may stand there."""
    named = asked or QueryDict()
    single = {name: named.get(name, ANY) for name in ("court", "flip", "caller", "side")}
    several = {name: named.getlist(name) for name in ("whistles", "resumes")}
    before = {"before": named["before"]} if "before" in named else {}
    return {**single, **several, **before, "sure": True}
