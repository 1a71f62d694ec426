"""A dead-ball log as a JSON document, version 1, read strictly.

What is left out or null was not seen. A field that is unknown, there twice, missing or beyond
what is allowed is refused with its path.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Annotated, Any, Literal, TypeVar

import msgspec
from msgspec import Meta

from evaluations.core.documents import DocumentError, to_document
from evaluations.core.floor.eyes import Facing
from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.court import Court, End, Position, Resumes, Side, Whistle
from evaluations.core.mechanics.facts import (
    DeadBall,
    Eyes,
    Kept,
    Log,
    LogError,
    Moment,
    NumberShown,
    Report,
    Route,
    Source,
    Stood,
    Watching,
)
from evaluations.core.strict_json import read_json

MAX_DEAD_BALLS = 500

Value = TypeVar("Value")
OptionKey = Annotated[str, Meta(pattern=r"^[a-z0-9]+(_[a-z0-9]+)*$(?!\n)", max_length=60)]
Clock = Annotated[str, Meta(pattern=r"^([0-9]{1,2}:[0-5][0-9](\.[0-9])?)?$(?!\n)")]
Jersey = Annotated[str, Meta(pattern=r"^(00|0|[1-9][0-9]?)$(?!\n)")]


class Part(msgspec.Struct, forbid_unknown_fields=True):
    """What is left out or null was not seen."""


class StoodPart(Part):
    """Where a member stood: position relative to the basket under attack at that moment."""

    position: Position | None = None
    side: Side | None = None


class ReportPart(Part):
    """The caller's report. player is the jersey number that was reported."""

    signal_at_spot: bool | None = None
    player_told: bool | None = None
    route: Route | None = None
    benches_watched: bool | None = None
    full_stop: bool | None = None
    spoken: bool | None = None
    player: Jersey | None = None
    number_shown: NumberShown | None = None
    type_shown: bool | None = None
    result_shown: bool | None = None
    ended_before_live: bool | None = None


class WatchingPart(Part):
    """A member on a partner's whistle."""

    wide: bool | None = None
    chased_ball: bool | None = None
    moved_opposite: bool | None = None


class EyesPart(Part):
    """kept: somebody faced the players all the time. lost: when nobody did. whose: the
    observer's word on whose duty it was then."""

    kept: bool | None = None
    lost: Moment | None = None
    whose: CrewPosition | None = None


class DeadBallPart(Part):
    """basket: the one under attack before the whistle. flip: the direction of play turns. court:
    the half of the whistle, as the team has it that attacked. switched (crews of two) can stand
    for the positions in after. switch_whose: the observer's word on whose a missed switch was."""

    number: Annotated[int, Meta(ge=1, le=9999)]
    period: Annotated[int, Meta(ge=1, le=20)] | None = None
    clock: Clock = ""
    basket: End | None = None
    whistle: Whistle | None = None
    caller: CrewPosition | None = None
    resumes: Resumes | None = None
    court: Court | None = None
    flip: bool | None = None
    before: dict[CrewPosition, StoodPart | None] | None = None
    after: dict[CrewPosition, StoodPart | None] | None = None
    switched: bool | None = None
    switch_whose: CrewPosition | None = None
    heated_bench: bool | None = None
    report: ReportPart | None = None
    watching: dict[CrewPosition, WatchingPart | None] | None = None
    eyes: EyesPart | None = None
    note: Annotated[str, Meta(max_length=500)] = ""


class FilmMarkPart(Part):
    """facing is of the member, from start up to but without end; without an end it never ended."""

    member: CrewPosition
    facing: Facing
    start: Annotated[int, Meta(ge=0)]
    end: Annotated[int, Meta(ge=0)] | None = None


class FilmPart(Part):
    """Whole milliseconds of the film. live null: the ball never became live on it."""

    whistle: Annotated[int, Meta(ge=0)]
    marks: list[FilmMarkPart]
    report_ended: Annotated[int, Meta(ge=0)] | None = None
    live: Annotated[int, Meta(ge=0)] | None = None


class FloorPart(Part):
    """What was drawn and marked of the dead ball of this number. sketches: each a document that
    `manage.py sketch` reads."""

    number: Annotated[int, Meta(ge=1, le=9999)]
    sketches: list[dict[str, Any]] = []
    film: FilmPart | None = None


class LogPart(Part):
    """A log of one observation. agreed: the code's options that the crew agreed on before the
    game; null when nobody asked. floor goes along for whoever reads the file: no finding comes
    from it, so that it is no part of the log that is replayed."""

    schema: Literal[1]
    crew: Annotated[int, Meta(ge=2, le=3)]
    dead_balls: Annotated[list[DeadBallPart], Meta(max_length=MAX_DEAD_BALLS)]
    kept: Kept = Kept.EVERY_FOUL
    source: Source = Source.LIVE
    agreed: Annotated[list[OptionKey], Meta(max_length=20)] | None = []
    floor: Annotated[list[FloorPart], Meta(max_length=MAX_DEAD_BALLS)] = []


