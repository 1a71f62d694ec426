"""What the demo's observers write: enough of it, short enough, and about the work alone."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest

from evaluations.core.names import looks_like_full_name
from evaluations.core.next_steps import STEP_BUDGET, STRENGTH_BUDGET, SUMMARY_BUDGET
from evaluations.services.shipped_rubric import shipped_content
from seed_demo.notebook import texts
from seed_demo.profiles import CRITERIA, KEYS
from seed_demo.scenarios import TOLD

LANGUAGES = ("en", "es")
LONGEST_CLOCK = {"en": "10:59 of the 2nd quarter", "es": "10:59 del 1.er cuarto"}

# Words that judge a person or say what nobody can see.
UNSAID = {
    "en": r"watch|gaze|lazy|careless|good official|bad|wrong again|fail|fault|attitude|harsh|prove",
    "es": r"mira|vago|descuid|mal árbitro|fracas|culpa|actitud",
}


def evidence(language: str, *kinds: str) -> Iterator[tuple[str, str]]:
    for key in KEYS:
        for kind in kinds:
            yield from ((key, pattern) for pattern in texts(language)[key][kind])


def filled(pattern: str, language: str) -> str:
    colours = sorted(texts(language)["colours"], key=len)
    return pattern.format(clock=LONGEST_CLOCK[language], a=colours[-1], b=colours[-2])


def everything(language: str) -> Iterator[str]:
    for value in texts(language).values():
        yield from _strings(value)


def _strings(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    else:
        for part in value.values() if isinstance(value, dict) else value:
            yield from _strings(part)


@pytest.mark.parametrize(("language", "count"), [("en", 40), ("es", 15)])
def test_there_is_a_choice_of_evidence(language: str, count: int) -> None:
    patterns = [pattern for _key, pattern in evidence(language, "low", "mid", "high")]
    assert len(set(patterns)) == len(patterns) >= count


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_criterion_of_the_shipped_rubric_has_its_sentences(language: str) -> None:
    areas = shipped_content("en").areas
    assert tuple(tuple(c.key for c in area.criteria) for area in areas) == CRITERIA
    for key in KEYS:
        assert set(texts(language)[key]) == {"low", "mid", "high", "counted"}


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_sentence_names_its_moment(language: str) -> None:
    for _key, pattern in evidence(language, "low", "mid", "high"):
        assert pattern.count("{clock}") == 1
        assert pattern.endswith(".")


@pytest.mark.parametrize("language", LANGUAGES)
def test_evidence_fits_into_a_strength_and_beside_the_rubrics_texts(language: str) -> None:
    wording = {
        c.key: c.texts[language] for area in shipped_content("en").areas for c in area.criteria
    }
    for _key, pattern in evidence(language, "high"):
        assert len(filled(pattern, language)) <= STRENGTH_BUDGET
    for key, pattern in evidence(language, "low", "mid"):
        own = wording[key]
        rubric = len(own.standard + own.why + own.try_this + own.check)
        assert rubric + len(filled(pattern, language)) <= STEP_BUDGET


@pytest.mark.parametrize("language", LANGUAGES)
def test_nothing_is_said_of_a_person(language: str) -> None:
    for text in everything(language):
        assert not re.search(UNSAID[language], text, re.IGNORECASE), text
        assert looks_like_full_name(text) is None


def test_players_have_no_numbers() -> None:
    number = re.compile(r"\b(white|blue|red|green|black|gold)\s+\d", re.IGNORECASE)
    told = [note.seen for form in TOLD.values() for note in form.notes.values()]
    for text in (*everything("en"), *told):
        assert not number.search(text)


def test_what_is_told_literally_fits_the_letter_and_speaks_of_the_work() -> None:
    for form in TOLD.values():
        assert len(form.summary) <= SUMMARY_BUDGET
        for text in (form.summary, *form.comments.values(), *(n.seen for n in form.notes.values())):
            assert not re.search(UNSAID["en"], text, re.IGNORECASE)
            assert looks_like_full_name(text) is None
