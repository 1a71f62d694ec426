"""T20: text is text. Markup in any field is printed as it was typed and does nothing."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from time import process_time
from typing import Any

import pytest

from evaluations.core.letter import Annex, AnnexItem, LetterContent, reading_order
from evaluations.letters import render
from evaluations.letters.characters import printable
from tests.letters import samples
from tests.letters.checker import failures
from tests.letters.reading import pages, reader, squeezed, structure

PAYLOADS = (
    '<img src="/etc/passwd"/>',
    '<img src="file:///etc/hostname" width="1" height="1"/>',
    "<img src='https://evil.example/x.png'>",
    '<a href="javascript:alert(1)">here</a>',
    '<a href="https://evil.example">here</a>',
    '<link destination="x">here</link>',
    '<font color="white" size="0.1">hidden</font>',
    '<font name="Nowhere">other</font>',
    "<b>never closed",
    "</para></b></i>",
    '<para leading="0">over</para>',
    "<br/><br/><br/>",
    '<onDraw name="x" label="y"/>',
    '<seq id="x"/><seqreset/>',
    "<bullet>x</bullet>",
    "<script>alert(1)</script>",
    "<svg onload=alert(1)>",
    "&lt;b&gt; &amp; &#60; &#x0; &nbsp;",
    "<![CDATA[x]]> <!-- y --> <?xml z?>",
    "<!DOCTYPE x [<!ENTITY e SYSTEM 'file:///etc/passwd'>]>&e;",
    ") Tj ET Q (",
    "\\) \\( \\\\ \\101 \\",
    "(((((((((( ))",
    "EMC /Artifact BMC",
    ">> BDC /MCID 0 EMC",
    "endstream endobj 1 0 obj << /S /URI >>",
    "<FEFF0041> <</JS (app.alert(1))>>",
    "%s %(page)s %(nothing)s %n {0} {x}",
    "{{ 7*7 }} {% include 'x' %} ${x} #{x}",
    "=HYPERLINK(1) @SUM(1) '; DROP TABLE x; --",
)

_FIXED = {"language", "paper", "issued", "page_label"}


def filled(thing: Any, text: str) -> Any:
    """The same with `text` in the place of every text that isn't empty."""
    if isinstance(thing, str):
        return text if thing else ""
    if isinstance(thing, tuple):
        return tuple(filled(item, text) for item in thing)
    if isinstance(thing, dict):
        return {key: filled(item, text) for key, item in thing.items()}
    if is_dataclass(thing) and not isinstance(thing, type):
        names = [field.name for field in fields(thing) if field.name not in _FIXED]
        return replace(thing, **{name: filled(getattr(thing, name), text) for name in names})
    return thing


def _short_form(letter: LetterContent) -> LetterContent:
    """The letter with two criteria: a payload in a column of figures takes many lines."""
    area = replace(letter.form.areas[0], rows=letter.form.areas[0].rows[:2])
    return replace(letter, form=replace(letter.form, areas=(area,)))


def test_there_are_thirty_payloads() -> None:
    assert len(set(PAYLOADS)) == 30


@pytest.mark.parametrize("payload", PAYLOADS)
def test_markup_in_every_field_is_printed_and_does_nothing(payload: str) -> None:
    letter: LetterContent = filled(_short_form(samples.typical()), payload)
    annex = Annex(payload, (AnnexItem(payload, (payload, payload)),))

    started = process_time()
    pdf = render(letter, annex)
    assert process_time() - started < 1.0

    expected = squeezed("".join(printable(text) for text in reading_order(letter)))
    texts = pages(pdf)
    read = squeezed("".join(texts))
    for number in range(1, len(texts) + 1):
        label = letter.page_label % {"page": number, "pages": len(texts)}
        read = read.replace(squeezed(payload + label), "", 1)
    assert read == expected + squeezed(payload) * 4

    assert failures(pdf) == []
    for sheet in reader(pdf).pages:
        assert "/Annots" not in sheet
        resources: Any = sheet["/Resources"]
        assert set(resources) == {"/Font"}
    assert {node.alt for node in structure(pdf).named("Figure")} == {payload}
    catalogue = reader(pdf).root_object
    assert not {"/OpenAction", "/AA", "/Names", "/AcroForm"} & set(catalogue)