ALLOWED: Mapping[str, Iterable[str]] = {
    "position": Position,
    "side": Side,
    "route": Route,
    "number_shown": NumberShown,
    "lost": Moment,
    "basket": End,
    "whistle": Whistle,
    "resumes": Resumes,
    "court": Court,
    "kept": Kept,
    "source": Source,
    "schema": ("1",),
    "facing": Facing,
    "member": CrewPosition,
    "clock": ("minutes and seconds left, such as 6:41 or 0:07.3",),
    "player": ("00", "0 to 99"),
    **dict.fromkeys(
        ("caller", "whose", "switch_whose", "before", "after", "watching"), CrewPosition
    ),
}


def read_log(data: bytes) -> Log:
    """Read a log: JSON in UTF-8, at most a megabyte.

    Raises:
        DocumentError: with the path of the field, such as `$.dead_balls[0].caller`, and what is
            allowed there.
    """
    tree = read_json(data)
    try:
        part = msgspec.convert(tree, LogPart)
    except msgspec.ValidationError as error:
        raise DocumentError.of(error, ALLOWED) from None
    balls = tuple(
        _dead_ball(ball, f"$.dead_balls[{place}]") for place, ball in enumerate(part.dead_balls)
    )
    agreed = None if part.agreed is None else frozenset(part.agreed)
    try:
        return Log(part.crew, balls, part.kept, part.source, agreed)
    except LogError as error:
        raise DocumentError(f"$.{error.field}", error.message) from None


def read_dead_ball(document: Mapping[str, Any], number: int) -> DeadBall:
    """A dead ball from its part of a log document, which may leave its number out.

    Raises:
        DocumentError: with the path of the field, such as `$.caller`, and what is allowed there.
    """
    try:
        part = msgspec.convert({**document, "number": number}, DeadBallPart)
    except msgspec.ValidationError as error:
        raise DocumentError.of(error, ALLOWED) from None
    return _dead_ball(part, "$")


def dead_ball_document(ball: DeadBall) -> dict[str, Any]:
    """A dead ball as its part of a log document; what was not seen is left out.

    >>> from evaluations.core.mechanics.court import Position
    >>> from evaluations.core.mechanics.facts import Stood
    >>> ball = DeadBall(4, Whistle.COMMON, before={CrewPosition.UMPIRE: Stood(Position.LEAD)})
    >>> dead_ball_document(ball)
    {'number': 4, 'whistle': 'common', 'before': {'umpire': {'position': 'lead'}}}
    >>> read_dead_ball(dead_ball_document(ball), 4) == ball
    True
    """
    written: dict[str, Any] = _said(to_document(ball))
    return written


def log_document(log: Log) -> dict[str, Any]:
    """A log as a document that `read_log` reads."""
    return {
        "schema": 1,
        "crew": log.crew,
        "kept": log.kept.value,
        "source": log.source.value,
        "agreed": None if log.agreed is None else sorted(log.agreed),
        "dead_balls": [dead_ball_document(ball) for ball in log.dead_balls],
    }


def _said(tree: Any) -> Any:
    """What is left of a tree without the places where nothing was seen."""
    if not isinstance(tree, dict):
        return tree
    kept = {name: _said(value) for name, value in tree.items()}
    return {name: value for name, value in kept.items() if value not in (None, "", {})}


def log_schema() -> dict[str, Any]:
    """What a log looks like, as a JSON Schema (2020-12)."""
    schema = msgspec.json.schema(LogPart)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}


def _dead_ball(part: DeadBallPart, path: str) -> DeadBall:
    fields = {name: getattr(part, name) for name in part.__struct_fields__}
    fields |= {
        "before": _each(Stood, part.before),
        "after": _each(Stood, part.after),
        "report": _value(Report, part.report),
        "watching": _each(Watching, part.watching),
        "eyes": _value(Eyes, part.eyes),
    }
    try:
        return DeadBall(**fields)
    except LogError as error:
        raise DocumentError(f"{path}.{error.field}", error.message) from None


def _each(
    kind: Callable[..., Value], parts: Mapping[CrewPosition, Any] | None
) -> dict[CrewPosition, Value]:
    return {member: _value(kind, part) for member, part in (parts or {}).items()}


def _value(kind: Callable[..., Value], part: Part | None) -> Value:
    return kind(**({} if part is None else msgspec.structs.asdict(part)))
