"""A letter has two pages at most, and says so when it can't."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import product
from time import process_time

import pytest

from evaluations.core.letter import Annex, AnnexItem, LetterContent, StepPart
from evaluations.core.next_steps import QUOTES_BESIDE_BAND, QUOTES_BESIDE_COURT
from evaluations.letters import LetterTooLong, render
from tests.letters import samples
from tests.letters.reading import pages, reader, squeezed

Make = Callable[[str, str], LetterContent]

FULL = (
    samples.full,
    samples.crammed,
    samples.full_logged,
    samples.crammed_logged,
    samples.full_sketched,
    samples.crammed_sketched,
    samples.crammed_banded,
)
PAPERS = [("letter", 612.0, 792.0), ("a4", 595.28, 841.89)]


@pytest.mark.parametrize(
    ("make", "language", "paper"),
    list(product(FULL, ("en", "es"), PAPERS)),
)
def test_twenty_criteria_with_every_text_at_its_budget_fit_two_pages(
    make: Make, language: str, paper: tuple[str, float, float]
) -> None:
    name, width, height = paper
    file = reader(render(make(language, name)))
    assert len(file.pages) == 2
    assert {tuple(map(float, p.mediabox[2:])) for p in file.pages} == {(width, height)}


def test_the_samples_are_at_their_budgets() -> None:
    for language in ("en", "es"):
        letter = samples.full(language)
        assert sum(len(area.rows) for area in letter.form.areas) == 20
        assert len(letter.summary) == samples.SUMMARY
        assert [len(item.text) for item in letter.went_well] == [samples.STRENGTH] * 3
        steps = [sum(len(part.text) for part in step.parts) for step in letter.next_steps]
        assert steps == [samples.STEP] * 3
        assert sum(len(quote.text) for quote in letter.quotes) == samples.QUOTES
        assert len(letter.paragraph) == samples.PARAGRAPH
        assert sum(map(len, letter.cautions)) == samples.CAUTIONS


def test_beside_a_court_quotations_and_their_labels_have_a_budget_of_their_own() -> None:
    assert samples.BESIDE_COURT == QUOTES_BESIDE_COURT
    for language in ("en", "es"):
        many = samples.crammed_logged(language)
        assert many.movement is not None
        in_all = sum(len(quote.label) + len(quote.text) + len(quote.where) for quote in many.quotes)
        assert QUOTES_BESIDE_COURT - len(many.quotes) < in_all <= QUOTES_BESIDE_COURT
        few = samples.full_logged(language)
        assert sum(len(quote.text) for quote in few.quotes) == samples.QUOTES


def test_the_sample_sketch_shows_what_its_caption_says() -> None:
    assert len(samples.AMONG_PLAYERS.measures.unseen) == 3


def test_with_a_band_quotations_and_their_labels_have_less() -> None:
    assert samples.BESIDE_BAND == QUOTES_BESIDE_BAND
    for language in ("en", "es"):
        many = samples.crammed_banded(language)
        in_all = sum(len(quote.label) + len(quote.text) + len(quote.where) for quote in many.quotes)
        assert QUOTES_BESIDE_BAND - len(many.quotes) < in_all <= QUOTES_BESIDE_BAND


@pytest.mark.parametrize(
    "make",
    [
        samples.full,
        samples.typical,
        samples.coaching,
        samples.full_logged,
        samples.crammed_logged,
        samples.typical_logged,
    ],
)
def test_the_form_opens_the_second_page(make: Make) -> None:
    letter = make("en", "letter")
    first, second = pages(render(letter))
    assert second.startswith(letter.headings["form"])
    assert letter.headings["form"] not in first


def test_a_letter_that_fits_on_one_page_stays_on_it() -> None:
    short = replace(samples.bare(), summary="Nothing but this.")
    assert len(pages(render(short))) == 1


def test_a_form_that_would_go_over_the_second_page_begins_on_the_first() -> None:
    letter = samples.coaching()
    area = letter.form.areas[0]
    many = replace(area, rows=area.rows * 15)
    first, _second = pages(render(replace(letter, form=replace(letter.form, areas=(many,)))))
    assert letter.headings["form"] in first


def test_every_page_is_numbered() -> None:
    texts = pages(render(samples.typical(), samples.annex(items=10, length=2000)))
    assert len(texts) > 3
    for number, text in enumerate(texts, 1):
        assert text.endswith(f"Page {number} of {len(texts)}")


def _with_long_step(length: int) -> LetterContent:
    letter = samples.full()
    step = letter.next_steps[0]
    parts = (StepPart("Seen", samples.to_length("too much to say", length)), *step.parts[1:])
    return replace(letter, next_steps=(replace(step, parts=parts), *letter.next_steps[1:]))


def test_too_long_a_letter_is_refused_and_the_part_is_named() -> None:
    with pytest.raises(LetterTooLong) as refusal:
        render(_with_long_step(6000))
    assert refusal.value.part == "next_steps"

    letter = samples.full()
    with pytest.raises(LetterTooLong) as refusal:
        render(replace(letter, quotes=letter.quotes * 8))
    assert refusal.value.part == "evidence"


@pytest.mark.parametrize("length", range(450, 6000, 370))
def test_nothing_runs_over_the_edge_of_a_page_unnoticed(length: int) -> None:
    """Either all of a letter is there to be read, on two pages, or it is refused."""
    letter = _with_long_step(length)
    try:
        texts = pages(render(letter))
    except LetterTooLong:
        assert length > 1000
    else:
        assert len(texts) == 2
        assert squeezed(letter.next_steps[0].parts[0].text) in squeezed("".join(texts))


@pytest.mark.parametrize("length", [4_000, 200_000])
def test_a_word_without_end_is_broken_and_quick(length: int) -> None:
    annex = Annex("Annex", (AnnexItem("Comment", ("x" * length,)),))
    started = process_time()
    pdf = render(samples.coaching(), annex)
    assert process_time() - started < 1.0
    assert squeezed("".join(pages(pdf)[2:])).count("x") == length + 1  # and the one in Annex


def test_a_long_comment_goes_on_at_the_foot_of_the_page_before() -> None:
    short, long = samples.annex(items=1, length=1500), samples.annex(items=2, length=4000)
    annex = Annex("Annex", (*short.items, *long.items))
    lengths = [len(text) for text in pages(render(samples.coaching(), annex))[2:]]
    assert min(lengths[:-1]) > 3000
