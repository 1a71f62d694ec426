"""What an admin reads before a crew's letters are released, and reasons that are asked for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.validators import MaxLengthValidator
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from evaluations.core.letter import LetterContent
from evaluations.core.next_steps import steps_allowed
from evaluations.forms.fields import WrittenField
from evaluations.forms.problems import name_lines, problem_lines
from evaluations.models import Evaluation
from evaluations.queries.evaluations import worksheet
from evaluations.queries.observations import letter_names
from evaluations.queries.rating_sheets import rubric_of
from evaluations.queries.rubrics import rubric_wording
from evaluations.services.letters import LetterPreview

NOTE_LIMIT = 1000
WITHDRAW_LIMIT = 300


class NeededField(WrittenField):
    """A text that has to be there, of at most `limit` characters."""

    def __init__(self, *, limit: int, missing: str | Promise, **kwargs: Any) -> None:
        super().__init__(
            rows=3,
            budget=limit,
            validators=[MaxLengthValidator(limit)],
            error_messages={"required": missing},
            **kwargs,
        )
        self.required = True


class ReturnForm(forms.Form):
    """Why a form goes back to its observer."""

    note = NeededField(
        label=_("Note to the observer"),
        limit=NOTE_LIMIT,
        help_text=_("What to change. It stands above the form until it is submitted again."),
        missing=_("Say in the note what the observer should change."),
    )


class AmendForm(forms.Form):
    note = NeededField(
        label=_("Why the letter is amended"),
        limit=NOTE_LIMIT,
        help_text=_("The observer reads it above the form."),
        missing=_("Say why the letter is amended."),
    )


class WithdrawForm(forms.Form):
    reason = NeededField(
        label=_("Why the letter is withdrawn"),
        limit=WITHDRAW_LIMIT,
        help_text=_("The letter opens with it from now on. The official reads it."),
        missing=_("Say why the letter is withdrawn; the official will read it."),
    )


@dataclass(frozen=True, slots=True)
class Reading:
    """One letter of a crew as an admin reads it before its release.

    `obstacle`: why it can't be made ("": it can). `cautions` are to be looked at; they stop
    nothing. `form` gives it back to the observer.
    """

    evaluation: Evaluation
    content: LetterContent | None
    obstacle: str
    cautions: list[str]
    form: ReturnForm

    @property
    def prefix(self) -> str:
        """Before the ids of this letter: several stand on the page."""
        return f"letter-{self.evaluation.pk}-"


def readings(
    previews: Iterable[LetterPreview], language: str, returned: dict[int, ReturnForm] | None = None
) -> list[Reading]:
    """A crew's letters in order; `returned` holds a form that was sent in and refused, by key."""
    return [
        Reading(
            evaluation=preview.evaluation,
            content=preview.content,
            obstacle=preview.obstacle,
            cautions=_cautions(preview.evaluation, language),
            form=(returned or {}).get(preview.evaluation.pk)
            or return_form(preview.evaluation, None),
        )
        for preview in previews
    ]


def return_form(evaluation: Evaluation, data: Any) -> ReturnForm:
    """There is one for each of the crew on a page, so each has names of its own."""
    return ReturnForm(data, prefix=f"return-{evaluation.pk}")


def _cautions(evaluation: Evaluation, language: str) -> list[str]:
    """What a review or an edition left open, and words that look like somebody's name."""
    sheet = worksheet(evaluation)
    wording = rubric_wording(rubric_of(evaluation.observation), language)
    at_most = steps_allowed(new_official=evaluation.official.new_official)
    lines = [
        *problem_lines(evaluation, sheet.problems, wording, steps_at_most=at_most),
        *name_lines(evaluation, sheet.draft, wording, letter_names(evaluation)),
    ]
    return [line.text for line in lines]
