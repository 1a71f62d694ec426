"""What mechanics says, it says in the reader's language, to the one whose duty it was."""

from __future__ import annotations

import re

import pytest

from evaluations.core.mechanics import words
from evaluations.core.mechanics.court import Court, Position, Resumes, Whistle
from evaluations.core.mechanics.engine import Finding
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.mechanics.rules import RULES
from evaluations.core.mechanics.switching import Switch
from evaluations.core.mechanics.zones import Zone
from evaluations.core.voice import PlainEnglish, Voice
from tests.core.mechanics.crews import MET, REFEREE, place
from tests.core.test_every_word_is_translated import InBrackets, without_brackets


def said(finding: Finding) -> str:
    return words.duty(PlainEnglish(), finding)


@pytest.mark.parametrize("rule", [rule.key for rule in RULES])
def test_every_rule_has_its_duty_in_words(rule: str) -> None:
    finding = Finding(1, rule, REFEREE, MET)
    assert re.fullmatch(r"[A-Z].+\.", said(finding))
    assert without_brackets(words.duty(InBrackets(), finding)).strip() == ""


def test_no_two_duties_read_alike() -> None:
    duties = {said(Finding(1, rule.key, REFEREE, MET)) for rule in RULES}
    assert len(duties) == len(RULES)


@pytest.mark.parametrize(
    ("due", "duty"),
    [
        ("trail table", "Be in your place when the ball is live: trail, table side."),
        ("lead opposite", "Be in your place when the ball is live: lead, opposite the table."),
        ("centre", "Be in your place when the ball is live: centre, either side."),
    ],
)
def test_a_place_that_was_due_is_named(due: str, duty: str) -> None:
    assert said(Finding(1, "side", REFEREE, MET, 0, place(due))) == duty


def test_an_end_that_was_due_is_named_by_its_position() -> None:
    due = Finding(1, "end", REFEREE, MET, 0, place("trail table"))
    assert said(due) == "Be at your end when the ball is live: trail."


@pytest.mark.parametrize("verdict", Verdict)
def test_every_verdict_has_its_words(verdict: Verdict) -> None:
    assert words.verdict(PlainEnglish(), verdict) == verdict.value.replace("_", " ")


@pytest.mark.parametrize("position", Position)
def test_every_position_has_its_word(position: Position) -> None:
    assert words.position(PlainEnglish(), position) == position.value


def test_a_place_is_said_in_one_language() -> None:
    voice = InBrackets()
    assert without_brackets(words.place(voice, place("trail table"))).strip() == ""


def every_fixed_value(voice: Voice) -> list[str]:
    return [
        *(words.whistle(voice, value) for value in Whistle),
        *(words.resumes(voice, value) for value in Resumes),
        *(words.court_part(voice, value) for value in Court),
        *(words.zone(voice, value) for value in Zone),
    ]


def test_whistles_resumptions_court_and_zones_have_words_of_their_own() -> None:
    said = every_fixed_value(PlainEnglish())
    assert len(set(said)) == len(said)
    assert all(re.fullmatch(r"⟦.+⟧", text) for text in every_fixed_value(InBrackets()))


@pytest.mark.parametrize(
    ("key", "says"),
    [
        ("caller_lead_opposite", "the caller ends lead, opposite the table"),
        ("caller_trail", "the caller ends trail, either side"),
        ("other_places", "other places"),
        ("anything_else", "anything else"),
        ("caller_nowhere", "caller nowhere"),
    ],
)
def test_an_option_says_where_the_caller_ends(key: str, says: str) -> None:
    assert words.option(PlainEnglish(), key) == says


def test_every_rule_has_a_heading_of_its_own() -> None:
    headings = {words.rule(InBrackets(), rule.key) for rule in RULES}
    assert len(headings) == len(RULES)
    assert all(without_brackets(text).strip() == "" for text in headings)


def test_whether_a_switch_was_due_has_its_words() -> None:
    said_of = [words.switch(InBrackets(), value) for value in (*Switch, None)]
    assert len(set(said_of)) == len(said_of)
    assert {without_brackets(words_said).strip() for words_said in said_of} == {""}
