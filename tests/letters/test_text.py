"""What a letter says is what its content says: all of it, in order, and nothing else."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from evaluations.core.letter import Annex, AnnexItem, LetterContent, reading_order, with_notice
from evaluations.letters import missing_characters, render
from tests.letters import samples
from tests.letters.reading import body, pages, reader, spaced, squeezed

KINDS = (
    samples.full,
    samples.crammed,
    samples.typical,
    samples.coaching,
    samples.bare,
    samples.full_logged,
    samples.crammed_logged,
    samples.typical_logged,
    samples.coaching_logged,
    samples.crammed_sketched,
    samples.crammed_banded,
    samples.typical_sketched,
)
LETTERS = [
    pytest.param(make(language, paper), id=f"{make.__name__}-{language}-{paper}")
    for make, language, paper in product(KINDS, ("en", "es"), ("letter", "a4"))
]

NAMES = (
    "Łukasz Žižka",
    "Đorđe Šarić-Čapek",
    "Þóra Ægisdóttir",
    "İlkay Y\u0131ld\u0131z Ağaoğlu Şahin",
    "Zoë O’Brien-Dvořák",
    "Ștefan Țepeș",
    "Ġorġ Ħal Għaxaq",
    "Őrsi Árpád Tűzkő",
    "Māris Ķēniņš",
    "Gražina Šimkutė Ųla",
    "Áŋgel Sámi",
    "Елена Žukova Ελένη",
)
SIGNS = "– — “ ” „ \u2018 ’ … ½ × ≥ ≤ − → · € ¿ ¡ « » º ª § • 95 %"


@pytest.mark.parametrize("content", LETTERS)
def test_the_pdf_reads_as_its_content_does(content: LetterContent) -> None:
    assert body(render(content), content) == spaced(" ".join(reading_order(content)))


def test_a_withdrawn_letter_opens_with_that_word() -> None:
    withdrawn = with_notice(samples.typical(), "Withdrawn on 3 March 2027.")
    assert pages(render(withdrawn))[0].startswith("Withdrawn on 3 March 2027. Harbour")


@pytest.mark.parametrize("name", NAMES)
def test_every_european_name_prints_right(name: str) -> None:
    letter = replace(samples.coaching(), official=name, summary=f"{name} kept still.")
    assert missing_characters(letter) == ()
    text = body(render(letter), letter)
    assert name in text and f"{name} kept still." in text


def test_signs_of_text_and_figures_print_right() -> None:
    letter = replace(samples.coaching(), summary=SIGNS)
    assert missing_characters(letter) == ()
    assert SIGNS in body(render(letter), letter)


def test_letters_with_marks_set_apart_are_put_together() -> None:
    letter = replace(samples.coaching(), official="Z\N{COMBINING CARON}izka")
    assert "Žizka" in body(render(letter), letter)


def test_a_character_that_the_typefaces_lack_is_reported_and_printed_as_its_code() -> None:
    letter = replace(samples.coaching(), summary="Well done 🏀 李")
    assert missing_characters(letter) == ("李", "🏀")
    assert "Well done [U+1F3C0] [U+674E]" in body(render(letter), letter)


def test_missing_characters_of_an_annex_are_reported_too() -> None:
    annex = Annex("Annex", (AnnexItem("Your answer", ("Thanks 🙏",)),))
    assert missing_characters(samples.coaching()) == ()
    assert missing_characters(samples.coaching(), annex) == ("🙏",)


def test_controls_and_invisible_marks_are_left_out() -> None:
    hidden = "one\x00\x07\x1b\N{ZERO WIDTH SPACE}\N{RIGHT-TO-LEFT OVERRIDE}\N{SOFT HYPHEN}two"
    letter = replace(samples.coaching(), summary=f"{hidden}\r\n\tthree")
    assert missing_characters(letter) == ()
    assert "onetwo three" in body(render(letter), letter)


@pytest.mark.parametrize("part", ["summary", "went_well", "next_steps", "evidence", "respond"])
def test_a_part_without_texts_leaves_no_heading(part: str) -> None:
    letter = samples.bare()
    assert letter.headings[part] not in body(render(letter), letter)


def test_words_stay_apart_at_the_end_of_a_line() -> None:
    letter = samples.full()
    first = reader(render(letter)).pages[0].extract_text()
    lines = [line for line in first.splitlines() if line]
    paragraph = [line for line in lines if letter.summary.startswith(line.strip())]
    assert all(line.endswith(" ") for line in paragraph)


def test_long_comments_stand_whole_in_the_annex() -> None:
    letter, annex = samples.typical("es"), samples.annex("es", items=12, length=4000)
    pdf = render(letter, annex)
    text = squeezed(" ".join(pages(pdf)[2:]))
    for number, label in enumerate(pages(pdf)[2:], 3):
        foot = squeezed(f"{letter.footer} Página {number} de {len(pages(pdf))}")
        assert squeezed(label).endswith(foot)
        text = text.replace(foot, "")
    wanted = [annex.heading]
    for item in annex.items:
        wanted += [item.heading, *item.paragraphs]
    assert text == squeezed("".join(wanted))
