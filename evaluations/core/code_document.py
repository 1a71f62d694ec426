"""A mechanics code as a TOML document, read strictly.

A field that is unknown, missing or beyond what is allowed is refused with its path. A place is
written "trail table"; "trail" alone leaves the side free.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from typing import Annotated, Any

import msgspec
from msgspec import Meta

from evaluations.core.documents import DocumentError, to_document
from evaluations.core.mechanics.code import (
    Administers,
    CodeError,
    MechanicsCode,
    Needs,
    NumberScheme,
    Option,
    Outcome,
    Row,
    require_complete,
)
from evaluations.core.mechanics.court import Court, Place, Position, Resumes, Side, Whistle

MAX_BYTES = 200_000
MAX_ROWS = 400

Key = Annotated[str, Meta(pattern=r"^[a-z0-9]+(_[a-z0-9]+)*$(?!\n)", max_length=60)]
PlaceText = Annotated[
    str, Meta(pattern=r"^(lead|trail|centre)( (table|opposite))?$(?!\n)", max_length=15)
]
Texts = dict[Annotated[str, Meta(pattern="^[a-z]{2}$(?!\n)")], Annotated[str, Meta(max_length=500)]]


class Part(msgspec.Struct, forbid_unknown_fields=True):
    """What a part leaves out of what a row matches on, matches all."""


class AfterPart(Part):
    """Where the official goes who was lead, trail or, in a crew of three, centre."""

    lead: PlaceText
    trail: PlaceText
    centre: PlaceText | None = None


class OptionPart(Part):
    """Allowed instead when all of needs hold; without needs, always."""

    key: Key
    after: AfterPart
    administers: Administers
    needs: list[Needs] = []


class RowPart(Part):
    crew: Annotated[int, Meta(ge=2, le=3)]
    after: AfterPart
    administers: Administers
    whistles: list[Whistle] = []
    resumes: list[Resumes] = []
    court: Court | None = None
    flip: bool | None = None
    caller: Position | None = None
    side: Side | None = None
    options: Annotated[list[OptionPart], Meta(max_length=10)] = []
    sure: bool = True
    note: Texts = {}


class CodePart(Part):
    """The first row that matches a situation decides."""

    key: Key
    edition: Annotated[str, Meta(min_length=1, max_length=40)]
    name: Texts
    source: Texts
    crews: Annotated[list[Annotated[int, Meta(ge=2, le=3)]], Meta(min_length=1, max_length=2)]
    number_scheme: NumberScheme
    rows: Annotated[list[RowPart], Meta(min_length=1, max_length=MAX_ROWS)]


PLACES = tuple(f"{p}{side}" for p in Position for side in ("", " table", " opposite"))
ALLOWED: Mapping[str, Iterable[str]] = {
    "administers": Administers,
    "needs": Needs,
    "whistles": Whistle,
    "resumes": Resumes,
    "court": Court,
    "caller": Position,
    "side": Side,
    "number_scheme": NumberScheme,
    **dict.fromkeys(Position, PLACES),
}


def read_code(data: bytes, *, complete: bool = True) -> MechanicsCode:
    """Read a code: TOML in UTF-8. With `complete`, one that leaves a situation open is refused.

    Raises:
        DocumentError: with the path of the field, such as `$.rows[2].administers`, and what is
            allowed there.
    """
    if len(data) > MAX_BYTES:
        raise DocumentError("$", f"is longer than {MAX_BYTES} bytes")
    try:
        tree = tomllib.loads(data.decode("utf-8-sig"))
        part = msgspec.convert(tree, CodePart)
    except UnicodeDecodeError:
        raise DocumentError("$", "is no text in UTF-8") from None
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise DocumentError("$", f"is no TOML: {error}") from None
    except msgspec.ValidationError as error:
        raise DocumentError.of(error, ALLOWED) from None
    try:
        code = _built(part)
        if complete:
            require_complete(code)
    except CodeError as error:
        raise DocumentError(f"$.{error.field}", error.message) from None
    return code


def code_content(code: MechanicsCode) -> dict[str, Any]:
    """A code as an object that `documents.from_document` reads, the same in every process."""
    return {**to_document(code), "rows": [row_content(row) for row in code.rows]}


def row_content(row: Row) -> dict[str, Any]:
    """A row as such an object. What has no order of its own is sorted, so that the same row is the
    same object in every process."""
    document: dict[str, Any] = to_document(row)
    document["whistles"].sort()
    document["resumes"].sort()
    for option in document["options"]:
        option["needs"].sort()
    return document


def _built(part: CodePart) -> MechanicsCode:
    return MechanicsCode(
        key=part.key,
        edition=part.edition,
        name=part.name,
        source=part.source,
        crews=tuple(part.crews),
        number_scheme=part.number_scheme,
        rows=tuple(_row(row) for row in part.rows),
    )


def _row(row: RowPart) -> Row:
    return Row(
        crew=row.crew,
        after=_outcome(row.after),
        administers=row.administers,
        whistles=frozenset(row.whistles),
        resumes=frozenset(row.resumes),
        court=row.court,
        flip=row.flip,
        caller=row.caller,
        side=row.side,
        options=tuple(
            Option(o.key, _outcome(o.after), o.administers, frozenset(o.needs)) for o in row.options
        ),
        sure=row.sure,
        note=row.note,
    )


def _outcome(after: AfterPart) -> Outcome:
    return {p: _place(t) for p in Position if (t := getattr(after, p)) is not None}


def _place(text: str) -> Place:
    position, _space, side = text.partition(" ")
    return Place(Position(position), Side(side) if side else None)
