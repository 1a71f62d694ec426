"""The proposed summary: two sentences about the work, without a figure, within the budget."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from fractions import Fraction

import pytest

from evaluations.core.next_steps import SUMMARY_BUDGET, propose_next_steps, propose_strengths
from evaluations.core.rubric import CriterionWording, RubricSpec, RubricWording
from evaluations.core.scoring import ScoreCard, score
from evaluations.core.summary import propose_summary
from evaluations.core.voice import PlainEnglish, Voice
from tests.core.examples import form, rate

LABELS = {"facing": "Faces the players", "clock": "Stops the clock", "route": "Goes round"}


class Wordy(PlainEnglish):
    """A language that needs half as many characters again as English."""

    language = "xx"

    def text(self, message: str) -> str:
        return message + "~" * (len(message) // 2)

    def number(self, figure: Fraction, decimals: int = 1) -> str:
        raise AssertionError("a summary has no figures")

    def day(self, day: date) -> str:
        raise AssertionError("a summary has no dates")


def wording(rubric: RubricSpec, labels: Mapping[str, str] = LABELS) -> RubricWording:
    criteria = {
        c.key: CriterionWording(labels.get(c.key, c.key), "", "", "", "", "", ())
        for c in rubric.criteria
    }
    return RubricWording("en", "2026–27", {}, criteria, {}, ())


def summary(
    card: ScoreCard,
    labels: Mapping[str, str] = LABELS,
    voice: Voice | None = None,
) -> str:
    rubric = form()
    steps = propose_next_steps(rubric, card)
    strengths = [key for key in propose_strengths(rubric, card) if key not in steps]
    return propose_summary(wording(rubric, labels), card, strengths, steps, voice or PlainEnglish())


def test_it_says_what_was_at_its_best_and_where_there_is_most_to_gain() -> None:
    rubric = form()
    assert summary(score(rubric, rate(rubric, 3, facing=5, clock=1, route=1))) == (
        "In this game the work was at its best in “Faces the players”. "
        "There is most to gain in “Goes round” and “Stops the clock”."
    )


def test_without_a_strength_it_keeps_to_what_to_work_on() -> None:
    rubric = form()
    assert summary(score(rubric, rate(rubric, 3, facing=1))) == (
        "This letter keeps to what is worth working on first. "
        "There is most to gain in “Faces the players” and “inside”."
    )


def test_with_nothing_below_target_it_names_a_goal_to_stretch_for() -> None:
    rubric = form()
    assert summary(score(rubric, rate(rubric, 5, facing=4))).endswith(
        "Everything seen reached the target; to stretch for: “Faces the players”."
    )


def test_with_the_highest_level_everywhere_it_says_so() -> None:
    rubric = form()
    assert summary(score(rubric, rate(rubric, 5))).endswith(
        "Everything seen reached the highest level."
    )


def test_with_nothing_seen_it_claims_nothing() -> None:
    rubric = form()
    assert summary(score(rubric, rate(rubric, None))) == (
        "The work that this form asks about could not be seen in this game. "
        "So there is nothing to rate, and nothing to work on from it."
    )


CARDS = {
    "mixed": rate(form(), 3, facing=5, clock=5, route=1),
    "all low": rate(form(), 1),
    "all high": rate(form(), 5),
    "at target": rate(form(), 4),
    "hardly seen": rate(form(), None, clock=2),
    "nothing seen": rate(form(), None),
}


@pytest.mark.parametrize("case", CARDS)
@pytest.mark.parametrize("voice", [PlainEnglish(), Wordy()], ids=["english", "wordy"])
@pytest.mark.parametrize("length", [4, 60, 400])
def test_it_is_two_sentences_without_a_figure_within_the_budget(
    case: str, voice: Voice, length: int
) -> None:
    labels = {c.key: "Ab c"[:length].ljust(length, "d") for c in form().criteria}
    found = summary(score(form(), CARDS[case]), labels, voice)
    assert 0 < len(found) <= SUMMARY_BUDGET
    assert not re.search(r"\d", found)
    assert len(re.findall(r"\.(?=~|\s|$)", found)) == 2


def test_as_many_are_named_as_there_is_room_for() -> None:
    card = score(form(), CARDS["mixed"])
    short = {c.key: c.key for c in form().criteria}
    long = {c.key: c.key.ljust(60, "x") for c in form().criteria}
    longest = {c.key: c.key.ljust(90, "x") for c in form().criteria}
    assert [summary(card, labels).count("“") for labels in (short, long, longest)] == [4, 3, 2]
