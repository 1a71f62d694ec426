"""The shipped default rubric is complete, fits the letter and speaks of the task."""

import re
import tomllib
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

RUBRIC_FILE = Path(__file__).parents[2] / "evaluations" / "shipped" / "default_rubric.toml"
RUBRIC: dict[str, Any] = tomllib.loads(RUBRIC_FILE.read_text(encoding="utf-8"))
CRITERIA: list[dict[str, Any]] = [c for area in RUBRIC["areas"] for c in area["criteria"]]

LANGUAGES = ("en", "es")
NEXT_STEP_PARTS = ("standard", "why", "try_this", "check")
TEXT_KEYS = {"label", "hint", "levels", *NEXT_STEP_PARTS}
LABEL_BUDGET, HINT_BUDGET, LEVEL_BUDGET = 60, 90, 120
# A letter's next step has 450 characters; what was seen needs the other 120.
NEXT_STEP_BUDGET = 330

BANNED = {
    "en": r"watch(es|ed|ing)?|faults?|faulty|charg(e|es|ed|ing)|harsh(ly)?|prov(e|es|ed|en|ing)"
    r"|proofs?|once or twice",
    "es": r"mir(a|e|ar|an|ando)|vigil(a|e|ar|an|ando)|observ(a|e|ar|an|ando)|culp(a|as|able|ables)"
    r"|acus(a|ar|ado|ada)|imput(a|ar|ado|ada)|dur(o|a|os|as|eza)|sever(o|a|os|as|idad)"
    r"|prueb(a|as|e)|prob(ar|ado|ada)|demuestr(a|e|an)|demostr(ar|ado|ada)"
    r"|una o dos veces|una vez o dos",
}
# Words for the share of what was judged, lowest level first; the highest names no share.
SHARE_WORDS = {
    "en": (
        "fewer than three in ten",
        "up to about half",
        "more than half",
        "at least four in five",
    ),
    "es": (
        "menos de tres de cada diez",
        r"como mucho (en )?cerca de la mitad",
        "más de la mitad",
        "al menos cuatro de cada cinco",
    ),
}
SEEN_WORDS = {"en": r"\bseen\b", "es": r"\bvist[oa]\b"}
CHECK_OPENING = {"en": "At the next observation: ", "es": "En la próxima observación: "}
# Spanish addresses the reader as "usted": no word that belongs to "tú".
FAMILIAR_ADDRESS = r"tú|tu|tus|te|ti|contigo|tuy[oa]s?"
SECOND_PERSON = {"en": r"you|your|yours|yourself", "es": r"usted|ustedes"}

every_language = pytest.mark.parametrize("language", LANGUAGES)
every_criterion = pytest.mark.parametrize("criterion", CRITERIA, ids=lambda c: str(c["key"]))


def has_word(pattern: str, text: str) -> bool:
    """Whether one of the words in ``pattern`` stands in ``text`` as a word of its own."""
    return re.search(rf"\b({pattern})\b", text, re.IGNORECASE) is not None


def sentences(texts: dict[str, Any]) -> list[str]:
    """Everything of a criterion that is written as a sentence: all texts but the label."""
    return [texts["hint"], *(texts[part] for part in NEXT_STEP_PARTS), *texts["levels"]]


def all_texts(language: str) -> Iterator[str]:
    """Every text of the rubric that a reader can meet in one language."""
    yield RUBRIC["edition_note"][language]
    for named in (*RUBRIC["level_words"], *RUBRIC["bands"], *RUBRIC["areas"]):
        yield named[language]
    for criterion in CRITERIA:
        yield criterion[language]["label"]
        yield from sentences(criterion[language])


def test_the_four_areas_weigh_25_25_30_and_20() -> None:
    weights = [(area["key"], int(area["weight"])) for area in RUBRIC["areas"]]
    assert weights == [
        ("foul-reporting", 25),
        ("switching", 25),
        ("boxing-in", 30),
        ("signals", 20),
    ]


def test_switching_and_boxing_in_are_the_needed_areas() -> None:
    needed = {area["key"] for area in RUBRIC["areas"] if area["needed"]}
    assert needed == {"switching", "boxing-in"}


def test_every_area_is_half_seen_at_least_and_the_form_seven_tenths() -> None:
    assert {Decimal(area["minimum_share"]) for area in RUBRIC["areas"]} == {Decimal("0.5")}
    assert Decimal(RUBRIC["minimum_seen"]) == Decimal("0.7")


