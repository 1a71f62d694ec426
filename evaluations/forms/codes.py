"""Mechanics codes: the plain questions that choose one, and what a code is called."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from evaluations.core.mechanics import code_words, question_words
from evaluations.core.mechanics.code import MechanicsCode, NumberScheme
from evaluations.core.mechanics.questions import QUESTIONS, Answer, Answers, Asked
from evaluations.core.voice import Voice
from evaluations.forms.rubric_fields import DraftForm, NameField, TextField, in_language, languages

NAME_BUDGET = 120
SOURCE_BUDGET = 300


class QuestionsForm(forms.Form):
    """The questions about the manual for one crew size; nothing is answered beforehand."""

    def __init__(self, data: Any = None, *, crew: int, voice: Voice) -> None:
        super().__init__(data)
        for asked, answers in QUESTIONS[crew].items():
            self.fields[asked.value] = forms.ChoiceField(
                label=question_words.question(voice, crew, asked),
                help_text=question_words.meaning(voice, crew, asked),
                choices=[
                    (answer.value, capfirst(question_words.answer(voice, asked, answer)))
                    for answer in answers
                ],
                widget=forms.RadioSelect,
                error_messages={"required": _("Choose what the manual says.")},
            )

    @property
    def answers(self) -> Answers:
        """The cleaned form as core's answers."""
        return {Asked(name): Answer(value) for name, value in self.cleaned_data.items()}


class HeadingForm(DraftForm):
    """A code's name and what it rests on in every language, and how hands show a number."""

    def __init__(
        self,
        data: Any = None,
        *,
        version: int,
        value: MechanicsCode,
        own_language: str,
        voice: Voice,
    ) -> None:
        self.languages = languages(own_language)
        initial = {"number_scheme": value.number_scheme.value}
        for code, _name in self.languages:
            initial[f"name-{code}"] = value.name.get(code, "")
            initial[f"source-{code}"] = value.source.get(code, "")
        super().__init__(data, version=version, initial=initial)
        for n, (code, name) in enumerate(self.languages):
            self.fields |= in_language(
                code,
                {
                    f"name-{code}": NameField(
                        label=_("Name in %(language)s") % {"language": name},
                        budget=NAME_BUDGET,
                        required=n == 0,
                    ),
                    f"source-{code}": TextField(
                        label=_("What it rests on, in %(language)s") % {"language": name},
                        budget=SOURCE_BUDGET,
                        required=False,
                        help_text=_("The manual and its edition, or that it is common practice."),
                    ),
                },
            )
        self.fields["number_scheme"] = forms.ChoiceField(
            label=_("How hands show a number"),
            choices=[(s.value, code_words.number_scheme(voice, s)) for s in NumberScheme],
            widget=forms.RadioSelect,
        )

    @property
    def values(self) -> dict[str, Any]:
        """The cleaned form as arguments of `code_edits.set_heading`."""
        cleaned = self.cleaned_data

        def texts(part: str) -> dict[str, str]:
            found = ((code, cleaned[f"{part}-{code}"]) for code, _name in self.languages)
            return {code: text for code, text in found if text}

        return {
            "version": cleaned["version"],
            "name": texts("name"),
            "source": texts("source"),
            "number_scheme": NumberScheme(cleaned["number_scheme"]),
        }
