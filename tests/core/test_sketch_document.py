"""A floor sketch as a document: read strictly, written without loss."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given

from evaluations.core.documents import DocumentError
from evaluations.core.floor.measures import measure
from evaluations.core.floor.sketch import Sketch
from evaluations.core.sketch_document import (
    measures_document,
    read_sketch,
    sketch_document,
    sketch_schema,
)
from tests.core.floor.sketches import sketches

GIVEN: dict[str, Any] = {
    "schema": 1,
    "crew": 2,
    "officials": [
        {"member": "referee", "x": 5, "y": 7, "facing": 0},
        {"member": "umpire", "x": 15, "y": 7, "facing": 180},
    ],
    "players": [{"x": 8, "y": 7, "team": "dark"}, {"x": 11, "y": 9, "team": "light"}],
    "route": [{"x": 5, "y": 7}, {"x": 14, "y": -1}],
}


STRANGER = {"member": "umpire_1", "x": 1, "y": 1, "facing": 0}


def read(**changes: Any) -> Sketch:
    return read_sketch(json.dumps(GIVEN | changes).encode())


@given(sketches())
def test_what_is_written_reads_as_the_same_sketch(sketch: Sketch) -> None:
    assert read_sketch(json.dumps(sketch_document(sketch)).encode()) == sketch


def test_what_is_left_out_has_its_default() -> None:
    sketch = read()
    assert (sketch.frame, sketch.field_of_view, sketch.reporter) == ("fiba", 120, None)


def test_measures_are_plain_figures() -> None:
    document = measures_document(measure(read()))
    assert document["coverage"] == 1
    assert document["boxed"] == 1
    assert document["watchers"] == ["referee", "umpire"]
    assert set(document["route"]) == {"length", "inside", "around"}


@pytest.mark.parametrize(
    ("path", "changes"),
    [
        ("$.schema", {"schema": 2}),
        ("$.crew", {"crew": 4}),
        ("$.players[0].team", {"players": [{"x": 1, "y": 1, "team": "red"}]}),
        ("$.players[0].x", {"players": [{"x": 99, "y": 1, "team": "dark"}]}),
        ("$.players", {"players": [{"x": 1, "y": 1, "team": "dark"}] * 11}),
        (
            "$.officials[0].member",
            {"officials": [{"member": "umpire_1", "x": 1, "y": 1, "facing": 0}]},
        ),
        ("$.field_of_view", {"field_of_view": 200}),
        ("$.reporter", {"reporter": "umpire_2"}),
        ("$", {"names": []}),
    ],
)
def test_refused_with_its_path(path: str, changes: dict[str, Any]) -> None:
    with pytest.raises(DocumentError) as refusal:
        read(**changes)
    assert refusal.value.path == path


def test_a_member_placed_twice_is_refused() -> None:
    twice = [GIVEN["officials"][0], GIVEN["officials"][0]]
    with pytest.raises(DocumentError) as refusal:
        read(officials=twice)
    assert refusal.value.path == "$.officials[1].member"


@pytest.mark.parametrize("bad", ["NaN", "Infinity", "1e999"])
def test_a_place_that_is_no_number_is_refused(bad: str) -> None:
    text = json.dumps(GIVEN).replace('"facing": 180', f'"facing": {bad}')
    with pytest.raises(DocumentError):
        read_sketch(text.encode())


def test_the_schema_is_of_the_2020_draft() -> None:
    schema = sketch_schema()
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert all(
        not part["additionalProperties"]
        for part in schema["$defs"].values()
        if "properties" in part
    )
