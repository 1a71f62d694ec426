"""A rubric as a whole: what a draft still lacks, and what a reader of another language gets."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from evaluations.core.rubric import CriterionWording
from evaluations.core.rubric_content import (
    AreaContent,
    BandContent,
    CriterionContent,
    Lack,
    RubricContent,
    Where,
    lacking,
    too_long,
)

HOLDS = CriterionWording(
    label="Holds each sign",
    hint="Away from the body.",
    standard="A sign is held.",
    why="The table can read it.",
    try_this="Count to one.",
    check="Signs held are counted.",
    levels=("Few are held.", "Most are held.", "All are held."),
)
SIGNALS = AreaContent(
    key="signals",
    weight=Decimal(20),
    minimum_share=Decimal("0.5"),
    needed=False,
    labels={"en": "Signals"},
    criteria=(CriterionContent("holds", Decimal(1), {"en": HOLDS}),),
)
RUBRIC = RubricContent(
    note="",
    mechanics="",
    levels=3,
    target_level=2,
    minimum_seen=Decimal("0.7"),
    cut_points=(Decimal("0.5"), Decimal(1)),
    level_words={"en": ("seldom", "usually", "every time")},
    bands=(BandContent("all", Decimal(0), {"en": "all"}),),
    areas=(SIGNALS,),
)


def with_text(**changes: Any) -> RubricContent:
    """The rubric with other texts of its one criterion."""
    criterion = CriterionContent("holds", Decimal(1), {"en": replace(HOLDS, **changes)})
    return replace(RUBRIC, areas=(replace(SIGNALS, criteria=(criterion,)),))


def test_a_rubric_with_every_text_lacks_nothing() -> None:
    assert lacking(RUBRIC, "en") == ()


def test_a_language_without_a_word_lacks_everything_from_top_to_bottom() -> None:
    assert lacking(RUBRIC, "es") == (
        Lack(Where.LEVELS, ("word",)),
        Lack(Where.BANDS, ("name",)),
        Lack(Where.AREA, ("label",), "signals"),
        Lack(
            Where.CRITERION,
            ("label", "standard", "why", "try_this", "check", "levels"),
            "holds",
        ),
    )


@pytest.mark.parametrize("name", ["label", "standard", "why", "try_this", "check"])
def test_each_text_of_a_criterion_is_missed(name: str) -> None:
    assert lacking(with_text(**{name: ""}), "en") == (Lack(Where.CRITERION, (name,), "holds"),)


def test_a_hint_may_be_left_out() -> None:
    assert lacking(with_text(hint=""), "en") == ()


@pytest.mark.parametrize("levels", [(), ("Few.", "Most."), ("Few.", "", "All.")])
def test_every_level_needs_its_wording(levels: tuple[str, ...]) -> None:
    assert lacking(with_text(levels=levels), "en") == (Lack(Where.CRITERION, ("levels",), "holds"),)


@pytest.mark.parametrize("words", [("seldom", "usually"), ("seldom", "", "every time")])
def test_every_level_needs_its_word(words: tuple[str, ...]) -> None:
    rubric = replace(RUBRIC, level_words={"en": words})
    assert lacking(rubric, "en") == (Lack(Where.LEVELS, ("word",)),)


def test_wordings_of_levels_that_are_gone_are_neither_missed_nor_shown() -> None:
    rubric = replace(RUBRIC, levels=2, cut_points=(Decimal(1),))
    assert lacking(rubric, "en") == ()
    wording = rubric.wording("en", "en", "2026–27")
    assert wording.level_words == ("seldom", "usually")
    assert wording.criteria["holds"].levels == ("Few are held.", "Most are held.")


def test_a_reader_gets_the_associations_language_where_the_own_one_lacks_a_text() -> None:
    spanish = CriterionWording("Mantiene cada señal", "", "", "", "", "", ("Pocas.",))
    criterion = CriterionContent("holds", Decimal(1), {"en": HOLDS, "es": spanish})
    rubric = replace(
        RUBRIC,
        level_words={**RUBRIC.level_words, "es": ("rara vez",)},
        areas=(replace(SIGNALS, criteria=(criterion,)),),
    )
    wording = rubric.wording("es", "en", "2026–27")
    holds = wording.criteria["holds"]
    assert (holds.label, holds.standard) == ("Mantiene cada señal", "A sign is held.")
    assert holds.levels == ("Pocas.", "Most are held.", "All are held.")
    assert wording.level_words == ("rara vez", "usually", "every time")
    assert wording.areas == {"signals": "Signals"}


def test_what_has_no_name_at_all_goes_by_its_key_and_a_level_by_its_number() -> None:
    rubric = replace(with_text(label=""), level_words={})
    wording = rubric.wording("es", "en", "2026–27")
    assert wording.criteria["holds"].label == "holds"
    assert wording.level_words == ("1", "2", "3")


def test_the_four_texts_of_a_next_step_share_330_characters() -> None:
    fits = replace(HOLDS, standard="s" * 100, why="w" * 100, try_this="t" * 100, check="c" * 30)
    assert too_long(fits) == {}
    assert too_long(replace(fits, check="c" * 31)) == {"step": 1}


def test_name_hint_and_levels_have_their_own_budgets() -> None:
    over = replace(HOLDS, label="n" * 61, hint="h" * 92, levels=("x" * 120, "x" * 123))
    assert too_long(over) == {"label": 1, "hint": 2, "levels": 3}
