"""A document to score is read exactly, and what is wrong with it is named with its place."""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from copy import deepcopy
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluations.core.documents import DocumentError, card_document, to_document
from evaluations.core.ratings import Rating
from evaluations.core.rubric import (
    AreaSpec,
    Band,
    Ceiling,
    CriterionSpec,
    FloorRule,
    RubricSpec,
    Threshold,
)
from evaluations.core.score_request import read_score_request, score_request_schema
from evaluations.core.scoring import Withheld, score
from tests.core.examples import form, rate
from tests.core.strategies import forms

REQUEST: dict[str, Any] = {
    "rubric": {
        "areas": [
            {"key": "signals", "weight": 40, "criteria": [{"key": "clock"}, {"key": "type"}]},
            {"key": "routes", "weight": 60, "criteria": [{"key": "table", "weight": "1/3"}]},
        ]
    },
    "ratings": [
        {"criterion": "clock", "level": 4},
        {"criterion": "type"},
        {"criterion": "table", "share": "0.9"},
    ],
}


def changed(change: Callable[[dict[str, Any]], object]) -> bytes:
    request = deepcopy(REQUEST)
    change(request)
    return json.dumps(request).encode()


def refusal(data: bytes) -> DocumentError:
    with pytest.raises(DocumentError) as found:
        read_score_request(data)
    return found.value


def test_what_is_left_out_is_as_the_rubrics_own_defaults_have_it() -> None:
    request = read_score_request(json.dumps(REQUEST).encode())
    assert request.rubric == RubricSpec(
        (
            AreaSpec("signals", Fraction(40), (CriterionSpec("clock"), CriterionSpec("type"))),
            AreaSpec("routes", Fraction(60), (CriterionSpec("table", Fraction(1, 3)),)),
        )
    )
    assert request.ratings == (
        Rating("clock", level=4),
        Rating("type"),
        Rating("table", share=Fraction(9, 10)),
    )
    assert request.withhold is None


def test_every_field_of_a_rubric_can_be_given() -> None:
    rubric = {
        "areas": [
            {
                "key": "signals",
                "weight": 1,
                "criteria": [
                    {
                        "key": "clock",
                        "weight": 2,
                        "findings": ["full_stop"],
                        "thresholds": [{"rule": "apart", "at": 120}, {"rule": "faced", "at": 1500}],
                    }
                ],
                "minimum_share": 0.75,
                "needed": True,
            }
        ],
        "levels": 3,
        "target_level": 2,
        "minimum_seen": 0.5,
        "bands": [{"key": "low", "lower": 0}, {"key": "high", "lower": "62.5"}],
        "ceilings": [
            {"criterion": "clock", "at_most": 40},
            {"criterion": "clock", "at_most": 20, "area": "signals"},
        ],
        "cut_points": ["1/3", 1],
    }
    data = json.dumps({"rubric": rubric, "ratings": [], "withhold": "coaching"}).encode()
    assert read_score_request(data) == (
        RubricSpec(
            (
                AreaSpec(
                    "signals",
                    Fraction(1),
                    (
                        CriterionSpec(
                            "clock",
                            Fraction(2),
                            ("full_stop",),
                            (
                                Threshold(FloorRule.APART, Fraction(120)),
                                Threshold(FloorRule.FACED, Fraction(1500)),
                            ),
                        ),
                    ),
                    Fraction(3, 4),
                    True,
                ),
            ),
            levels=3,
            target_level=2,
            minimum_seen=Fraction(1, 2),
            bands=(Band("low", Fraction(0)), Band("high", Fraction("62.5"))),
            ceilings=(Ceiling("clock", Fraction(40)), Ceiling("clock", Fraction(20), "signals")),
            cut_points=(Fraction(1, 3), Fraction(1)),
        ),
        (),
        Withheld.COACHING,
    )


@pytest.mark.parametrize(
    ("written", "weight"),
    [
        ("0.1", Fraction(1, 10)),
        ("33", Fraction(33)),
        ("1e-07", Fraction(1, 10**7)),
        ("2.5E2", Fraction(250)),
        ('"0.1"', Fraction(1, 10)),
        ('"1/3"', Fraction(1, 3)),
        ('"7"', Fraction(7)),
        ("0.123456789012345", Fraction(123456789012345, 10**15)),
    ],
)
def test_a_number_is_what_it_is_written_as(written: str, weight: Fraction) -> None:
    data = json.dumps(REQUEST).replace('"weight": 40', f'"weight": {written}').encode()
    assert read_score_request(data).rubric.areas[0].weight == weight


@pytest.mark.parametrize(
    "written",
    [
        "true",
        "null",
        "[]",
        "{}",
        '""',
        '"one"',
        '"1/0"',
        '"1e400"',
        '" 1"',
        '"1_000"',
        '"\u0661"',  # a digit, but not one of ours
        '"0x10"',
        '"NaN"',
        "1e16",
        "1e999999999",
        "1234567890123456",
        "0.1234567890123456",
        "9" * 5000,
        '"1/' + "9" * 16 + '"',
    ],
)
def test_what_is_no_number_of_a_reasonable_length_is_refused(written: str) -> None:
    data = json.dumps(REQUEST).replace('"weight": 40', f'"weight": {written}').encode()
    error = refusal(data)
    assert error.path == "$.rubric.areas[0].weight"
    assert error.message.startswith('must be a number such as 25, 0.1, "0.1" or "2/3"')


