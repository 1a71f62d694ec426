"""A floor sketch as a JSON document, version 1, read strictly."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from evaluations.core.documents import DocumentError, to_document
from evaluations.core.floor.frames import Frame
from evaluations.core.floor.measures import Measures
from evaluations.core.floor.sketch import (
    FIELD_OF_VIEW,
    PLAYERS_AT_MOST,
    ROUTE_POINTS_AT_MOST,
    Instant,
    OfficialAt,
    PlayerAt,
    Point,
    Sketch,
    SketchError,
    Team,
)
from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.facts import Source
from evaluations.core.strict_json import DecimalNumber, read_json


class Part(msgspec.Struct, forbid_unknown_fields=True):
    """Lengths in metres: x from the left end line as seen from the table, y from the table's side
    line."""


class OfficialPart(Part):
    """facing in degrees: 0 to the right end, 90 away from the table."""

    member: CrewPosition
    x: float
    y: float
    facing: float


class PlayerPart(Part):
    x: float
    y: float
    team: Team


class PointPart(Part):
    x: float
    y: float


class SketchPart(Part):
    """reporter is who reports at this moment, route the caller's way there."""

    schema: Literal[1]
    crew: Annotated[int, Meta(ge=2, le=3)]
    officials: Annotated[list[OfficialPart], Meta(max_length=3)]
    players: Annotated[list[PlayerPart], Meta(max_length=PLAYERS_AT_MOST)]
    frame: Frame = Frame.FIBA
    field_of_view: float = FIELD_OF_VIEW
    reporter: CrewPosition | None = None
    route: Annotated[list[PointPart], Meta(max_length=ROUTE_POINTS_AT_MOST)] = []
    instant: Instant = Instant.REPORT
    source: Source = Source.LIVE


ALLOWED: Mapping[str, Iterable[str]] = {
    "member": CrewPosition,
    "reporter": CrewPosition,
    "team": Team,
    "frame": Frame,
    "instant": Instant,
    "source": Source,
    "schema": ("1",),
}


def read_sketch(data: bytes) -> Sketch:
    """Read a sketch: JSON in UTF-8, at most a megabyte.

    Raises:
        DocumentError: with the path of the field, such as `$.players[3].x`, and what is allowed.
    """
    return sketch_of(_with_floats(read_json(data)))


def _with_floats(tree: object) -> object:
    """Lengths and angles are measured, not exact: the nearest binary number will do."""
    if isinstance(tree, DecimalNumber):
        return float(tree.text)
    if isinstance(tree, list):
        return [_with_floats(part) for part in tree]
    if isinstance(tree, dict):
        return {name: _with_floats(part) for name, part in tree.items()}
    return tree


def sketch_of(tree: object) -> Sketch:
    """A sketch from a document's tree; see `read_sketch`."""
    try:
        part = msgspec.convert(tree, SketchPart)
    except msgspec.ValidationError as error:
        raise DocumentError.of(error, ALLOWED) from None
    try:
        return Sketch(
            crew=part.crew,
            officials=tuple(
                OfficialAt(o.member, Point(o.x, o.y), o.facing) for o in part.officials
            ),
            players=tuple(PlayerAt(Point(p.x, p.y), p.team) for p in part.players),
            frame=part.frame,
            field_of_view=part.field_of_view,
            reporter=part.reporter,
            route=tuple(Point(p.x, p.y) for p in part.route),
            instant=part.instant,
            source=part.source,
        )
    except SketchError as error:
        raise DocumentError(f"$.{error.field}", error.message) from None


def sketch_document(sketch: Sketch) -> dict[str, Any]:
    """A sketch as a document that `read_sketch` reads."""
    return {
        "schema": 1,
        "crew": sketch.crew,
        "officials": [
            {"member": o.member.value, "x": o.at.x, "y": o.at.y, "facing": o.facing}
            for o in sketch.officials
        ],
        "players": [{"x": p.at.x, "y": p.at.y, "team": p.team.value} for p in sketch.players],
        "frame": sketch.frame.value,
        "field_of_view": sketch.field_of_view,
        "reporter": None if sketch.reporter is None else sketch.reporter.value,
        "route": [{"x": p.x, "y": p.y} for p in sketch.route],
        "instant": sketch.instant.value,
        "source": sketch.source.value,
    }


def sketch_schema() -> dict[str, Any]:
    """What a sketch looks like, as a JSON Schema (2020-12)."""
    schema = msgspec.json.schema(SketchPart)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}


def measures_document(found: Measures) -> dict[str, Any]:
    """Measures as a document; shares 0 to 1, angles in degrees, lengths in metres."""
    document: dict[str, Any] = to_document(found)
    if found.route is not None:
        document["route"]["around"] = found.route.around
    return document
