"""What a letter says, part by part."""

from __future__ import annotations

import re
from dataclasses import asdict, replace
from typing import Any

import pytest

from evaluations.core.games import Difficulty, Kind, Seen, Talk
from evaluations.core.letter import AnnexItem, Fact, LetterContent, StepPart, with_notice
from evaluations.core.letter_text import compose, compose_annex
from evaluations.core.next_steps import QUOTES_BUDGET, Strength
from evaluations.core.ratings import Rating
from evaluations.core.scoring import Withheld
from evaluations.core.voice import PlainEnglish
from tests.core.examples import ceiling, form, rate
from tests.core.snapshots import next_step, observed, season, snapshot_of

FORM = form()
ENGLISH = PlainEnglish()


def letter(level: int | None = 4, **fields: Any) -> LetterContent:
    """A letter about a form at one level; criteria in `rated` have another one."""
    rubric = fields.pop("rubric", FORM)
    ratings = fields.pop("ratings", None) or rate(rubric, level, **fields.pop("rated", {}))
    return compose(snapshot_of(rubric, ratings, **fields), ENGLISH)


def fact(content: LetterContent, label: str) -> str | None:
    return next((f.text for f in content.facts if f.label == label), None)


def texts(value: object) -> list[str]:
    """All strings in a letter, however deep."""
    if isinstance(value, str):
        return [value]
    if isinstance(value, dict):
        return [t for item in value.values() for t in texts(item)]
    if isinstance(value, list | tuple):
        return [t for item in value for t in texts(item)]
    return []


# 1: the heading


def test_the_heading_names_game_place_observer_rubric_and_day() -> None:
    content = letter()
    assert (content.association, content.official) == ("Lakeside Officials", "Marlow Penhale")
    assert content.facts == (
        Fact("Game", "Herons – Millstone, varsity"),
        Fact("Played", "12 January 2027, North Gym"),
        Fact("Your place", "umpire 1 in a crew of 3"),
        Fact("Observer", "Rowan Ashdown"),
        Fact("Seen", "whole game, ordinary game"),
        Fact("Rubric", "Rubric 2026–27, Mechanics 3"),
        Fact("Issued", "14 January 2027"),
    )


def test_an_observer_whose_name_is_kept_back_is_nowhere_in_the_letter() -> None:
    content = letter(observer="")
    assert fact(content, "Observer") is None
    assert not any("Rowan" in t for t in texts(asdict(content)))


def test_a_part_seen_is_said_and_so_is_how_demanding_the_game_was() -> None:
    facts = observed(seen=Seen.PART, part="second half", difficulty=Difficulty.DEMANDING)
    assert fact(letter(observation=facts), "Seen") == "second half, demanding game"


def test_without_a_mechanics_code_the_rubric_stands_alone() -> None:
    assert fact(letter(mechanics_code=""), "Rubric") == "Rubric 2026–27"


def test_an_amended_letter_says_that_it_replaces_the_one_before() -> None:
    assert fact(letter(), "Amended") is None
    assert fact(letter(serial=2), "Amended") == "release 2, replaces the one before"


def test_a_withdrawn_letter_opens_with_that_word_and_is_otherwise_the_same() -> None:
    content = letter()
    withdrawn = with_notice(content, "Withdrawn on 20 January 2027.")
    assert withdrawn.notice == "Withdrawn on 20 January 2027."
    assert replace(withdrawn, notice="") == content


@pytest.mark.parametrize(
    ("talk", "sentence"),
    [
        (Talk.HELD, "You and the observer talked after the game."),
        (Talk.DECLINED, "The talk after the game was declined."),
        (Talk.IMPOSSIBLE, "A talk after the game was not possible."),
    ],
)
def test_the_letter_says_whether_there_was_a_talk(talk: Talk, sentence: str) -> None:
    assert letter(observation=observed(talk=talk)).talk == sentence


# 2 and 3: the summary, what went well


def test_the_summary_is_the_observers() -> None:
    assert letter().summary == "Calm in the reporting area. Switches begin late."


def test_a_strength_has_its_evidence() -> None:
    content = letter(strengths=[Strength("facing", "Turned before the whistle ended.", 9)])
    [item] = content.went_well
    assert item.label == "Criterion facing"
    assert item.text == "Dead ball 9: Turned before the whistle ended."
    assert content.went_well_empty == ""


@pytest.mark.parametrize(
    ("seen", "dead_ball", "text"),
    [("At the bench.", None, "At the bench."), ("", 9, "Dead ball 9"), (" ", 1, "Dead ball 1")],
)
def test_evidence_is_a_sentence_or_a_dead_ball(seen: str, dead_ball: int | None, text: str) -> None:
    [item] = letter(strengths=[Strength("facing", seen, dead_ball)]).went_well
    assert item.text == text


def test_without_a_strength_the_letter_says_so() -> None:
    content = letter()
    assert content.went_well == ()
    assert content.went_well_empty == "Nothing was set down under this heading this time."


