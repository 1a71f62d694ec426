"""A mechanics code is data: complete, explained, compared; the shipped ones say what they are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from evaluations.core.mechanics.code import (
    Administers,
    CodeError,
    MechanicsCode,
    NumberScheme,
    Row,
    Situation,
    compare,
    describe,
    explain,
    gaps,
    never_matching,
    require_complete,
    row_for,
    situations,
)
from evaluations.core.mechanics.court import (
    POSITIONS_OF,
    Court,
    Place,
    Position,
    Resumes,
    Side,
    Whistle,
)
from tests.core.mechanics.crews import ALL_CODES, DEFAULT, SHIPPED, code, place

LEAD, TRAIL, CENTRE = Position.LEAD, Position.TRAIL, Position.CENTRE
STAY = {LEAD: Place(LEAD), TRAIL: Place(TRAIL)}
SWAP = {LEAD: Place(TRAIL), TRAIL: Place(LEAD)}
IN_FRONT = Situation(2, Whistle.COMMON, Resumes.END_LINE, Court.FRONT, False, LEAD, Side.OPPOSITE)


def of(*rows: Row, crews: tuple[int, ...] = (2,)) -> MechanicsCode:
    return MechanicsCode("own", "1", {"en": "Own"}, {}, crews, NumberScheme.TOGETHER, rows)


def test_the_shipped_codes_are_those_of_the_tests() -> None:
    assert sorted(file.stem for file in SHIPPED.glob("*.toml")) == sorted(ALL_CODES)
    assert [code(key).key for key in ALL_CODES] == list(ALL_CODES)


@pytest.mark.parametrize("key", ALL_CODES)
def test_a_shipped_code_covers_every_situation_of_its_crews(key: str) -> None:
    assert gaps(code(key)) == ()
    assert never_matching(code(key)) == ()


@pytest.mark.parametrize("key", ALL_CODES)
def test_a_shipped_code_says_that_it_has_no_source(key: str) -> None:
    shipped = code(key)
    assert shipped.source == {
        "en": "Common practice, no source; your association's manual prevails.",
        "es": "Práctica común, sin fuente; prevalece el manual de su asociación.",
    }
    assert shipped.edition == "1"
    assert set(shipped.name) == {"en", "es"}
    assert shipped.number_scheme is NumberScheme.TOGETHER


@pytest.mark.parametrize("key", ALL_CODES)
def test_every_shipped_row_has_its_note_and_says_when_it_is_not_sure(key: str) -> None:
    for row in code(key).rows:
        assert set(row.note) == {"en", "es"} and all(row.note.values())
        assert ("ot sure" in row.note["en"]) is not row.sure
        assert ("o es seguro" in row.note["es"]) is not row.sure


def test_a_code_for_crews_of_three_tells_trail_and_centre_apart_by_side() -> None:
    for row in code("three_person").rows:
        sides = {place.position: place.side for place in row.after.values()}
        assert sides[TRAIL] is None or sides[TRAIL] is not sides[CENTRE]


def test_the_first_row_that_matches_decides() -> None:
    special = Row(2, SWAP, Administers.LEAD, whistles=frozenset({Whistle.COMMON}))
    blank = Row(2, STAY, Administers.TRAIL)
    assert row_for(of(special, blank), IN_FRONT) == 0
    assert row_for(of(blank, special), IN_FRONT) == 0
    assert never_matching(of(special, blank)) == ()
    assert never_matching(of(blank, special)) == (1,)


@pytest.mark.parametrize(
    "match",
    [
        {"whistles": frozenset({Whistle.COMMON, Whistle.DOUBLE})},
        {"resumes": frozenset({Resumes.END_LINE})},
        {"court": Court.FRONT},
        {"flip": False},
        {"caller": LEAD},
        {"side": Side.OPPOSITE},
    ],
)
def test_a_row_matches_by_what_it_names_and_by_nothing_else(match: Mapping[str, object]) -> None:
    row = replace(Row(2, STAY, Administers.LEAD), **match)  # type: ignore[arg-type]
    name, value = next(iter(match.items()))
    matched = [s for s in situations(2) if row.matches(s)]
    assert IN_FRONT in matched
    for situation in situations(2):
        field = getattr(situation, {"whistles": "whistle"}.get(name, name))
        named = field in value if isinstance(value, frozenset) else field is value
        assert (situation in matched) is named


def test_a_gap_is_shown_as_the_situation_that_no_row_covers() -> None:
    open_code = of(
        Row(2, STAY, Administers.LEAD, flip=True),
        Row(2, STAY, Administers.LEAD, caller=TRAIL),
        Row(2, STAY, Administers.LEAD, side=Side.TABLE),
    )
    assert all((s.flip, s.caller, s.side) == (False, LEAD, Side.OPPOSITE) for s in gaps(open_code))
    with pytest.raises(CodeError) as refusal:
        require_complete(open_code)
    assert str(refusal.value) == (
        "rows: no row covers crew 2, common, end_line, front court, same direction, "
        "caller lead opposite"
    )


def test_a_code_for_two_crew_sizes_covers_both() -> None:
    both = of(Row(2, STAY, Administers.LEAD), crews=(2, 3))
    assert len(gaps(both)) == len(list(situations(3)))


@pytest.mark.parametrize(
    ("row", "field", "message"),
    [
        (Row(3, STAY, Administers.LEAD), "rows[0].crew", "is none of the code's crew sizes"),
        (
            Row(2, STAY, Administers.LEAD, caller=CENTRE),
            "rows[0].caller",
            "is no position of this crew",
        ),
        (
            Row(2, {LEAD: Place(LEAD)}, Administers.LEAD),
            "rows[0].after",
            "must send lead, trail to lead, trail, one each",
        ),
        (
            Row(2, {LEAD: Place(LEAD), TRAIL: Place(LEAD)}, Administers.LEAD),
            "rows[0].after",
            "must send lead, trail to lead, trail, one each",
        ),
        (Row(2, STAY, Administers.CENTRE), "rows[0].administers", "a crew of two has no centre"),
    ],
)
def test_an_outcome_that_no_crew_can_stand_in_is_refused(
    row: Row, field: str, message: str
) -> None:
    with pytest.raises(CodeError) as refusal:
        of(row)
    assert (refusal.value.field, refusal.value.message) == (field, message)


def test_trail_and_centre_on_one_side_are_refused() -> None:
    after = {LEAD: place("lead"), TRAIL: place("trail table"), CENTRE: place("centre table")}
    with pytest.raises(CodeError, match=r"rows\[0\]\.after: trail and centre must be on opposite"):
        of(Row(3, after, Administers.LEAD), crews=(3,))


def test_a_code_without_a_crew_size_is_refused() -> None:
    with pytest.raises(CodeError, match="crews: must name crew sizes"):
        of(crews=())
    with pytest.raises(CodeError, match="crews: must name crew sizes"):
        of(crews=(4,))


def test_an_explanation_has_the_row_and_what_in_the_situation_decided() -> None:
    found = explain(code(), IN_FRONT)
    assert found is not None
    assert dict(found.because) == {
        "whistle": "common",
        "resumes": "end_line",
        "flip": "no",
        "caller": "lead",
        "side": "opposite",
    }
    assert found.left_blank == ("court",)
    assert found.row is code().rows[found.row_index]
    assert "ends trail, table side" in found.row.note["en"]


def test_there_is_no_explanation_where_no_row_matches() -> None:
    assert explain(of(Row(2, STAY, Administers.LEAD, flip=True)), IN_FRONT) is None


@pytest.mark.parametrize("crew", [2, 3])
def test_every_situation_is_one_of_its_kind_and_reads_differently(crew: int) -> None:
    every = list(situations(crew))
    assert len(set(every)) == len({describe(s) for s in every}) == len(every)
    assert {s.caller for s in every} == set(POSITIONS_OF[crew])


def test_an_edition_is_the_same_as_itself_whatever_its_notes_say() -> None:
    shipped = code()
    reworded = replace(
        shipped, edition="2", rows=tuple(replace(r, note={"en": "x"}) for r in shipped.rows)
    )
    assert compare(shipped, reworded) == ()


def test_two_editions_differ_where_they_ask_for_something_else() -> None:
    old = code()
    first = old.rows[0]
    new = replace(old, rows=(replace(first, administers=Administers.TRAIL), *old.rows[1:]))
    differences = compare(old, new)
    assert {(d.situation.whistle, d.situation.caller) for d in differences} == {
        (Whistle.SHOOTING, LEAD),
        (Whistle.INTENTIONAL, LEAD),
    }
    assert all(d.before == first for d in differences)


def test_a_crew_size_that_only_one_code_has_differs_everywhere() -> None:
    differences = compare(code(DEFAULT), code("three_person"))
    assert len(differences) == len(list(situations(2))) + len(list(situations(3)))
    assert all((d.before is None) is (d.situation.crew == 3) for d in differences)


def test_codes_one_and_four_differ_only_in_the_sides_for_free_throws() -> None:
    differences = compare(code(DEFAULT), code("two_person_trail_opposite"))
    assert differences
    for situation, one, four in differences:
        assert situation.resumes is Resumes.FREE_THROWS
        assert one is not None and four is not None
        for before, where in one.after.items():
            assert where.position is four.after[before].position
