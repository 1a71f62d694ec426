"""The words that a letter starts from: the rubric's texts, and what was written while rating."""

from __future__ import annotations

from dataclasses import replace

from evaluations.core.drafting import (
    Words,
    next_step_for,
    propose_words,
    shortened,
    strength_for,
)
from evaluations.core.next_steps import STEP_BUDGET, STRENGTH_BUDGET
from evaluations.core.ratings import Rating
from evaluations.core.rubric import CriterionWording, RubricWording
from evaluations.core.scoring import score
from evaluations.core.voice import PlainEnglish
from tests.core.examples import form, rate

FORM = form()
WORDING = RubricWording(
    "en",
    "2026–27",
    {},
    {
        c.key: CriterionWording(c.key, "", f"{c.key} standard", "why", "try", "check", ())
        for c in FORM.criteria
    },
    {},
    (),
)


def proposed(*rated: Rating, level: int = 3, flagged: str | None = None) -> Words:
    """The words for a form at one level but for the criteria given."""
    answers = {r.criterion: r for r in (*rate(FORM, level), *rated)}
    return propose_words(
        FORM,
        WORDING,
        score(FORM, answers.values()),
        answers,
        flagged=flagged,
        steps_at_most=3,
        voice=PlainEnglish(),
    )


def keys(words: Words) -> tuple[list[str], list[str]]:
    return [s.criterion for s in words.strengths], [s.criterion for s in words.next_steps]


def test_a_next_step_brings_the_rubrics_texts_and_what_was_seen() -> None:
    step = next_step_for(WORDING, Rating("clock", level=2, dead_ball=7, evidence="Twice late."))
    assert (step.standard, step.why, step.try_this, step.check) == (
        "clock standard",
        "why",
        "try",
        "check",
    )
    assert (step.seen, step.dead_ball) == ("Twice late.", 7)


def test_a_comment_stands_in_where_there_is_no_sentence_on_what_was_seen() -> None:
    assert strength_for(Rating("clock", level=5, comment="At every whistle.")).seen == (
        "At every whistle."
    )


def test_nothing_is_said_to_have_been_raised_before_the_observer_says_so() -> None:
    words = proposed(Rating("facing", level=5, evidence="Each time."))
    assert not any(strength.raised for strength in words.strengths)
    assert not any(step.raised for step in words.next_steps)


def test_strengths_with_evidence_are_taken_before_those_without() -> None:
    words = proposed(
        Rating("facing", level=5),
        Rating("clock", level=5, dead_ball=3),
        Rating("route", level=4, evidence="From both ends."),
    )
    assert keys(words)[0] == ["clock", "route"]


def test_where_no_strength_has_evidence_one_is_asked_for_alone() -> None:
    words = proposed(Rating("facing", level=4), Rating("clock", level=4))
    assert keys(words)[0] == ["facing"]


def test_what_the_observer_picked_to_work_on_is_no_strength_as_well() -> None:
    words = proposed(Rating("facing", level=5, dead_ball=2), flagged="facing")
    assert keys(words)[0] == []
    assert keys(words)[1][0] == "facing"


def test_there_may_be_no_strength_and_no_next_step() -> None:
    assert keys(proposed(level=3))[0] == []
    assert keys(proposed(level=4))[1] == []


def test_what_is_proposed_keeps_to_the_budgets() -> None:
    essay = " ".join(["Seen at the table side."] * 60)
    words = proposed(
        Rating("facing", level=5, evidence=essay), Rating("clock", level=1, evidence=essay)
    )
    assert len(words.strengths[0].seen) <= STRENGTH_BUDGET
    assert words.next_steps[0].length <= STEP_BUDGET
    assert words.next_steps[0].seen.endswith("…")


def test_a_sentence_is_shortened_between_words() -> None:
    text = "Turned to the table at once, twice."
    assert shortened(text, len(text)) == text
    assert shortened(text, 29) == "Turned to the table at once…"
    assert shortened("Unbroken", 5) == ""


def test_words_are_blank_as_long_as_nothing_of_them_is_kept() -> None:
    assert Words(summary=" \n").blank
    for words in (
        Words(summary="One."),
        replace(Words(), strengths=proposed(level=4).strengths),
        replace(Words(), next_steps=proposed(level=2).next_steps),
    ):
        assert not words.blank