@pytest.mark.parametrize(
    ("talk", "raised", "mark"),
    [
        (Talk.HELD, True, ""),
        (Talk.HELD, False, "not raised that night"),
        (Talk.DECLINED, False, ""),
        (Talk.IMPOSSIBLE, False, ""),
    ],
)
def test_what_was_not_raised_in_the_talk_is_marked(talk: Talk, raised: bool, mark: str) -> None:
    content = letter(
        observation=observed(talk=talk),
        strengths=[Strength("facing", "Seen.", raised=raised)],
        next_steps=[next_step("clock", raised=raised)],
    )
    assert [item.mark for item in content.went_well] == [mark]
    assert [step.mark for step in content.next_steps] == [mark]


# 4: next steps


def test_a_next_step_has_its_five_parts_in_order() -> None:
    [step] = letter(rated={"clock": 2}, next_steps=[next_step("clock", dead_ball=4)]).next_steps
    assert step.label == "Criterion clock"
    assert step.parts == (
        StepPart("Seen", "Dead ball 4: Seen twice."),
        StepPart("Standard", "Standard of clock."),
        StepPart("Why", "Why of clock."),
        StepPart("Try this", "Exercise of clock."),
        StepPart("How we will check", "Check of clock."),
    )


def test_a_next_step_says_what_it_is_worth() -> None:
    content = letter(rated={"clock": 2}, next_steps=[next_step("clock"), next_step("facing")])
    assert [s.gain for s in content.next_steps] == [
        "worth up to 5.0 points",
        "worth up to 2.5 points",
    ]


def test_a_step_on_the_highest_level_is_worth_no_points() -> None:
    [step] = letter(rated={"clock": 5}, next_steps=[next_step("clock")]).next_steps
    assert step.gain == ""


def test_a_ceiling_comes_first_with_its_real_rise() -> None:
    rubric = form(ceilings=(ceiling("clock", 50),))
    content = letter(
        rubric=rubric, rated={"clock": 1}, next_steps=[next_step("facing"), next_step("clock")]
    )
    assert [s.label for s in content.next_steps] == ["Criterion clock", "Criterion facing"]
    # 70 before the ceiling, 76.7 with the criterion at its highest level.
    assert content.next_steps[0].gain == "lifts a ceiling, worth up to 26.7 points"


def test_of_ceilings_that_hold_together_none_promises_points() -> None:
    rubric = form(ceilings=(ceiling("clock", 50), ceiling("facing", 50)))
    content = letter(
        rubric=rubric,
        rated={"clock": 1, "facing": 1},
        next_steps=[next_step("facing"), next_step("clock")],
    )
    assert {s.gain for s in content.next_steps} == {"lifts one of several ceilings"}


@pytest.mark.parametrize(
    ("rated", "note"),
    [
        ({"clock": 3}, ""),
        ({}, "Everything seen reached the target. To stretch for: Criterion inside."),
        (
            {"clock": 3, "type": None, "direction": None},
            "Everything that counts reached the target. To stretch for: Criterion inside.",
        ),
    ],
)
def test_with_nothing_below_target_the_letter_names_a_stretch_goal(
    rated: dict[str, int | None], note: str
) -> None:
    assert letter(4, rated=rated).next_steps_note == note


@pytest.mark.parametrize(
    ("rated", "note"),
    [
        ({}, "Everything seen reached the highest level."),
        ({"clock": None}, "Everything seen reached the highest level."),
        (
            {"clock": 4, "type": None, "direction": None},
            "Everything that counts reached the highest level.",
        ),
    ],
)
def test_with_nothing_left_to_gain_the_letter_says_so(
    rated: dict[str, int | None], note: str
) -> None:
    assert letter(5, rated=rated).next_steps_note == note


def test_with_nothing_seen_the_letter_claims_nothing() -> None:
    assert letter(None).next_steps_note == ""


# 5: what was seen


def with_words(**said: str) -> tuple[Rating, ...]:
    return tuple(replace(r, comment=said.get(r.criterion, "")) for r in rate(FORM, 4))


def test_comments_are_quoted_in_rubric_order_whatever_order_they_came_in() -> None:
    ratings = with_words(clock="Raised at once.", still="Both feet.")
    for order in (ratings, tuple(reversed(ratings))):
        content = letter(ratings=order)
        assert [(q.label, q.text) for q in content.quotes] == [
            ("Criterion still", "Both feet."),
            ("Criterion clock", "Raised at once."),
        ]
        assert content.quotes_note == ""


def test_a_quote_says_where_it_was_seen() -> None:
    ratings = [replace(r, evidence="At the bench.", dead_ball=9) for r in rate(FORM, 4)[:1]]
    [quote] = letter(ratings=[*ratings, *rate(FORM, 4)[1:]]).quotes
    assert (quote.text, quote.where) == ("At the bench.", "dead ball 9")


def test_what_a_strength_or_a_next_step_says_is_not_said_again() -> None:
    content = letter(
        ratings=with_words(facing="Turned early.", clock="Twice late.", still="Both feet."),
        strengths=[Strength("facing", "Turned early.")],
        next_steps=[next_step("clock", "Twice late.")],
    )
    assert [q.text for q in content.quotes] == ["Both feet."]


