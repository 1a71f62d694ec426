"""A rubric and ratings as a document to score, read strictly.

A field that is unknown, there twice, missing or beyond its bounds is refused with its path.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from typing import Annotated, Any, Literal, NamedTuple, TypeVar

import msgspec
from msgspec import UNSET, Meta, UnsetType

from evaluations.core.documents import DocumentError
from evaluations.core.ratings import Rating, by_area
from evaluations.core.rubric import (
    MAX_LEVELS,
    AreaSpec,
    Band,
    Ceiling,
    CriterionSpec,
    FloorRule,
    RubricError,
    RubricSpec,
    Threshold,
)
from evaluations.core.scoring import Withheld
from evaluations.core.strict_json import NUMBER, NUMBER_WORDS, exact_number, read_json

MAX_AREAS = 20
MAX_CRITERIA = 20
"""In one area."""
MAX_BANDS = 20
MAX_CEILINGS = 50

Value = TypeVar("Value")
LeftOut = UnsetType
Key = Annotated[str, Meta(pattern=r"^[A-Za-z0-9]+([_-][A-Za-z0-9]+)*$(?!\n)", max_length=40)]
RuleKey = Annotated[str, Meta(pattern=r"^[a-z0-9]+(_[a-z0-9]+)*$(?!\n)", max_length=40)]
Level = Annotated[int, Meta(ge=1, le=MAX_LEVELS)]


class Part(msgspec.Struct, forbid_unknown_fields=True):
    """What is left out of a part is as the rubric's own defaults have it."""


class ThresholdPart(Part):
    """From where on a sketch or a ledger from film meets a rule: shares (0 to 1), degrees apart, or
    at most these metres of the way through the players, these milliseconds not faced."""

    rule: FloorRule
    at: Fraction


class CriterionPart(Part):
    """weight (above 0; 1 when left out) counts within the area only. findings are the keys of the
    rules whose findings are counted for it, thresholds those that film is judged by; a score
    doesn't depend on either."""

    key: Key
    weight: Fraction | LeftOut = UNSET
    findings: Annotated[list[RuleKey], Meta(max_length=20)] | LeftOut = UNSET
    thresholds: Annotated[list[ThresholdPart], Meta(max_length=5)] | LeftOut = UNSET


class AreaPart(Part):
    """weight (above 0) counts against the other areas. The area counts when minimum_share (above
    0 to 1; 1/2) of its criteria's weight was seen; while a needed one (false) does not, there is
    no total."""

    key: Key
    weight: Fraction
    criteria: Annotated[list[CriterionPart], Meta(min_length=1, max_length=MAX_CRITERIA)]
    minimum_share: Fraction | LeftOut = UNSET
    needed: bool | LeftOut = UNSET


class BandPart(Part):
    """A stretch of the total from lower (0 to below 100) on. Bands rise; the first begins at 0."""

    key: Key
    lower: Fraction


class CeilingPart(Part):
    """With criterion at its lowest level, area (null: the total) is at most at_most (0 to 100)."""

    criterion: Key
    at_most: Fraction
    area: Key | None = None


class RubricPart(Part):
    """levels (5) is the length of the scale, target_level (4) the level below which a criterion
    may become a next step, minimum_seen (0 to 1; 7/10) the share of the form that a total needs.
    cut_points (0.3, 0.55, 0.8, 1) are the rising shares, one fewer than levels, from which a share
    met reaches the next level. minimum_count (5) is how many findings must be judged for a share;
    a score doesn't depend on it."""

    areas: Annotated[list[AreaPart], Meta(min_length=1, max_length=MAX_AREAS)]
    levels: Level | LeftOut = UNSET
    target_level: Level | LeftOut = UNSET
    minimum_seen: Fraction | LeftOut = UNSET
    bands: Annotated[list[BandPart], Meta(min_length=1, max_length=MAX_BANDS)] | LeftOut = UNSET
    ceilings: Annotated[list[CeilingPart], Meta(max_length=MAX_CEILINGS)] | LeftOut = UNSET
    cut_points: Annotated[list[Fraction], Meta(max_length=MAX_LEVELS - 1)] | LeftOut = UNSET
    minimum_count: Annotated[int, Meta(ge=1, le=50)] | LeftOut = UNSET


class RatingPart(Part):
    """level (from 1) or share (0 to 1, the part met); with neither, the criterion was not seen."""

    criterion: Key
    level: Level | None = None
    share: Fraction | None = None


