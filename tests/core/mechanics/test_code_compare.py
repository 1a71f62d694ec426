"""Two editions compared: few statements that hold exactly what differs, each situation once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluations.core.mechanics import code_words
from evaluations.core.mechanics.code import (
    Administers,
    MechanicsCode,
    Needs,
    NumberScheme,
    Option,
    Row,
    Situation,
    compare,
    row_for,
    situations,
)
from evaluations.core.mechanics.code_compare import (
    Comparison,
    Statement,
    When,
    compared,
    statements,
    summed_up,
)
from evaluations.core.mechanics.court import Court, Position, Resumes, Side, Whistle
from evaluations.core.voice import PlainEnglish
from tests.core.mechanics.crews import ALL_CODES, TWO_PERSON, code, place
from tests.core.test_every_word_is_translated import InBrackets, without_brackets

LEAD, TRAIL, CENTRE = Position.LEAD, Position.TRAIL, Position.CENTRE
PAIRS = list(permutations(TWO_PERSON, 2))


def with_rows(old: MechanicsCode, *changed: tuple[int, Row]) -> MechanicsCode:
    rows = list(old.rows)
    for index, row in changed:
        rows[index] = row
    return replace(old, rows=tuple(rows))


def sums(found: Iterable[Statement]) -> list[str]:
    voice = PlainEnglish()
    return [code_words.when(voice, covered.when) for s in found for covered in s.covers]


def changed_first_row() -> MechanicsCode:
    """The default code with the lead caller at free throws sent trail opposite the table."""
    first = code().rows[0]
    after = {LEAD: place("trail opposite"), TRAIL: place("lead table")}
    return with_rows(code(), (0, replace(first, after=after)))


# --- Statements hold exactly what differs --------------------------------------------------------
@pytest.mark.parametrize(("old", "new"), PAIRS)
def test_statements_hold_exactly_the_situations_that_differ_each_once(old: str, new: str) -> None:
    found = statements(code(old), code(new))
    held = Counter(s for one in found for covered in one.covers for s in covered.situations)
    assert set(held) == {d.situation for d in compare(code(old), code(new))}
    assert set(held.values()) == {1}
    assert sum(one.situations for one in found) == len(held)


@pytest.mark.parametrize(("old", "new"), PAIRS)
def test_a_sum_fits_its_situations_and_no_others(old: str, new: str) -> None:
    for one in statements(code(old), code(new)):
        for covered in one.covers:
            assert covered.situations == {s for s in situations(2) if covered.when.fits(s)}


@pytest.mark.parametrize(("old", "new"), PAIRS)
def test_a_statement_says_what_both_editions_say_where_it_holds(old: str, new: str) -> None:
    for one in statements(code(old), code(new)):
        for situation in (s for covered in one.covers for s in covered.situations):
            before = code(old).rows[row_for(code(old), situation) or 0]
            after = code(new).rows[row_for(code(new), situation) or 0]
            assert one.before is not None and one.after is not None
            assert (before.after, before.administers) == (one.before.after, one.before.administers)
            assert (after.after, after.administers) == (one.after.after, one.after.administers)
            assert row_for(code(old), situation) in one.rows_before
            assert row_for(code(new), situation) in one.rows_after


@pytest.mark.parametrize("key", ALL_CODES)
def test_an_edition_differs_from_itself_in_nothing(key: str) -> None:
    assert compared(code(key), code(key)) == Comparison((), None, ())
    assert compared(code(key), code(key)).is_empty


def test_hundreds_of_situations_come_down_to_few_statements() -> None:
    found = statements(code("two_person_every_foul"), code("two_person_trail_opposite"))
    assert sum(one.situations for one in found) == 64
    assert len(found) == 6


# --- What a statement says -----------------------------------------------------------------------
def test_a_changed_row_is_one_statement() -> None:
    [one] = statements(code(), changed_first_row())
    assert (one.rows_before, one.rows_after) == ((0,), (0,))
    assert one.before == code().rows[0]
    assert sums([one]) == ["shooting or bonus foul or intentional foul · caller: lead"]


def test_rows_in_another_order_that_say_the_same_are_no_difference() -> None:
    first, second, *rest = code().rows
    assert statements(code(), replace(code(), rows=(second, first, *rest))) == ()


def test_a_row_cut_in_two_that_says_the_same_is_no_difference() -> None:
    first, *rest = code().rows
    halves = (replace(first, side=Side.TABLE), replace(first, side=Side.OPPOSITE))
    assert compared(code(), replace(code(), rows=(*halves, *rest))).is_empty


def test_a_row_taken_away_says_what_holds_there_now_or_that_nothing_does() -> None:
    *kept, last = code().rows
    [one] = statements(code(), replace(code(), rows=tuple(kept)))
    assert (one.before, one.after, one.rows_after) == (last, None, ())
    assert sums([one]) == ["violation or held ball · direction turns"]
    [back] = statements(replace(code(), rows=tuple(kept)), code())
    assert (back.before, back.after, back.rows_before) == (None, last, ())


def test_an_option_that_is_allowed_from_now_on_is_a_difference() -> None:
    option = Option(
        "caller_lead",
        {LEAD: place("lead"), TRAIL: place("trail")},
        Administers.LEAD,
        frozenset({Needs.AGREED}),
    )
    last = len(code().rows) - 1
    new = with_rows(code(), (last, replace(code().rows[last], options=(option,))))
    [one] = statements(code(), new)
    assert one.after is not None and one.after.options == (option,)


def test_editions_of_crews_of_three_are_compared_too() -> None:
    old = code("three_person")
    row = old.rows[0]
    after = {LEAD: place("trail opposite"), TRAIL: place("lead"), CENTRE: place("centre table")}
    [one] = statements(old, with_rows(old, (0, replace(row, after=after))))
    assert sums([one]) == ["free throws · caller: lead"]


# --- What is listed apart ------------------------------------------------------------------------
def test_notes_sureness_and_number_scheme_are_listed_apart() -> None:
    row = code().rows[4]
    new = replace(
        with_rows(code(), (4, replace(row, sure=False, note={"en": "Not sure."}))),
        number_scheme=NumberScheme.TENS_THEN_UNITS,
    )
    found = compared(code(), new)
    assert found.statements == ()
    assert found.schemes == (NumberScheme.TOGETHER, NumberScheme.TENS_THEN_UNITS)
    [remark] = found.remarks
    assert (remark.row_before, remark.row_after, remark.after.note) == (4, 4, {"en": "Not sure."})
    assert not found.is_empty


def test_a_note_is_compared_with_the_row_that_takes_its_place() -> None:
    first, second, *rest = code().rows
    moved = replace(first, note={"en": "Another word."})
    [remark] = compared(code(), replace(code(), rows=(second, moved, *rest))).remarks
    assert (remark.row_before, remark.row_after) == (0, 1)


# --- Sums, by what situations have in common -----------------------------------------------------
EVERYTHING = {crew: list(situations(crew)) for crew in (2, 3)}


@given(st.sampled_from([2, 3]).flatmap(lambda crew: st.sets(st.sampled_from(EVERYTHING[crew]))))
def test_sums_hold_what_they_were_given_and_nothing_besides(found: set[Situation]) -> None:
    sums_of = summed_up(found)
    assert Counter(s for one in sums_of for s in one.situations) == Counter(found)
    for one in sums_of:
        crew = next(iter(one.situations)).crew
        assert one.situations == {s for s in EVERYTHING[crew] if one.when.fits(s)}


@pytest.mark.parametrize("crew", [2, 3])
def test_everything_is_one_sum_that_names_nothing(crew: int) -> None:
    [one] = summed_up(situations(crew))
    assert one.when == When()
    assert code_words.when(PlainEnglish(), one.when) == "in every situation"


@given(
    st.builds(
        When,
        whistle=st.lists(st.sampled_from(Whistle), unique=True, max_size=3).map(tuple),
        court=st.sampled_from([(), (Court.BACK,)]),
        flip=st.sampled_from([(), (True,), (False,)]),
        side=st.sampled_from([(), (Side.TABLE,)]),
    )
)
def test_what_can_be_said_in_one_sum_is(when: When) -> None:
    fitting = [s for s in situations(2) if when.fits(s)]
    assert len(summed_up(fitting)) == bool(fitting)


# --- Words ---------------------------------------------------------------------------------------
def test_a_situation_is_named_by_all_of_its_fields() -> None:
    one = Situation(2, Whistle.COMMON, Resumes.END_LINE, Court.BACK, False, LEAD, Side.TABLE)
    assert code_words.situation(PlainEnglish(), one) == (
        "common foul · throw-in on the end line · back court · direction stays · "
        "caller: lead, table side"
    )


@pytest.mark.parametrize(
    ("when", "words"),
    [
        (When(side=(Side.TABLE,)), "caller: table side"),
        (When(caller=(TRAIL, CENTRE)), "caller: trail or centre"),
        (
            When(caller=(TRAIL, CENTRE), side=(Side.OPPOSITE,)),
            "caller: trail or centre, opposite the table",
        ),
        (When(flip=(True,)), "direction turns"),
    ],
)
def test_a_sum_names_what_its_situations_have_in_common(when: When, words: str) -> None:
    assert code_words.when(PlainEnglish(), when) == words


@pytest.mark.parametrize("crew", [2, 3])
def test_every_word_of_a_code_is_in_the_readers_language(crew: int) -> None:
    voice = InBrackets()
    said = [code_words.situation(voice, s) for s in situations(crew)]
    said += [code_words.administers(voice, value) for value in Administers]
    said += [code_words.need(voice, value) for value in Needs]
    said += [code_words.number_scheme(voice, value) for value in NumberScheme]
    said += [code_words.when(voice, When())]
    for text in said:
        assert without_brackets(text).strip(" ·;:,()") == "", text