def test_quotes_keep_to_their_budget_and_the_letter_says_where_the_rest_is() -> None:
    exactly = letter(ratings=with_words(still="a" * QUOTES_BUDGET))
    assert [len(q.text) for q in exactly.quotes] == [QUOTES_BUDGET]
    assert exactly.quotes_note == ""
    content = letter(ratings=with_words(still="a" * 500, route="b" * 401, clock="c" * 400))
    assert [q.text[0] for q in content.quotes] == ["a", "c"]
    assert content.quotes_note == "Longer comments stand on the letter's page and in its annex."


def test_the_annex_has_every_comment_in_full_and_then_the_answer() -> None:
    ratings = with_words(route="b" * 2000, clock="Raised at once.")
    answer = AnnexItem("Your answer", ("The second one was a held ball.",))
    annex = compose_annex(snapshot_of(FORM, tuple(reversed(ratings))), [answer], ENGLISH)
    assert annex.items == (
        AnnexItem("Criterion route", ("b" * 2000,)),
        AnnexItem("Criterion clock", ("Raised at once.",)),
        answer,
    )


# 6: the total and the season


def test_the_total_is_a_whole_number_with_its_band() -> None:
    content = letter()
    assert content.total == "75 of 100, band dependable"
    assert content.total_note == "One level on one criterion moves the total by up to 2.5 points."


def test_near_a_cut_both_bands_are_named() -> None:
    content = letter(rated={"still": 3, "leaves": 3, "facing": 3, "clock": 1})
    assert content.total == "63 of 100, between “band developing” and “band dependable”"


def test_from_the_third_observation_on_the_season_stands_with_its_margin() -> None:
    assert letter(season=season(70, 8.25, 2)).season == ""
    assert letter(season=season("64.85", 8.25, 3)).season == (
        "Your season so far: 64.9, give or take 8.3 (95 % t interval of the mean of 3 scored "
        "observations). Uncorrected: differences between observers are still in it."
    )


def test_a_corrected_season_value_is_not_called_uncorrected() -> None:
    corrected = replace(season(70, 8.25, 3), corrected=True)
    assert "Uncorrected" not in letter(season=corrected).season


# 7 and 8: how to respond, what the letter is not, whether it is genuine


def test_the_letter_says_how_to_respond_and_until_when() -> None:
    respond = letter().respond
    assert "until 28 January 2027" in respond
    for words in ("this isn't agreement", "this is not what happened", "review", "not answered"):
        assert words in respond


def test_the_letter_says_what_it_is_not() -> None:
    cautions = " ".join(letter().cautions)
    for words in ("not discipline", "one game is one game", "rules", "prevail", "jersey colour"):
        assert words in cautions


def test_the_associations_paragraph_and_the_code_are_there() -> None:
    content = letter()
    assert content.paragraph == "Thank you for a good January."
    assert content.verification.code == "K7QM-2XPA-9RTC"
    assert content.verification.address.endswith("/K7QM-2XPA-9RTC")
    assert "genuine and current" in content.verification.text
    assert content.page_label % {"page": 1, "pages": 2} == "Page 1 of 2"
    assert content.issued == "2027-01-14"


# Without a total

WITHHELD = {
    Withheld.COACHING: "A coaching observation has no total and counts in no standing.",
    Withheld.UNDER_18: "Letters to officials under 18 have no total.",
}


def no_figures(content: LetterContent) -> None:
    assert content.total == "No total"
    assert content.season == ""
    assert all(step.gain == "" for step in content.next_steps)
    assert content.form.closing == ()
    assert content.form.key == ""
    for area in content.form.areas:
        assert (area.bar.value, area.bar.season) == (None, None)
        assert not re.search(r"\d", area.bar.text + area.bar.alt)
        assert all(row.points == "" and row.room == "" for row in area.rows)
    everything = " ".join(texts(asdict(content)))
    assert "band " not in everything
    assert "of 100" not in everything


@pytest.mark.parametrize("reason", WITHHELD)
def test_a_withheld_total_prints_no_figure_and_says_why(reason: Withheld) -> None:
    rubric = form(ceilings=(ceiling("clock", 50),))
    content = letter(
        rubric=rubric,
        rated={"clock": 1},
        withhold=reason,
        observation=observed(kind=Kind.COACHING),
        next_steps=[next_step("clock")],
        season=season(70, 8.25, 4, signals=80),
    )
    no_figures(content)
    assert content.total_note == WITHHELD[reason]
    assert content.next_steps[0].label == "Criterion clock"


def test_with_not_enough_seen_no_figure_is_printed_and_the_letter_says_so() -> None:
    unseen = {"leaves": None, "arrives": None}
    content = letter(rated={**unseen, "clock": 2}, next_steps=[next_step("clock")])
    no_figures(content)
    assert content.total_note == "Not enough was seen for a total."


def test_levels_stand_in_the_form_even_without_a_total() -> None:
    content = letter(3, withhold=Withheld.UNDER_18)
    assert {row.level for area in content.form.areas for row in area.rows} == {"word 3"}
