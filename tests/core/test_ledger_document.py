"""An eyes ledger as CSV."""

from __future__ import annotations

import pytest

from evaluations.core.documents import DocumentError
from evaluations.core.floor.eyes import Facing, Mark, Sums, ledger
from evaluations.core.games import CrewPosition
from evaluations.core.ledger_document import ledger_document, read_ledger

GIVEN = """what,official,start,end
whistle,,2.5,
caller,referee,,
report_ended,,8.25,
live,,12.5,
facing,umpire,2.5,6
not_facing,umpire,6,
not_facing,referee,2.5,12.5
"""


def read(text: str = GIVEN, crew: int = 2) -> object:
    return read_ledger(text.encode(), crew)


def test_seconds_become_whole_milliseconds() -> None:
    time = read_ledger(GIVEN.encode(), 2)
    assert (time.whistle, time.report_ended, time.live) == (2_500, 8_250, 12_500)
    assert time.caller is CrewPosition.REFEREE
    assert time.marks[1] == Mark(CrewPosition.UMPIRE, Facing.NOT_FACING, 6_000, None)
    assert ledger(time).sums == Sums(3_500, 6_500, 0)


def test_a_ledger_is_a_document_in_milliseconds() -> None:
    document = ledger_document(ledger(read_ledger(GIVEN.encode(), 2)))
    assert document["sums"] == {"covered": 3500, "uncovered": 6500, "unknown": 0} or list(
        document["sums"]
    ) == [3500, 6500, 0]


def test_blank_lines_and_a_byte_order_mark_do_no_harm() -> None:
    assert read_ledger(b"\xef\xbb\xbf" + GIVEN.replace("live", "\nlive").encode(), 2).live == 12_500


@pytest.mark.parametrize(
    ("where", "old", "new"),
    [
        ("line 1", "what,official", "kind,official"),
        ("line 2, start", "2.5,\ncaller", "2.5555,\ncaller"),
        ("line 2, start", "whistle,,2.5", "whistle,,soon"),
        ("line 3, official", "caller,referee", "caller,somebody"),
        ("line 6, what", "facing,umpire,2.5,6\nnot", "watching,umpire,2.5,6\nnot"),
        ("line 6, end", "facing,umpire,2.5,6\n", "facing,umpire,2.5,1\n"),
        ("line 5", "live,,12.5,", "live,,12.5"),
        ("line 5, what", "live,,12.5,", "whistle,,12.5,"),
        ("live", "live,,12.5,", "live,,1,"),
        ("whistle", "whistle,,2.5,\n", ""),
        ("marks[0].member", "facing,umpire,2.5,6\n", "facing,umpire_1,2.5,6\n"),
    ],
)
def test_refused_with_line_and_column(where: str, old: str, new: str) -> None:
    assert old in GIVEN
    with pytest.raises(DocumentError) as refusal:
        read(GIVEN.replace(old, new, 1))
    assert refusal.value.path == where


def test_no_text_is_refused() -> None:
    with pytest.raises(DocumentError, match="UTF-8"):
        read_ledger(b"\xff\xfe", 2)
