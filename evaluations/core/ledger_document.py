"""An eyes ledger as a CSV document, read strictly."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator
from typing import Any

from evaluations.core.documents import DocumentError, to_document
from evaluations.core.floor.eyes import DeadTime, Facing, Ledger, LedgerError, Mark
from evaluations.core.games import CrewPosition

MAX_BYTES = 1_000_000
COLUMNS = ("what", "official", "start", "end")
MOMENTS = ("whistle", "report_ended", "live", "caller")

_SECONDS = re.compile(r"(\d{1,5})(?:\.(\d{1,3}))?")


def read_ledger(data: bytes, crew: int) -> DeadTime:
    """Read an eyes ledger: CSV in UTF-8 with the columns what, official, start, end.

    A row says whistle, report_ended or live (seconds in start), caller (in official), or facing,
    not_facing, cant_tell for an official from start to end; without an end it never ended.
    Seconds have at most three decimals.

    Raises:
        DocumentError: with the line and column, and what is allowed there.
    """
    rows = list(_rows(data))
    moments = _moments(rows)
    if "whistle" not in moments:
        raise DocumentError("whistle", "there must be a row that says when the whistle was")
    try:
        return DeadTime(
            crew=crew,
            whistle=moments["whistle"],
            live=moments.get("live"),
            report_ended=moments.get("report_ended"),
            caller=_caller(rows),
            marks=tuple(_mark(line, row) for line, row in rows if row["what"] in tuple(Facing)),
        )
    except LedgerError as error:
        raise DocumentError(error.field, error.message) from None


def ledger_document(found: Ledger) -> dict[str, Any]:
    """A ledger as a document; times in milliseconds."""
    document: dict[str, Any] = to_document(found)
    return document


def _rows(data: bytes) -> Iterator[tuple[int, dict[str, str]]]:
    if len(data) > MAX_BYTES:
        raise DocumentError("$", f"is longer than {MAX_BYTES} bytes")
    try:
        text = data.decode("utf-8-sig")
        lines = csv.reader(io.StringIO(text, newline=""), strict=True)
        cells = [(lines.line_num, [cell.strip() for cell in row]) for row in lines]
    except UnicodeDecodeError:
        raise DocumentError("$", "is no text in UTF-8") from None
    except csv.Error as error:
        raise DocumentError("$", f"is no CSV: {error}") from None
    if not cells or tuple(cells[0][1]) != COLUMNS:
        raise DocumentError("line 1", f"the columns must be {', '.join(COLUMNS)}")
    for line, row in cells[1:]:
        if any(row):
            yield line, _row(line, row)


def _row(line: int, cells: list[str]) -> dict[str, str]:
    if len(cells) != len(COLUMNS):
        raise DocumentError(f"line {line}", f"must have {len(COLUMNS)} cells")
    row = dict(zip(COLUMNS, cells, strict=True))
    allowed = (*MOMENTS, *Facing)
    if row["what"] not in allowed:
        raise DocumentError(f"line {line}, what", f"allowed: {', '.join(allowed)}")
    return row


def _moments(rows: Iterable[tuple[int, dict[str, str]]]) -> dict[str, int]:
    found: dict[str, int] = {}
    for line, row in rows:
        what = row["what"]
        if what not in MOMENTS or what == "caller":
            continue
        if what in found:
            raise DocumentError(f"line {line}, what", f"{what} is there twice")
        found[what] = _milliseconds(row["start"], f"line {line}, start")
    return found


def _caller(rows: Iterable[tuple[int, dict[str, str]]]) -> CrewPosition | None:
    named = [(line, row) for line, row in rows if row["what"] == "caller"]
    if len(named) > 1:
        raise DocumentError(f"line {named[1][0]}, what", "caller is there twice")
    return _official(*named[0]) if named else None


def _mark(line: int, row: dict[str, str]) -> Mark:
    start = _milliseconds(row["start"], f"line {line}, start")
    end = _milliseconds(row["end"], f"line {line}, end") if row["end"] else None
    if end is not None and end < start:
        raise DocumentError(f"line {line}, end", "can't be before start")
    return Mark(_official(line, row), Facing(row["what"]), start, end)


def _official(line: int, row: dict[str, str]) -> CrewPosition:
    if row["official"] not in tuple(CrewPosition):
        allowed = ", ".join(CrewPosition)
        raise DocumentError(f"line {line}, official", f"allowed: {allowed}")
    return CrewPosition(row["official"])


def _milliseconds(text: str, where: str) -> int:
    found = _SECONDS.fullmatch(text)
    if found is None:
        raise DocumentError(where, "must be seconds such as 12.480, with at most three decimals")
    return int(found[1]) * 1000 + int((found[2] or "").ljust(3, "0"))
