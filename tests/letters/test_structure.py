"""A letter can be heard as well as seen: tags, names, order, contrast."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable
from itertools import product
from pathlib import Path
from typing import Any

import pytest

from evaluations.core.letter import LetterContent, with_notice
from evaluations.letters import palette, render
from tests.letters import samples
from tests.letters.checker import failures
from tests.letters.reading import Node, reader, structure
from tests.needs import program

Make = Callable[[str, str], LetterContent]

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


@pytest.mark.parametrize("content", LETTERS)
def test_every_letter_passes_the_accessibility_checker(content: LetterContent) -> None:
    assert failures(render(content)) == []


def test_so_do_a_withdrawn_letter_and_one_with_an_annex() -> None:
    assert failures(render(with_notice(samples.typical(), "Withdrawn."))) == []
    assert failures(render(samples.typical(), samples.annex(items=12, length=4000))) == []


def test_the_checker_does_find_a_missing_title() -> None:
    pdf = render(samples.typical()).replace(b"<dc:title>", b"<dc:other>")
    assert failures(pdf.replace(b"</dc:title>", b"</dc:other>"))


def test_the_files_are_well_formed(tmp_path: Path) -> None:
    qpdf = program("qpdf", "install qpdf (Debian: apt-get install qpdf)")
    file = tmp_path / "letter.pdf"
    file.write_bytes(render(samples.full(), samples.annex()))
    run = subprocess.run([qpdf, "--check", file], capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stdout + run.stderr


def test_the_file_names_itself_and_its_language() -> None:
    file = reader(render(samples.typical("es", "a4")))
    assert file.metadata is not None
    assert file.metadata.title == "Carta de observación, 12 de noviembre de 2026: R. Castellano"
    assert file.metadata.author == "Asociación de Árbitros de Baloncesto de la Bahía"
    catalogue: Any = file.root_object
    assert catalogue["/Lang"] == "es"
    assert catalogue["/ViewerPreferences"]["/DisplayDocTitle"].value is True


def test_the_official_is_the_title_and_every_part_has_a_heading() -> None:
    letter = samples.typical()
    headings = [node.role for node in structure(render(letter)).named("H1", "H2", "H3")]
    assert headings == ["H1"] + ["H2"] * len(letter.headings)


def test_an_annex_has_a_heading_and_one_for_each_item() -> None:
    annex = samples.annex(items=3)
    headings = [n.role for n in structure(render(samples.bare(), annex)).named("H1", "H2", "H3")]
    assert headings == ["H1", "H2", "H2", *["H3"] * len(annex.items)]


def test_facts_strengths_steps_quotations_and_cautions_are_lists() -> None:
    letter = samples.full()
    lists = structure(render(letter)).named("L")
    sizes = [len(node.kids) for node in lists]
    items = (letter.facts, letter.went_well, letter.next_steps, letter.quotes, letter.cautions)
    assert sizes == [len(texts) for texts in items]
    assert all(item.role == "LI" and item.kids[0].role == "LBody" for n in lists for item in n.kids)


def _cells(row: Node) -> int:
    return sum(int(cell.attributes.get("/ColSpan", 1)) for cell in row.kids)


@pytest.mark.parametrize(
    ("letter", "columns"),
    [
        (samples.full(), 4),
        (samples.coaching(), 2),
        (samples.full_logged(), 5),
        (samples.coaching_logged(), 3),
    ],
)
def test_the_form_is_a_table_of_even_rows_with_headers(letter: LetterContent, columns: int) -> None:
    (table,) = structure(render(letter)).named("Table")
    criteria = sum(len(area.rows) for area in letter.form.areas)
    rows = 1 + len(letter.form.areas) + criteria + len(letter.form.closing)
    assert len(table.kids) == rows
    assert {_cells(row) for row in table.kids} == {columns}
    assert [cell.role for cell in table.kids[0].kids] == ["TH"] * columns
    assert all(row.kids[0].role == "TH" for row in table.kids)
    assert {str(cell.attributes["/Scope"]) for cell in table.named("TH")} == {"/Column", "/Row"}


def test_every_figure_says_in_a_sentence_what_it_shows() -> None:
    letter = samples.full("es")
    figures = structure(render(letter)).named("Figure")
    bars = [area.bar.alt for area in letter.form.areas]
    assert [figure.alt for figure in figures] == [*bars, letter.verification.alt]
    assert all("/BBox" in figure.attributes for figure in figures)


@pytest.mark.parametrize("make", [samples.crammed_logged, samples.typical_logged])
def test_a_drawn_movement_says_in_its_alternative_text_what_it_shows(make: Make) -> None:
    letter = make("es", "a4")
    assert letter.movement is not None
    document = structure(render(letter))
    court = document.named("Figure")[0]
    assert court.alt == letter.movement.alt
    left, bottom, right, top = map(float, court.attributes["/BBox"])
    assert (round(right - left), round(top - bottom)) == (213, 120)
    assert document.kids[document.kids.index(court) - 1].role == "P"


@pytest.mark.parametrize("make", [samples.crammed_sketched, samples.typical_sketched])
def test_a_sketch_and_a_band_say_in_their_alternative_texts_what_they_show(make: Make) -> None:
    letter = make("es", "a4")
    assert letter.sketch is not None
    assert letter.band is not None
    document = structure(render(letter))
    court, band = document.named("Figure")[:2]
    assert (court.alt, band.alt) == (letter.sketch.alt, letter.band.alt)
    for figure, size in ((court, (213, 120)), (band, (210, 20))):
        left, bottom, right, top = map(float, figure.attributes["/BBox"])
        assert (round(right - left), round(top - bottom)) == size
        assert document.kids[document.kids.index(figure) - 1].role == "P"


def test_a_letter_without_a_total_has_no_bars() -> None:
    figures = structure(render(samples.coaching())).named("Figure")
    assert [figure.alt for figure in figures] == [samples.coaching().verification.alt]


def test_the_foot_of_a_page_is_decoration() -> None:
    content = reader(render(samples.coaching())).pages[0].get_contents()
    assert content is not None
    marked = re.findall(rb"/(\w+) (?:<<[^>]*>> BDC|BMC)\n(.*?)\nEMC", content.get_data(), re.S)
    feet = [tag for tag, inside in marked if b"Page 1 of 2" in inside]
    assert feet == [b"Artifact"]


def _luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    linear = [
        value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4
        for value in map(float, colour.split())
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize(
    ("colour", "least"),
    [
        (palette.INK, 4.5),
        (palette.MUTED, 4.5),
        (palette.ACCENT, 4.5),
        (palette.SCALE, 3.0),
    ],
)
def test_colours_stand_out_from_white_paper(colour: str, least: float) -> None:
    assert 1.05 / (_luminance(colour) + 0.05) >= least
