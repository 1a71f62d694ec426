"""A mechanics code as a document: strict, with the place of what is wrong."""

from __future__ import annotations

import pytest

from evaluations.core.code_document import code_content, read_code
from evaluations.core.documents import DocumentError, from_document
from evaluations.core.mechanics.code import (
    Administers,
    MechanicsCode,
    Needs,
    NumberScheme,
    Option,
    gaps,
    situations,
)
from evaluations.core.mechanics.court import Court, Position, Resumes, Side, Whistle
from evaluations.services.shipped_codes import SHIPPED_CODES, shipped_code
from tests.core.mechanics.crews import place

OWN = """
key = "own"
edition = "2026"
crews = [2]
number_scheme = "tens_then_units"
name = {en = "Own"}
source = {en = "Our manual, page 12."}

[[rows]]
crew = 2
whistles = ["shooting"]
resumes = ["free_throws"]
court = "front"
flip = false
caller = "lead"
side = "table"
after = {lead = "trail opposite", trail = "lead"}
administers = "lead"
sure = false
note = {en = "Rare."}

[[rows.options]]
key = "stay"
needs = ["agreed"]
after = {lead = "lead", trail = "trail"}
administers = "trail"

[[rows]]
crew = 2
after = {lead = "lead", trail = "trail"}
administers = "line_owner"
"""


def refused(text: str) -> DocumentError:
    with pytest.raises(DocumentError) as refusal:
        read_code(text.encode())
    return refusal.value


def test_every_field_is_read() -> None:
    code = read_code(OWN.encode())
    assert (code.key, code.edition, code.crews) == ("own", "2026", (2,))
    assert code.number_scheme is NumberScheme.TENS_THEN_UNITS
    assert code.source == {"en": "Our manual, page 12."}
    first, last = code.rows
    assert first.whistles == {Whistle.SHOOTING}
    assert first.resumes == {Resumes.FREE_THROWS}
    assert (first.court, first.flip) == (Court.FRONT, False)
    assert (first.caller, first.side) == (Position.LEAD, Side.TABLE)
    swapped = {Position.LEAD: place("trail opposite"), Position.TRAIL: place("lead")}
    assert first.after == swapped
    kept = {Position.LEAD: place("lead"), Position.TRAIL: place("trail")}
    assert first.options == (Option("stay", kept, Administers.TRAIL, frozenset({Needs.AGREED})),)
    assert (first.sure, dict(first.note)) == (False, {"en": "Rare."})
    assert (last.sure, last.flip, last.whistles) == (True, None, frozenset())
    assert code.option_keys == {"stay"}


@pytest.mark.parametrize(
    ("old", "new", "path", "says"),
    [
        ('"own"', '"Own Code"', "$.key", "matching regex"),
        ("crews = [2]", "crews = [4]", "$.crews[0]", "Expected int <= 3"),
        ("crews = [2]", "crews = [3]", "$.rows[0].crew", "none of the code's crew sizes"),
        ('"tens_then_units"', '"fingers"', "$.number_scheme", "allowed: together, tens_then_units"),
        ('["shooting"]', '["shot"]', "$.rows[0].whistles[0]", "allowed: common, shooting, "),
        ('["free_throws"]', '["throw"]', "$.rows[0].resumes[0]", "allowed: free_throws, "),
        ('"front"', '"near"', "$.rows[0].court", "allowed: front, back"),
        ("flip = false", "flip = 0", "$.rows[0].flip", "Expected bool | null"),
        ('caller = "lead"', 'caller = "centre"', "$.rows[0].caller", "no position of this crew"),
        ('side = "table"', 'side = "left"', "$.rows[0].side", "allowed: table, opposite"),
        (
            '"trail opposite"',
            '"trail left"',
            "$.rows[0].after.lead",
            "allowed: lead, lead table, lead opposite, trail",
        ),
        ('"trail opposite"', '"lead"', "$.rows[0].after", "lead, trail to lead, trail, one each"),
        ('"line_owner"', '"referee"', "$.rows[1].administers", "allowed: lead, trail, centre, "),
        ('["agreed"]', '["mood"]', "$.rows[0].options[0].needs[0]", "allowed: agreed, "),
        ('"lead", trail = "trail"}', '"lead"}', "$.rows[0].options[0].after", "trail"),
        ("sure = false", "certain = false", "$.rows[0]", "unknown field certain"),
        ("edition", "version", "$", "unknown field version"),
        ('name = {en = "Own"}', 'name = {english = "Own"}', "$.name", "matching regex"),
        ("key =", "key", "$", "is no TOML"),
    ],
)
def test_what_is_not_allowed_is_refused_with_its_place(
    old: str, new: str, path: str, says: str
) -> None:
    refusal = refused(OWN.replace(old, new, 1))
    assert says in refusal.message
    assert path in refusal.path


def test_a_code_with_a_gap_is_refused_with_the_situation_that_no_row_covers() -> None:
    open_code = OWN[: OWN.rindex("[[rows]]")]
    refusal = refused(open_code)
    assert refusal.path == "$.rows"
    assert refusal.message.startswith("no row covers crew 2, common, end_line, front court")


def test_a_code_in_work_may_have_gaps() -> None:
    open_code = read_code(OWN[: OWN.rindex("[[rows]]")].encode(), complete=False)
    (row,) = open_code.rows
    assert gaps(open_code) == tuple(s for s in situations(2) if not row.matches(s))


@pytest.mark.parametrize(
    ("data", "says"),
    [(b"\xff", "no text in UTF-8"), (b"#" * 200_001, "longer than 200000 bytes")],
)
def test_what_is_no_document_is_refused(data: bytes, says: str) -> None:
    with pytest.raises(DocumentError, match=says):
        read_code(data)


@pytest.mark.parametrize("key", SHIPPED_CODES)
def test_a_stored_code_reads_as_itself_and_is_sorted(key: str) -> None:
    code = shipped_code(key)
    content = code_content(code)
    assert from_document(MechanicsCode, content) == code
    for row in content["rows"]:
        assert row["whistles"] == sorted(row["whistles"])
        assert row["resumes"] == sorted(row["resumes"])
