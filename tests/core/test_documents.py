"""Frozen values survive being stored, to the last digit."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluations.core.documents import DocumentError, from_document, to_document
from evaluations.core.games import CrewPosition
from evaluations.core.letter import LetterContent
from evaluations.core.letter_text import compose
from evaluations.core.mechanics.court import End
from evaluations.core.mechanics.facts import Kept, Source
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.next_steps import Strength
from evaluations.core.ratings import Rating
from evaluations.core.release import ReleaseSnapshot, SeasonValue
from evaluations.core.rubric import CriterionSpec, RubricSpec
from evaluations.core.scoring import Withheld
from evaluations.core.voice import PlainEnglish
from tests.core.examples import form, rate
from tests.core.snapshots import counted, log_of, moved, next_step, snapshot_of
from tests.core.strategies import forms

texts = st.text(max_size=20)
figures = st.floats(0, 100)
means = st.fractions(0, 100)

seasons = st.builds(
    SeasonValue,
    observations=st.integers(0, 20),
    mean=st.none() | means,
    margin=st.none() | figures,
    areas=st.dictionaries(st.sampled_from(["area0", "area1"]), means),
    corrected=st.booleans(),
)


@st.composite
def snapshots(draw: st.DrawFn) -> ReleaseSnapshot:
    rubric, ratings = draw(forms())
    keys = [c.key for c in rubric.criteria]
    balls = st.none() | st.integers(1, 99)
    return snapshot_of(
        rubric,
        [replace(r, comment=draw(texts), dead_ball=draw(balls)) for r in ratings],
        withhold=draw(st.sampled_from([None, *Withheld])),
        strengths=[Strength(keys[0], draw(texts), draw(balls), draw(st.booleans()))],
        next_steps=[next_step(keys[-1], draw(texts), dead_ball=draw(balls))],
        position=draw(st.sampled_from(CrewPosition)),
        season=draw(seasons),
        issued_on=draw(st.dates()),
        summary=draw(texts),
    )


@st.composite
def logged_snapshots(draw: st.DrawFn) -> ReleaseSnapshot:
    """Releases whose observation has a dead-ball log."""
    snapshot = draw(snapshots())
    kept = draw(st.sampled_from(Kept))
    small = st.integers(0, 12)
    keys = draw(st.lists(st.sampled_from([c.key for c in snapshot.rubric.criteria]), unique=True))
    counts = {key: counted(draw(small), draw(small), draw(small), kept=kept) for key in keys}
    movement = moved(
        clock=draw(texts),
        period=draw(st.none() | small),
        basket=draw(st.none() | st.sampled_from(End)),
        flip=draw(st.booleans()),
        verdict=draw(st.sampled_from(Verdict)),
    )
    went = draw(st.sampled_from([movement, None]))
    log = log_of(snapshot.rubric, counts, went, kept=kept, source=draw(st.sampled_from(Source)))
    return replace(snapshot, log=log)


def stored(document: Any) -> Any:
    """What a database gives back: the same JSON, keys in an order of its own."""
    return json.loads(json.dumps(document, sort_keys=True, allow_nan=False))


@given(snapshots() | logged_snapshots())
def test_a_release_comes_back_as_it_was(snapshot: ReleaseSnapshot) -> None:
    assert from_document(ReleaseSnapshot, stored(to_document(snapshot))) == snapshot


@given(snapshots() | logged_snapshots())
def test_a_letter_comes_back_as_it_was_and_can_be_written_again(snapshot: ReleaseSnapshot) -> None:
    content = compose(snapshot, PlainEnglish())
    assert from_document(LetterContent, stored(to_document(content))) == content
    again = from_document(ReleaseSnapshot, stored(to_document(snapshot)))
    assert compose(again, PlainEnglish()) == content


def test_letters_from_before_there_were_logs_are_still_read() -> None:
    snapshot = snapshot_of(form(), rate(form(), 3))
    document = stored(to_document(snapshot))
    del document["log"]
    assert from_document(ReleaseSnapshot, document) == snapshot
    content = compose(snapshot, PlainEnglish())
    letter = stored(to_document(content))
    del letter["movement"], letter["form"]["counted"], letter["form"]["counts_note"]
    for area in letter["form"]["areas"]:
        for row in area["rows"]:
            del row["counted"]
    assert from_document(LetterContent, letter) == content


def test_what_a_rubric_worked_out_for_itself_is_not_stored() -> None:
    rubric = form()
    before = to_document(rubric)
    assert rubric.area_of["clock"].key == "signals"
    assert to_document(rubric) == before


def test_fractions_are_strings_and_days_iso_dates() -> None:
    document = to_document(snapshot_of(form(), rate(form(), 2, clock=None)))
    assert document["issued_on"] == "2027-01-14"
    assert document["card"]["criteria"][0]["points"] == "25/12"
    assert document["card"]["criteria"][9]["points"] is None
    assert document["position"] == "umpire_1"


def test_what_no_document_can_hold_is_refused() -> None:
    with pytest.raises(TypeError, match="no document holds a complex"):
        to_document([1j])


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"weight": "one"}, "$.weight"),
        ({"weight": "1/0"}, "$.weight"),
        ({"weight": 0.5}, "$.weight"),
        ({"weight": "-1"}, "$"),
        ({"key": 3}, "$.key"),
    ],
)
def test_a_document_that_is_no_such_value_is_refused_with_the_place(
    change: dict[str, object], path: str
) -> None:
    document = to_document(CriterionSpec("clock")) | change
    with pytest.raises(DocumentError) as refusal:
        from_document(CriterionSpec, document)
    assert refusal.value.path == path


def test_a_missing_field_is_named() -> None:
    document = to_document(Rating("clock", level=3))
    del document["criterion"]
    with pytest.raises(DocumentError, match="criterion"):
        from_document(Rating, document)


def test_a_place_deep_in_a_document_is_named() -> None:
    document = to_document(form())
    document["areas"][1]["criteria"][0]["weight"] = "x"
    with pytest.raises(DocumentError, match=r"^\$\.areas\[1\]\.criteria\[0\]\.weight: must be"):
        from_document(RubricSpec, document)


def test_a_day_that_does_not_exist_is_refused() -> None:
    document = to_document(snapshot_of(form(), rate(form(), 3)))
    document["issued_on"] = "2027-02-30"
    with pytest.raises(DocumentError, match=r"^\$\.issued_on: "):
        from_document(ReleaseSnapshot, document)
    assert from_document(date, "2027-02-28") == date(2027, 2, 28)
    assert from_document(Fraction, "265/6") == Fraction(265, 6)
