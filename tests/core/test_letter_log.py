"""What a letter says of the dead-ball log: counts beside levels, one own movement."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import pytest

from evaluations.core.letter import LetterContent, reading_order
from evaluations.core.letter_pictures import MovementPicture
from evaluations.core.letter_text import compose, compose_annex
from evaluations.core.mechanics.counts import Count
from evaluations.core.mechanics.court import Place, Position, Side, Whistle
from evaluations.core.mechanics.facts import Kept, Source
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.mechanics.movement import Movement
from evaluations.core.next_steps import QUOTES_BESIDE_COURT, QUOTES_BUDGET
from evaluations.core.ratings import Rating
from evaluations.core.voice import PlainEnglish
from tests.core.examples import form, rate
from tests.core.snapshots import counted, log_of, moved, snapshot_of

FORM = form()
ENGLISH = PlainEnglish()
LEAD_OPPOSITE = Place(Position.LEAD, Side.OPPOSITE)


def letter(
    counts: Mapping[str, Count],
    movement: Movement | None = None,
    *,
    ratings: Sequence[Rating] = (),
    **fields: Any,
) -> LetterContent:
    log = log_of(FORM, counts, movement, **fields)
    return compose(snapshot_of(FORM, ratings or rate(FORM, 3), log=log), ENGLISH)


def in_form(content: LetterContent) -> dict[str, str]:
    """What the form says was counted, by the criterion's key; empty cells left out."""
    rows = [row for area in content.form.areas for row in area.rows]
    return {row.label.removeprefix("Criterion "): row.counted for row in rows if row.counted}


def annex(counts: Mapping[str, Count], **rating: Any) -> dict[str, tuple[str, ...]]:
    """The annex by criterion; one rating may be given by its fields."""
    given = {rating["criterion"]: Rating(**rating)} if rating else {}
    ratings = [given.get(r.criterion, r) for r in rate(FORM, 3)]
    log = log_of(FORM, counts)
    made = compose_annex(snapshot_of(FORM, ratings, log=log), (), ENGLISH)
    return {item.heading.removeprefix("Criterion "): item.paragraphs for item in made.items}


# --- Counts in the form --------------------------------------------------------------------------
def test_a_count_stands_in_the_row_of_its_criterion_and_nowhere_else() -> None:
    content = letter({"leaves": counted(4, 2)})
    assert content.form.counted == "Counted"
    assert in_form(content) == {"leaves": "4 of 6"}


def test_without_a_log_the_form_has_no_such_column() -> None:
    content = compose(snapshot_of(FORM, rate(FORM, 3)), ENGLISH)
    assert (content.form.counted, content.form.counts_note, content.movement) == ("", "", None)
    assert in_form(content) == {}
    assert not content.goes_on


def test_too_few_judged_are_not_enough_seen_whatever_they_were() -> None:
    content = letter({"leaves": counted(4, 0), "route": counted(0, 0, 9)})
    assert in_form(content) == {"leaves": "not enough seen", "route": "not enough seen"}
    assert "Not enough seen: fewer than 5 judged." in content.form.counts_note


@pytest.mark.parametrize("kept", [Kept.EVERY_NTH, Kept.ONE_DUTY])
def test_the_interval_stands_only_where_the_log_is_a_sample(kept: Kept) -> None:
    sample = letter({"leaves": counted(4, 2, kept=kept)})
    assert in_form(sample) == {"leaves": "4 of 6, 30–90 %"}
    assert "A sample, so with its 95 % interval." in sample.form.counts_note
    whole = letter({"leaves": counted(4, 2)})
    assert "interval" not in whole.form.counts_note


def test_what_only_struck_the_observer_gives_examples_and_no_figure() -> None:
    striking = counted(8, 4, 2, kept=Kept.STRIKING)
    content = letter({"leaves": striking, "route": replace(striking, dead_balls=(7,))})
    assert content.form.counted == "Examples"
    assert in_form(content) == {"leaves": "1, 2, 3 …", "route": "7"}
    assert content.form.counts_note.startswith("Examples: where a duty was not met")
    assert "Nothing is counted." in content.form.counts_note


def test_the_note_says_how_and_from_where_the_log_was_kept() -> None:
    content = letter({"leaves": counted(4, 2, 3), "route": counted(5, 0, 1)}, source=Source.FILM)
    assert content.form.counts_note == (
        "Counted: met of those judged, by the dead-ball log (every foul; from film; Two-person "
        "mechanics, edition 3; dead balls: 18). Not judged and not counted: 4. In full, with dead "
        "balls, on the letter's page and in its annex."
    )


def test_a_letter_with_counts_goes_on_in_its_annex() -> None:
    assert letter({"leaves": counted(4, 2)}).goes_on
    assert not letter({}).goes_on


# --- Counts in full ------------------------------------------------------------------------------
def test_the_annex_has_each_count_with_its_dead_balls() -> None:
    found = annex({"leaves": counted(4, 2, 3), "route": counted(2, 0)})
    assert found == {
        "leaves": (
            "Counted: 4 of 6 met, 3 not judged; suggests word 1 to word 4. "
            "Not met at dead balls 1, 2.",
        ),
        "route": ("Counted: 2 of 2 met; not enough seen.",),
    }