@pytest.mark.parametrize("written", ["NaN", "Infinity", "-Infinity"])
def test_a_number_that_is_not_finite_is_refused_wherever_it_stands(written: str) -> None:
    data = json.dumps(REQUEST).replace('"level": 4', f'"level": {written}').encode()
    assert str(refusal(data)) == f"$.ratings[0].level: must be finite, not {written}"


def test_a_field_that_is_there_twice_is_refused() -> None:
    data = json.dumps(REQUEST).replace('"level": 4', '"level": 4, "level": 5').encode()
    assert str(refusal(data)) == "$.ratings[0]: has 'level' twice"


Change = Callable[[dict[str, Any]], object]


@pytest.mark.parametrize(
    ("change", "path", "words"),
    [
        (lambda r: r.pop("rubric"), "$", "missing required field rubric"),
        (lambda r: r.update(rating=[]), "$", "unknown field rating"),
        (lambda r: r.update(withhold="pride"), "$.withhold", "'pride'"),
        (lambda r: r["rubric"].update(areas=[]), "$.rubric.areas", "length >= 1"),
        (lambda r: r["rubric"].update(levels=8), "$.rubric.levels", "<= 7"),
        (lambda r: r["rubric"].update(levels=1), "$.rubric.levels", "2 to 7"),
        (lambda r: r["rubric"].update(levels=True), "$.rubric.levels", "got bool"),
        (lambda r: r["rubric"].update(levels=5.0), "$.rubric.levels", "Expected int"),
        (lambda r: r["rubric"].update(levels=4), "$.rubric.cut_points", "3 rising shares"),
        (lambda r: r["rubric"].update(target_level=6), "$.rubric.target_level", "2 to 5"),
        (lambda r: r["rubric"].update(minimum_seen=2), "$.rubric.minimum_seen", "0 to 1"),
        (lambda r: r["rubric"]["areas"][0].update(weight=0), "$.rubric.areas[0].weight", "above 0"),
        (
            lambda r: r["rubric"]["areas"][1].update(minimum_share="3/2"),
            "$.rubric.areas[1].minimum_share",
            "at most 1",
        ),
        (lambda r: r["rubric"]["areas"][0].update(needed=1), "$.rubric.areas[0].needed", "bool"),
        (lambda r: r["rubric"]["areas"][0].update(key="a b"), "$.rubric.areas[0].key", "regex"),
        (lambda r: r["rubric"]["areas"][0].update(key="a\n"), "$.rubric.areas[0].key", "regex"),
        (lambda r: r["rubric"]["areas"][1].update(key="signals"), "$.rubric.areas[1]", "twice"),
        (
            lambda r: r["rubric"]["areas"][1]["criteria"][0].update(weight=-1),
            "$.rubric.areas[1].criteria[0].weight",
            "above 0",
        ),
        (
            lambda r: r["rubric"]["areas"][1]["criteria"].append({"key": "clock"}),
            "$.rubric.areas[1].criteria[1]",
            "twice",
        ),
        (
            lambda r: r["rubric"].update(bands=[{"key": "a", "lower": 1}]),
            "$.rubric.bands",
            "begin at 0",
        ),
        (
            lambda r: r["rubric"].update(
                bands=[{"key": "a", "lower": 0}, {"key": "a", "lower": 50}]
            ),
            "$.rubric.bands[1]",
            "twice",
        ),
        (
            lambda r: r["rubric"].update(
                ceilings=[
                    {"criterion": "clock", "at_most": 200},
                    {"criterion": "clock", "at_most": 50},
                ]
            ),
            "$.rubric.ceilings[0].at_most",
            "0 to 100",
        ),
        (
            lambda r: r["rubric"].update(ceilings=[{"criterion": "whistle", "at_most": 50}]),
            "$.rubric.ceilings[0]",
            "no criterion",
        ),
        (lambda r: r["ratings"][0].update(level=6), "$.ratings[0].level", "1 to 5"),
        (lambda r: r["ratings"][0].update(level=0), "$.ratings[0].level", ">= 1"),
        (lambda r: r["ratings"][0].update(level="4"), "$.ratings[0].level", "got str"),
        (lambda r: r["ratings"][0].update(share=1), "$.ratings[0]", "not both"),
        (lambda r: r["ratings"][2].update(share="1.01"), "$.ratings[2].share", "0 to 1"),
        (lambda r: r["ratings"][1].update(criterion="whistle"), "$.ratings[1]", "no criterion"),
        (lambda r: r["ratings"].append({"criterion": "clock"}), "$.ratings[3]", "twice"),
        (lambda r: r["ratings"].append(3), "$.ratings[3]", "Expected object"),
        (lambda r: r["ratings"][0].update(lvl=4), "$.ratings[0]", "unknown field lvl"),
    ],
)
def test_what_is_wrong_is_named_with_its_place(change: Change, path: str, words: str) -> None:
    error = refusal(changed(change))
    assert error.path == path
    assert words in error.message


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "is no JSON"),
        (b'{"rubric": }', "is no JSON: Expecting value, line 1, column 12"),
        (b"[]", "Expected object, got array"),
        (b"3", "Expected object, got int"),
        (b"NaN", "must be finite"),
        (b'{"rubric": "\xff"}', "is no text in UTF-8"),
        (b"[" * 100_000, "is nested too deeply"),
        (b" " * 1_000_001, "is longer than 1000000 bytes"),
    ],
)
def test_what_is_no_document_at_all_is_refused(data: bytes, words: str) -> None:
    error = refusal(data)
    assert error.path == "$"
    assert words in error.message