def test_each_area_has_three_criteria_of_equal_weight() -> None:
    for area in RUBRIC["areas"]:
        assert [Decimal(c["weight"]) for c in area["criteria"]] == [1, 1, 1], area["key"]


def test_criterion_keys_are_short_slugs_and_all_different() -> None:
    keys = [criterion["key"] for criterion in CRITERIA]
    assert len(set(keys)) == 12
    for key in keys:
        assert re.fullmatch(r"[a-z]+(-[a-z]+)*", key) and len(key) <= 40, key


def test_five_levels_have_a_word_each_and_the_target_is_the_fourth() -> None:
    assert RUBRIC["levels"] == 5
    assert RUBRIC["target_level"] == 4
    assert [word["level"] for word in RUBRIC["level_words"]] == [1, 2, 3, 4, 5]
    assert [word["en"] for word in RUBRIC["level_words"]] == [
        "seldom",
        "at times",
        "usually",
        "nearly always",
        "every time",
    ]


def test_four_bands_ascend_from_zero() -> None:
    assert [(band["key"], int(band["lower"])) for band in RUBRIC["bands"]] == [
        ("foundation", 0),
        ("developing", 40),
        ("dependable", 65),
        ("exemplary", 85),
    ]


@every_criterion
def test_both_languages_have_the_same_texts(criterion: dict[str, Any]) -> None:
    assert set(criterion) <= {"key", "weight", "findings", *LANGUAGES}
    for language in LANGUAGES:
        assert set(criterion[language]) == TEXT_KEYS
        assert len(criterion[language]["levels"]) == RUBRIC["levels"]


@every_language
def test_no_text_is_empty_ragged_or_said_twice(language: str) -> None:
    texts = list(all_texts(language))
    for text in texts:
        assert text and text == " ".join(text.split()), text
    assert len(texts) == len(set(texts))


@every_language
@every_criterion
def test_label_hint_and_levels_keep_to_their_budgets(
    criterion: dict[str, Any], language: str
) -> None:
    texts = criterion[language]
    assert len(texts["label"]) <= LABEL_BUDGET
    assert len(texts["hint"]) <= HINT_BUDGET
    assert max(len(level) for level in texts["levels"]) <= LEVEL_BUDGET


@every_language
@every_criterion
def test_the_next_step_fits_the_letter_as_one_paragraph(
    criterion: dict[str, Any], language: str
) -> None:
    paragraph = " ".join(criterion[language][part] for part in NEXT_STEP_PARTS)
    assert len(paragraph) <= NEXT_STEP_BUDGET


@every_language
@every_criterion
def test_every_text_is_one_full_sentence(criterion: dict[str, Any], language: str) -> None:
    for text in sentences(criterion[language]):
        assert text[0].isupper(), text
        assert text.endswith(".") and text.count(".") == 1, text
    assert not criterion[language]["label"].endswith(".")


@every_language
@every_criterion
def test_level_wordings_name_shares_of_what_was_seen(
    criterion: dict[str, Any], language: str
) -> None:
    *lower_levels, highest = criterion[language]["levels"]
    for wording, share in zip(lower_levels, SHARE_WORDS[language], strict=True):
        assert has_word(share, wording), wording
    assert re.search(SEEN_WORDS[language], highest), highest
    assert not any(has_word(share, highest) for share in SHARE_WORDS[language]), highest


@every_language
@every_criterion
def test_the_check_says_what_will_be_counted(criterion: dict[str, Any], language: str) -> None:
    check = criterion[language]["check"]
    assert check.startswith(CHECK_OPENING[language])
    assert has_word("are counted" if language == "en" else "se cuentan", check)


@every_language
@every_criterion
def test_only_the_exercise_speaks_to_the_official(criterion: dict[str, Any], language: str) -> None:
    exercise = criterion[language]["try_this"]
    for text in sentences(criterion[language]):
        assert text == exercise or not has_word(SECOND_PERSON[language], text), text


@every_language
def test_no_text_uses_a_word_that_hurts(language: str) -> None:
    for text in all_texts(language):
        assert not has_word(BANNED[language], text), text


def test_spanish_keeps_to_the_polite_address() -> None:
    for text in all_texts("es"):
        assert not has_word(FAMILIAR_ADDRESS, text), text


def test_the_edition_note_names_no_source_and_lets_the_adopted_rules_prevail() -> None:
    note = RUBRIC["edition_note"]
    assert set(note) == set(LANGUAGES)
    assert "no source" in note["en"] and "prevail" in note["en"]
    assert "sin fuente" in note["es"] and "prevalecen" in note["es"]
