"""A row's two courts: who stands where, who goes where, and the same in words."""

from __future__ import annotations

from dataclasses import replace

import pytest

from evaluations.core.code_drawing import row_courts, ways, when_of
from evaluations.core.drawing import Drawing, Label, Stroke, Style
from evaluations.core.mechanics import code_words
from evaluations.core.mechanics.code import Administers, Row
from evaluations.core.mechanics.court import Court, Position, Resumes, Side, Whistle
from evaluations.core.voice import PlainEnglish
from tests.core.mechanics.crews import ALL_CODES, code, place
from tests.core.test_every_word_is_translated import InBrackets, without_brackets

LEAD, TRAIL, CENTRE = Position.LEAD, Position.TRAIL, Position.CENTRE
VOICE = PlainEnglish()
SWITCH = Row(
    crew=2,
    after={LEAD: place("trail table"), TRAIL: place("lead opposite")},
    administers=Administers.LEAD,
    caller=LEAD,
    side=Side.TABLE,
)
STAY = replace(SWITCH, after={LEAD: place("lead table"), TRAIL: place("trail")}, caller=None)


def labels(drawing: Drawing) -> dict[str, tuple[float, float]]:
    return {s.text: (s.x, s.y) for s in drawing.shapes if isinstance(s, Label)}


def ways_drawn(drawing: Drawing) -> int:
    return sum(isinstance(s, Stroke) and s.style is Style.WAY_DUE for s in drawing.shapes)


def test_the_caller_is_marked_where_the_row_says_and_the_partner_by_letter() -> None:
    before = row_courts(VOICE, SWITCH).before
    assert set(labels(before)) == {"L*", "T"}
    assert before.alt == "Before the whistle: the caller is lead, table side."
    anybody = row_courts(VOICE, STAY).before
    assert set(labels(anybody)) == {"L", "T"}
    assert anybody.alt == "Before the whistle: whoever called."


def test_a_switch_is_drawn_as_two_ways_and_said_in_words() -> None:
    after = row_courts(VOICE, SWITCH).after
    assert set(labels(after)) == {"L → T", "T → L"}
    assert ways_drawn(after) == 2
    assert after.alt == (
        "The lead becomes trail, table side. The trail becomes lead, opposite the table."
    )


def test_who_stays_keeps_a_single_letter_and_a_free_side_is_told() -> None:
    after = row_courts(VOICE, STAY).after
    assert set(labels(after)) == {"L", "T ↕"}
    assert list(ways(VOICE, STAY.after)) == [
        "The lead stays lead, table side.",
        "The trail stays trail, either side.",
    ]


def test_after_a_turn_the_crew_stands_about_the_other_basket() -> None:
    same, turned = (row_courts(VOICE, replace(SWITCH, flip=f)).after for f in (False, True))
    middle = same.width / 2
    assert labels(same)["L → T"][0] > middle > labels(turned)["L → T"][0]


@pytest.mark.parametrize("key", ALL_CODES)
def test_every_shipped_row_is_drawn_and_speaks_one_language(key: str) -> None:
    for row in code(key).rows:
        courts = row_courts(InBrackets(), row)
        for drawing in courts:
            assert without_brackets(drawing.alt).strip() == ""
            for shape in drawing.shapes:
                if isinstance(shape, Label):
                    assert " ".join(without_brackets(shape.text).split()) in (
                        "",
                        "*",
                        "→",
                        "↕",
                        "→ ↕",
                    )
        assert len(labels(courts.before)) == len(labels(courts.after)) == row.crew


def test_a_row_is_read_by_what_it_names() -> None:
    row = replace(
        SWITCH,
        whistles=frozenset({Whistle.SHOOTING, Whistle.COMMON}),
        resumes=frozenset({Resumes.FREE_THROWS}),
        court=Court.BACK,
        flip=False,
    )
    assert code_words.when(VOICE, when_of(row)) == (
        "common foul or shooting or bonus foul · free throws · back court · direction stays · "
        "caller: lead, table side"
    )
    blank = replace(STAY, side=None)
    assert code_words.when(VOICE, when_of(blank)) == "in every situation"