class RequestPart(Part):
    """A rubric and one official's ratings. withhold says why there is no total in any case."""

    rubric: RubricPart
    ratings: Annotated[list[RatingPart], Meta(max_length=MAX_AREAS * MAX_CRITERIA)]
    withhold: Literal["coaching", "under_18"] | None = None


class ScoreRequest(NamedTuple):
    """What `scoring.score` takes."""

    rubric: RubricSpec
    ratings: tuple[Rating, ...]
    withhold: Withheld | None


def read_score_request(data: bytes) -> ScoreRequest:
    """Read a document to score: JSON in UTF-8, at most a megabyte.

    Raises:
        DocumentError: with the path of the field, such as `$.rubric.areas[0].weight`, and what
            is allowed there.
    """
    tree = read_json(data)
    try:
        request = msgspec.convert(tree, RequestPart, dec_hook=lambda _kind, v: exact_number(v))
    except msgspec.ValidationError as error:
        raise DocumentError.of(error, {"rule": FloorRule}) from None
    try:
        return _built(request)
    except RubricError as error:
        raise DocumentError(_path(request, error.field), error.message) from None


def score_request_schema() -> dict[str, Any]:
    """What a document to score looks like, as a JSON Schema (2020-12)."""
    number = {
        "description": NUMBER_WORDS,
        "anyOf": [{"type": "number"}, {"type": "string", "pattern": f"^({NUMBER})$"}],
    }
    schema = msgspec.json.schema(RequestPart, schema_hook=lambda _kind: number)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}


def _built(request: RequestPart) -> ScoreRequest:
    rubric = request.rubric
    spec = _given(
        RubricSpec,
        rubric,
        areas=tuple(_area(a) for a in rubric.areas),
        bands=_each(Band, rubric.bands),
        ceilings=_each(Ceiling, rubric.ceilings),
        cut_points=rubric.cut_points if rubric.cut_points is UNSET else tuple(rubric.cut_points),
    )
    ratings = tuple(_given(Rating, r) for r in request.ratings)
    by_area(spec, ratings)  # refuses ratings that don't fit the rubric
    return ScoreRequest(spec, ratings, Withheld(request.withhold) if request.withhold else None)


def _area(area: AreaPart) -> AreaSpec:
    return _given(AreaSpec, area, criteria=tuple(_criterion(c) for c in area.criteria))


def _criterion(criterion: CriterionPart) -> CriterionSpec:
    findings = criterion.findings
    found = findings if isinstance(findings, UnsetType) else tuple(findings)
    thresholds = _each(Threshold, criterion.thresholds)
    return _given(CriterionSpec, criterion, findings=found, thresholds=thresholds)


def _each(kind: Callable[..., Value], parts: list[Any] | LeftOut) -> tuple[Value, ...] | LeftOut:
    return parts if isinstance(parts, UnsetType) else tuple(_given(kind, p) for p in parts)


def _given(kind: Callable[..., Value], part: Part, **built: object) -> Value:
    """A core value of what the part gives, with some of its fields already built."""
    fields = {name: getattr(part, name) for name in part.__struct_fields__} | built
    return kind(**{name: value for name, value in fields.items() if value is not UNSET})


def _path(request: RequestPart, field: str) -> str:
    """Where the field of a RubricError stands in the document."""
    value, _dot, rest = field.partition(".")
    place = dict(_places(request)).get(value, f"$.rubric.{value}")
    return f"{place}.{rest}" if rest else place


def _places(request: RequestPart) -> Iterator[tuple[str, str]]:
    """A RubricError's name of each value, and its place; of two with one key the later wins."""
    for i, area in enumerate(request.rubric.areas):
        yield f"area[{area.key}]", f"$.rubric.areas[{i}]"
        for j, criterion in enumerate(area.criteria):
            yield f"criterion[{criterion.key}]", f"$.rubric.areas[{i}].criteria[{j}]"
    for i, band in enumerate(request.rubric.bands or ()):
        yield f"band[{band.key}]", f"$.rubric.bands[{i}]"
    for i, _ceiling in enumerate(request.rubric.ceilings or ()):
        yield f"ceiling[{i}]", f"$.rubric.ceilings[{i}]"
    for i, rating in enumerate(request.ratings):
        yield f"rating[{rating.criterion}]", f"$.ratings[{i}]"
