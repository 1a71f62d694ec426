"""Questions, answers and what a code says: in the reader's language, each unlike the others."""

from __future__ import annotations

import re

import pytest

from evaluations.core.mechanics import question_words as words
from evaluations.core.mechanics.questions import QUESTIONS, Answer, Asked
from evaluations.core.voice import PlainEnglish
from tests.core.test_every_word_is_translated import InBrackets, without_brackets

EVERY = [(crew, asked) for crew, questions in QUESTIONS.items() for asked in questions]


@pytest.mark.parametrize(("crew", "asked"), EVERY)
def test_every_question_is_asked_and_explained(crew: int, asked: Asked) -> None:
    voice = PlainEnglish()
    assert re.fullmatch(r"[A-Z].+\?", words.question(voice, crew, asked))
    assert re.fullmatch(r"[A-Z].+\.", words.meaning(voice, crew, asked))
    for text in (words.question, words.meaning):
        assert without_brackets(text(InBrackets(), crew, asked)).strip() == ""


@pytest.mark.parametrize(("crew", "asked"), EVERY)
def test_every_answer_has_words_and_a_sentence_of_its_own(crew: int, asked: Asked) -> None:
    answers = QUESTIONS[crew][asked]
    labels = [words.answer(PlainEnglish(), asked, value) for value in answers]
    sentences = [words.says(PlainEnglish(), crew, asked, value) for value in answers]
    assert len(set(labels)) == len(set(sentences)) == len(answers)
    assert all(re.fullmatch(r"[A-Z].+\.", sentence) for sentence in sentences)


@pytest.mark.parametrize(("crew", "asked"), EVERY)
def test_a_code_with_no_single_answer_says_so(crew: int, asked: Asked) -> None:
    if asked is not Asked.NUMBER:
        sentence = words.says(PlainEnglish(), crew, asked, None)
        assert sentence not in [
            words.says(PlainEnglish(), crew, asked, value) for value in QUESTIONS[crew][asked]
        ]


def test_no_is_said_in_full_where_the_question_is_about_switching() -> None:
    voice = PlainEnglish()
    assert words.answer(voice, Asked.SWITCH, Answer.NO) == "no, only for free throws"
    assert words.answer(voice, Asked.TECHNICAL, Answer.NO) == "no"