def test_a_duty_that_never_came_up_is_not_in_the_annex() -> None:
    assert annex({"leaves": counted(0, 0)}) == {}
    assert annex({"leaves": counted(0, 0, 2)}) == {
        "leaves": ("Counted: 0 of 0 met, 2 not judged; not enough seen.",)
    }


def test_a_sample_has_its_interval_in_the_annex_too() -> None:
    [(count,)] = annex({"leaves": counted(9, 1, kept=Kept.ONE_DUTY)}).values()
    assert "95 % interval 60 to 98 %" in count


def test_examples_are_all_in_the_annex_without_a_figure() -> None:
    found = annex({"leaves": counted(9, 5, kept=Kept.STRIKING)})
    assert found == {"leaves": ("Not met at dead balls 1, 2, 3, 4, 5.",)}
    assert annex({"leaves": counted(9, 0, kept=Kept.STRIKING)}) == {}


def test_a_comment_follows_its_count() -> None:
    found = annex({"leaves": counted(9, 1)}, criterion="leaves", level=4, comment="Late at first.")
    assert found["leaves"][1] == "Late at first."


# --- A level that is not the suggested one -------------------------------------------------------
REASON = "The last two came in garbage time."
KEPT_AT_5: dict[str, Any] = {
    "criterion": "leaves",
    "level": 5,
    "evidence": "All night.",
    "reason": REASON,
}


def test_a_changed_suggestion_is_quoted_with_its_count_and_reason() -> None:
    ratings = [r for r in rate(FORM, 3) if r.criterion != "leaves"]
    content = letter({"leaves": counted(8, 2)}, ratings=[*ratings, Rating(**KEPT_AT_5)])
    [quote] = content.quotes
    assert quote.label == "Criterion leaves"
    assert quote.text == f"All night. Counted 8 of 10, which suggests word 4: {REASON}"
    assert annex({"leaves": counted(8, 2)}, **KEPT_AT_5)["leaves"][1] == quote.text


def test_without_a_suggestion_there_is_nothing_to_give_a_reason_for() -> None:
    ratings = [r for r in rate(FORM, 3) if r.criterion != "leaves"]
    content = letter({"leaves": counted(2, 0)}, ratings=[*ratings, Rating(**KEPT_AT_5)])
    assert [quote.text for quote in content.quotes] == ["All night."]


# --- The own movement ----------------------------------------------------------------------------
def picture(**fields: Any) -> MovementPicture:
    drawn = letter({}, moved(**fields)).movement
    assert drawn is not None
    return drawn


def test_the_caption_tells_the_dead_ball_and_the_three_places() -> None:
    assert picture().caption == (
        "Dead ball 9, period 2, 4:10, shooting or bonus foul. You were lead, table side (ring). "
        "The code sends you to trail, table side (square). You stayed lead, table side (dot)."
    )


def test_the_alternative_text_tells_the_same_places() -> None:
    drawn = picture()
    told = drawn.caption.partition("foul. ")[2]
    assert drawn.alt == f"Your movement on a court. {told}"


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"long_switch": True}, "to trail, table side (square), a long switch."),
        ({"actual": LEAD_OPPOSITE}, "You stayed lead, opposite the table (dot)."),
        ({"actual": LEAD_OPPOSITE, "flip": True}, "You ended lead, opposite the table (dot)."),
        ({"actual": Place(Position.TRAIL)}, "You ended trail, side not seen (dot)."),
        ({"expected": Place(Position.LEAD)}, "sends you to lead, either side (square)."),
        (
            {"verdict": Verdict.MET, "option": "caller_lead_opposite"},
            "That is an option which the code allows.",
        ),
    ],
)
def test_the_caption_says_what_is_special_about_it(fields: Any, sentence: str) -> None:
    assert sentence in picture(**fields).caption


def test_what_was_not_logged_is_left_out_of_the_caption() -> None:
    caption = picture(period=None, clock="", whistle=None).caption
    assert caption.startswith("Dead ball 9. You were")
    assert (
        "Dead ball 9, 4:10, held ball." in picture(period=None, whistle=Whistle.HELD_BALL).caption
    )


def test_the_movement_opens_the_evidence() -> None:
    ratings = [replace(r, comment=f"On {r.criterion}.") for r in rate(FORM, 3)]
    content = letter({}, moved(), ratings=ratings)
    assert content.movement is not None
    read = reading_order(content)
    place = read.index(content.headings["evidence"])
    assert read[place + 1 : place + 3] == (content.movement.caption, "table")
    assert read[place + 3] == "Criterion still"


def test_beside_a_movement_labels_count_against_the_room_for_quotations() -> None:
    short = [replace(r, comment="x" * 60, dead_ball=14) for r in rate(FORM, 3)]
    long = [replace(r, comment="x" * 240, dead_ball=14) for r in rate(FORM, 3)]

    def in_all(content: LetterContent) -> int:
        return sum(len(q.label) + len(q.text) + len(q.where) for q in content.quotes)

    for ratings in (short, long):
        with_court, without = letter({}, moved(), ratings=ratings), letter({}, ratings=ratings)
        assert in_all(with_court) <= QUOTES_BESIDE_COURT
        assert sum(len(q.text) for q in without.quotes) <= QUOTES_BUDGET
        assert len(with_court.quotes) <= len(without.quotes)
