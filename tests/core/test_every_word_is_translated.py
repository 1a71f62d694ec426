"""Whatever core says, it says in the reader's language."""

from __future__ import annotations

import ast
import re
from dataclasses import asdict, replace
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluations.core import words
from evaluations.core.games import CrewPosition, Difficulty, Kind, Talk
from evaluations.core.letter import LetterContent
from evaluations.core.letter_text import compose, compose_annex
from evaluations.core.mechanics.court import Place, Position, Side
from evaluations.core.mechanics.facts import Kept, Source
from evaluations.core.next_steps import Strength
from evaluations.core.ratings import Rating
from evaluations.core.release import ReleaseSnapshot
from evaluations.core.rubric import RubricSpec
from evaluations.core.scoring import Withheld
from tests.core.examples import form, rate
from tests.core.snapshots import (
    counted,
    log_of,
    moved,
    next_step,
    observed,
    season,
    snapshot_of,
)
from tests.core.strategies import forms

CORE = Path(__file__).parents[2] / "evaluations" / "core"
FixedValue = CrewPosition | Kind | Difficulty | Talk | Withheld
NOT_WORDS = {"language", "paper", "issued"}


class InBrackets:
    """A language that puts each of its texts, figures and days in brackets."""

    language = "xx"

    def text(self, message: str) -> str:
        return f"⟦{message}⟧"

    def number(self, figure: Fraction, decimals: int = 1) -> str:
        return f"⟦{float(figure):.{decimals}f}⟧"

    def day(self, day: date) -> str:
        return f"⟦{day.isoformat()}⟧"


def strings(value: object) -> list[str]:
    if isinstance(value, str):
        return [value]
    if isinstance(value, dict):
        return [s for key, item in value.items() if key not in NOT_WORDS for s in strings(item)]
    if isinstance(value, list | tuple):
        return [s for item in value for s in strings(item)]
    return []


def without_brackets(text: str) -> str:
    while (shorter := re.sub(r"⟦[^⟦⟧]*⟧", " ", text)) != text:
        text = shorter
    return text


def said_in_no_language(content: LetterContent, snapshot: ReleaseSnapshot) -> list[str]:
    """What is left of a letter without translated texts and without what people entered."""
    entered = sorted({s for s in strings(asdict(snapshot)) if s}, key=len, reverse=True)
    left = []
    for text in strings(asdict(content)):
        rest = without_brackets(text)
        for own in entered:
            rest = rest.replace(own, " ")
        if re.search(r"[^\W\d]", rest):
            left.append(text)
    return left


@given(
    forms(),
    st.sampled_from([None, Withheld.COACHING, Withheld.UNDER_18]),
    st.sampled_from(Talk),
    st.integers(0, 4),
)
def test_a_letter_has_no_word_outside_the_voice(
    drawn: tuple[RubricSpec, tuple[Rating, ...]],
    withhold: Withheld | None,
    talk: Talk,
    observations: int,
) -> None:
    rubric, ratings = drawn
    keys = [c.key for c in rubric.criteria]
    snapshot = snapshot_of(
        rubric,
        [replace(r, comment=f"Comment {r.criterion}.", dead_ball=7) for r in ratings],
        withhold=withhold,
        strengths=[Strength(keys[0], "Seen.", dead_ball=3, raised=False)],
        next_steps=[next_step(key, raised=False) for key in keys[:3]],
        observation=observed(talk=talk),
        season=season(70, 8.25, observations, area0=75),
        serial=2,
    )
    assert said_in_no_language(compose(snapshot, InBrackets()), snapshot) == []


@pytest.mark.parametrize("kept", Kept)
@pytest.mark.parametrize("source", Source)
def test_evidence_from_a_log_has_no_word_outside_the_voice(kept: Kept, source: Source) -> None:
    rubric = form()
    counts = {
        "leaves": counted(8, 2, 3, kept=kept, by_option=1),
        "route": counted(1, 1, kept=kept),
    }
    went = (
        moved(),
        moved(
            flip=True,
            long_switch=True,
            actual=Place(Position.CENTRE),
            expected=Place(Position.LEAD),
            before=Place(Position.TRAIL, Side.OPPOSITE),
            option="caller_lead_opposite",
        ),
    )
    ratings = [replace(r, reason="Reason.") for r in rate(rubric, 5)]
    for movement in went:
        log = log_of(rubric, counts, movement, source=source, code="Codename")
        snapshot = snapshot_of(rubric, ratings, log=log)
        assert said_in_no_language(compose(snapshot, InBrackets()), snapshot) == []
        annex = compose_annex(snapshot, (), InBrackets())
        assert [t for t in strings(asdict(annex)) if re.search(r"[^\W\d]", plain(t))] == []


def plain(text: str) -> str:
    """A text of the annex without what is translated and what people wrote."""
    rest = without_brackets(text)
    for entered in ("Criterion leaves", "Criterion route", "Reason."):
        rest = rest.replace(entered, "")
    return re.sub(r"word \d", "", rest)


@pytest.mark.parametrize("value", [*CrewPosition, *Kind, *Difficulty, *Talk, *Withheld])
def test_every_fixed_value_has_its_words(value: FixedValue) -> None:
    match value:
        case CrewPosition():
            said = words.position(InBrackets(), value)
        case Kind():
            said = words.kind(InBrackets(), value)
        case Difficulty():
            said = words.difficulty(InBrackets(), value)
        case Talk():
            said = words.talk(InBrackets(), value)
        case Withheld():
            said = words.withheld(InBrackets(), value)
    assert re.fullmatch(r"⟦.+⟧", said)


@pytest.mark.parametrize("module", sorted(CORE.glob("**/*.py")), ids=lambda path: path.name)
def test_texts_are_written_as_the_catalogue_finds_them(module: Path) -> None:
    """A tool collects the texts from `_("...")`; it would miss `voice.text("...")`."""
    calls = [n for n in ast.walk(ast.parse(module.read_text())) if isinstance(n, ast.Call)]
    missed = [
        call.lineno
        for call in calls
        if isinstance(call.func, ast.Attribute)
        and call.func.attr == "text"
        and call.args
        and isinstance(call.args[0], ast.Constant | ast.JoinedStr)
    ]
    assert missed == []
    composed = [
        call.lineno
        for call in calls
        if isinstance(call.func, ast.Name)
        and call.func.id == "_"
        and not all(isinstance(a, ast.Constant) for a in call.args)
    ]
    assert composed == [], "a text that is put together is in no catalogue"
