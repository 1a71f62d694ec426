"""A level beside what the log counted: suggested, departed from with a reason, or at odds."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluations.core.counting import count_line, misses, remark, remark_while_rating
from evaluations.core.mechanics.counts import (
    Contradiction,
    Count,
    at_odds,
    contradictions,
    departs,
    suggested,
)
from evaluations.core.mechanics.facts import Kept
from evaluations.core.next_steps import (
    REASON_BUDGET,
    Draft,
    FormProblem,
    NextStep,
    Problem,
    problems,
)
from evaluations.core.ratings import Rating, needs_reason, with_needed_reasons
from evaluations.core.scoring import score
from evaluations.core.voice import PlainEnglish
from evaluations.core.workings import workings
from tests.core.examples import form, rate
from tests.core.test_every_word_is_translated import InBrackets, without_brackets
from tests.core.test_workings import wording

FORM = form()
WORDS = wording(FORM)
VOICE = PlainEnglish()


def counted(met: int, not_met: int, not_judged: int = 0, **changes: object) -> Count:
    found = Count(met, not_met, not_judged, 0, tuple(range(1, not_met + 1)), Kept.EVERY_FOUL)
    return replace(found, **changes)  # type: ignore[arg-type]


def line(found: Count) -> str:
    said = count_line(FORM, WORDS, found, VOICE)
    return "" if said is None else str(said)


# --- In words -----------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("found", "says"),
    [
        (
            counted(4, 2, 3),
            "4 of 6 met, 3 not judged; 67 %; 95 % interval 30 to 90 %; "
            "suggests seldom to nearly always.",
        ),
        (counted(8, 2), "8 of 10 met; 80 %; 95 % interval 49 to 94 %; suggests nearly always."),
        (counted(9, 0), "9 of 9 met; 100 %; 95 % interval 70 to 100 %; suggests every time."),
        (counted(0, 9), "0 of 9 met; 0 %; 95 % interval 0 to 30 %; suggests seldom."),
        (counted(3, 0, 4), "Not enough seen: 3 of the 5 needed were judged."),
        (counted(0, 0), "Not enough seen: 0 of the 5 needed were judged."),
        (
            counted(8, 2, by_option=1),
            "8 of 10 met, 1 by an option; 80 %; 95 % interval 49 to 94 %; suggests nearly always.",
        ),
    ],
)
def test_a_count_says_how_many_how_sure_and_what_it_suggests(found: Count, says: str) -> None:
    assert line(found) == says


def test_a_log_of_what_struck_the_observer_gives_dead_balls_and_no_figure() -> None:
    found = counted(9, 2, kept=Kept.STRIKING)
    assert line(found) == "Examples only: the log has what struck the observer."
    assert misses(found, VOICE) == "Not met at dead balls 1, 2."
    assert line(counted(9, 0, kept=Kept.STRIKING)) == ""


@pytest.mark.parametrize(
    ("dead_balls", "says"),
    [((), ""), ((7,), "Not met at dead ball 7."), ((3, 11), "Not met at dead balls 3, 11.")],
)
def test_the_dead_balls_of_the_misses_are_named(dead_balls: tuple[int, ...], says: str) -> None:
    assert misses(counted(5, 2, dead_balls=dead_balls), VOICE) == says


@pytest.mark.parametrize(
    "found",
    [
        counted(4, 2, 3),
        counted(8, 2, by_option=1),
        counted(1, 1),
        counted(1, 1, kept=Kept.STRIKING),
    ],
)
def test_what_was_counted_is_said_in_the_readers_language(found: Count) -> None:
    voice = InBrackets()
    said = count_line(FORM, replace(WORDS, level_words=("⟦word⟧",) * 5), found, voice)
    contradiction = Contradiction("still", 5, found)
    texts = (
        *(said or ()),
        misses(found, voice),
        remark_while_rating(found, voice),
        remark(contradiction, replace(WORDS, level_words=("⟦word⟧",) * 5), "", voice),
    )
    for text in texts:
        assert without_brackets(text).strip(" ;.,") == ""


# --- A reason for another level -----------------------------------------------------------------
@given(st.integers(0, 30), st.integers(0, 30), st.sampled_from(Kept), st.integers(1, 5))
def test_a_level_at_odds_with_a_count_is_never_one_that_it_suggests(
    met: int, not_met: int, kept: Kept, level: int
) -> None:
    found = counted(met, not_met, kept=kept)
    assert not at_odds(FORM, found, level) or departs(FORM, found, level)
    levels = suggested(FORM, found)
    assert departs(FORM, found, level) is (
        levels is not None and level not in range(levels.lowest, levels.highest + 1)
    )


@pytest.mark.parametrize(
    ("found", "free"),
    [
        (counted(8, 2), [4]),
        (counted(4, 2), [1, 2, 3, 4]),
        (counted(3, 0), [1, 2, 3, 4, 5]),
        (counted(9, 3, kept=Kept.STRIKING), [1, 2, 3, 4, 5]),
    ],
)
def test_a_level_that_is_not_suggested_needs_a_reason(found: Count, free: list[int]) -> None:
    counts = {"still": found}
    asked = {n for n in range(1, 6) if needs_reason(FORM, Rating("still", n), counts)}
    assert asked == set(range(1, 6)) - set(free)


def test_not_seen_and_what_is_not_counted_need_no_reason() -> None:
    counts = {"still": counted(8, 2)}
    assert not needs_reason(FORM, Rating("still"), counts)
    assert not needs_reason(FORM, Rating("route", 1), counts)


def test_a_reason_that_is_left_over_goes_and_one_that_is_asked_for_stays() -> None:
    counts = {"still": counted(8, 2), "route": counted(8, 2)}
    ratings = (
        Rating("still", 4, reason="Changed my mind."),
        Rating("route", 2, reason="Through the group when it was close."),
        Rating("clock", 2, reason="Nothing is counted here."),
    )
    assert [r.reason for r in with_needed_reasons(FORM, ratings, counts)] == [
        "",
        "Through the group when it was close.",
        "",
    ]


def found_in(rating: Rating, found: Count) -> list[FormProblem]:
    ratings = tuple(rating if r.criterion == rating.criterion else r for r in rate(FORM, 4))
    step = NextStep("clock", "Seen twice.", "Standard.", "Why.", "Try this.", "Check.")
    draft = Draft(ratings, (), (step,), "In short.")
    return list(problems(FORM, score(FORM, ratings), draft, counts={rating.criterion: found}))


def test_a_form_waits_for_the_reason_of_a_level_that_is_not_as_counted() -> None:
    found = counted(8, 2)
    assert found_in(Rating("still", 4), found) == []
    assert found_in(Rating("still"), found) == []
    missing = [FormProblem(Problem.REASON_MISSING, "still")]
    assert found_in(Rating("still", 3), found) == missing
    assert found_in(Rating("still", 3, reason=" \n"), found) == missing
    assert found_in(Rating("still", 3, comment="A comment is no reason."), found) == missing
    assert found_in(Rating("still", 3, reason="Both misses were late and close."), found) == []


def test_a_reason_keeps_to_its_budget() -> None:
    assert REASON_BUDGET == 160
    found = counted(8, 2)
    assert found_in(Rating("still", 3, reason="x" * REASON_BUDGET), found) == []
    too_long = Rating("still", 3, reason="x" * (REASON_BUDGET + 1))
    assert found_in(too_long, found) == [FormProblem(Problem.REASON_TOO_LONG, "still")]
    assert found_in(replace(too_long, level=4), found) == []


# --- At odds ------------------------------------------------------------------------------------
def test_levels_at_odds_with_the_log_are_found_in_the_rubrics_order() -> None:
    counts = {"clock": counted(20, 0), "still": counted(2, 7), "route": counted(2, 7)}
    levels = {"clock": 1, "still": 4, "route": 2, "voice": 5}
    assert contradictions(FORM, counts, levels) == (
        Contradiction("still", 4, counts["still"]),
        Contradiction("clock", 1, counts["clock"]),
    )


def test_with_too_few_judged_nothing_is_at_odds() -> None:
    assert contradictions(FORM, {"still": counted(0, 4)}, {"still": 5}) == ()


def test_a_contradiction_is_told_kindly_with_count_and_dead_balls() -> None:
    found = Contradiction("still", 4, counted(2, 7))
    assert remark(found, WORDS, "", VOICE) == (
        "The log has 2 of 9 met; the level says “nearly always”. Not met at dead balls 1, 2, 3, 4, "
        "5, 6, 7. Both will stand in the letter. Look once more, or say why."
    )
    assert remark(found, WORDS, "He was screened.", VOICE).endswith(
        "Both will stand in the letter, with your reason."
    )


# --- In the arithmetic --------------------------------------------------------------------------
def test_the_workings_have_the_count_and_the_reason_beside_the_level() -> None:
    ratings = (Rating("still", 3, reason="Both were close."), *rate(FORM, 4)[1:])
    counts = {"still": counted(8, 2)}
    found = workings(FORM, WORDS, score(FORM, ratings), ratings, VOICE, counts=counts)
    still, route = found.areas[0].criteria[:2]
    assert still.counted == (
        "8 of 10 met; 80 %; 95 % interval 49 to 94 %; suggests nearly always. "
        "Not met at dead balls 1, 2."
    )
    assert still.reason == "Both were close."
    assert (route.counted, route.reason) == ("", "")