def of_size(areas: int, criteria: int, ceilings: int) -> bytes:
    """A form of so many areas with so many criteria each, and ceilings on the first of them."""
    keys = [[f"c{n}-{m}" for m in range(criteria)] for n in range(areas)]
    rubric = {
        "areas": [
            {"key": f"a{n}", "weight": 1, "criteria": [{"key": key} for key in keys_of_area]}
            for n, keys_of_area in enumerate(keys)
        ],
        "ceilings": [{"criterion": "c0-0", "at_most": n} for n in range(ceilings)],
    }
    ratings = [
        {"criterion": key, "level": 1 if key == "c0-0" else 5} for area in keys for key in area
    ]
    return json.dumps({"rubric": rubric, "ratings": ratings}).encode()


def test_twenty_areas_of_twenty_criteria_with_fifty_ceilings_are_scored_at_once() -> None:
    started = time.process_time()
    request = read_score_request(of_size(20, 20, 50))
    card = score(request.rubric, request.ratings)
    assert time.process_time() - started < 5
    assert (len(card.criteria), len(card.bites)) == (400, 50)


@pytest.mark.parametrize(
    ("size", "path"),
    [
        ((21, 1, 0), "$.rubric.areas"),
        ((1, 21, 0), "$.rubric.areas[0].criteria"),
        ((1, 1, 51), "$.rubric.ceilings"),
    ],
)
def test_a_rubric_beyond_any_form_is_refused(size: tuple[int, int, int], path: str) -> None:
    assert refusal(of_size(*size)).path == path


def test_a_document_of_a_megabyte_is_read() -> None:
    data = json.dumps(REQUEST).encode()
    assert len(read_score_request(data.ljust(1_000_000)).ratings) == 3


def test_a_document_may_begin_with_a_byte_order_mark() -> None:
    data = json.dumps(REQUEST).encode("utf-8-sig")
    assert len(read_score_request(data).ratings) == 3


@given(forms(), st.sampled_from([None, "coaching", "under_18"]))
def test_what_is_stored_of_a_rubric_can_be_scored(
    drawn: tuple[RubricSpec, tuple[Rating, ...]], withhold: str | None
) -> None:
    rubric, ratings = drawn
    request = {
        "rubric": to_document(rubric),
        "ratings": [
            {key: to_document(r)[key] for key in ("criterion", "level", "share")} for r in ratings
        ],
        "withhold": withhold,
    }
    found = read_score_request(json.dumps(request).encode())
    assert found == (rubric, ratings, withhold and Withheld(withhold))


def test_a_score_card_is_written_whole_exact_and_printed() -> None:
    rubric = form()
    card = score(rubric, rate(rubric, 4, clock=2))
    document = card_document(rubric, card)
    assert {**document, "level_step": None, "printed": None} == {
        **to_document(card),
        "level_step": None,
        "printed": None,
    }
    assert document["total"] == "215/3"
    assert document["level_step"] == "5/2"
    assert document["printed"]["total"] == "71.7"
    assert document["printed"]["ceiling"] == "0.0"
    points = document["printed"]["points"].values()
    assert sum(Fraction(p) for p in points) == Fraction(document["printed"]["total"])
    assert json.loads(json.dumps(document)) == document


def test_a_score_card_without_a_total_prints_nothing() -> None:
    rubric = form()
    document = card_document(rubric, score(rubric, rate(rubric, 4), withhold=Withheld.UNDER_18))
    assert document["withheld"] == "under_18"
    assert (document["total"], document["level_step"], document["printed"]) == (None, None, None)


def test_the_schema_names_every_field_and_allows_no_other() -> None:
    schema = score_request_schema()
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    parts = {name: part for name, part in schema["$defs"].items() if "properties" in part}
    assert all(part["additionalProperties"] is False for part in parts.values())
    assert set(parts["RubricPart"]["properties"]) == set(to_document(form()))
    assert parts["RubricPart"]["required"] == ["areas"]
    assert set(parts["AreaPart"]["properties"]) == set(to_document(form())["areas"][0])
    assert parts["AreaPart"]["required"] == ["key", "weight", "criteria"]
    assert schema["$defs"]["FloorRule"]["enum"] == sorted(FloorRule)
    assert json.loads(json.dumps(schema)) == schema
