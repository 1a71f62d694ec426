"""Answers about a manual make a code: the shipped one that they describe, or one like it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import product

import pytest

from evaluations.core.mechanics.code import (
    Administers,
    MechanicsCode,
    NumberScheme,
    Row,
    gaps,
    never_matching,
    row_for,
    situations,
)
from evaluations.core.mechanics.code_answers import answers_in
from evaluations.core.mechanics.court import Court, Position, Resumes, Side, Whistle, standing_still
from evaluations.core.mechanics.questions import (
    QUESTIONS,
    Answer,
    Answers,
    Asked,
    answered,
    base_of,
    option_key,
)
from tests.core.mechanics.crews import code, place

YES, NO = Answer.YES, Answer.NO
TABLE, OPPOSITE, EITHER = Answer.TABLE, Answer.OPPOSITE, Answer.EITHER
LEAD, TRAIL = Position.LEAD, Position.TRAIL


def every_combination(crew: int) -> Iterator[Answers]:
    questions = QUESTIONS[crew]
    for chosen in product(*questions.values()):
        yield dict(zip(questions, chosen, strict=True))


EVERY = [(crew, answers) for crew in (2, 3) for answers in every_combination(crew)]


def of_two(
    switch: Answer = YES,
    long_switch: Answer = YES,
    free_throws: Answer = TABLE,
    heated_bench: Answer = YES,
    technical: Answer = YES,
    number: Answer = Answer.TOGETHER,
) -> Answers:
    given = (switch, long_switch, free_throws, heated_bench, technical, number)
    return dict(zip(QUESTIONS[2], given, strict=True))


def of_three(
    free_throws: Answer = TABLE,
    without: Answer = TABLE,
    number: Answer = Answer.TOGETHER,
) -> Answers:
    return dict(zip(QUESTIONS[3], (free_throws, without, number), strict=True))


def made(answers: Answers) -> MechanicsCode:
    return answered(code(base_of(2 if Asked.SWITCH in answers else 3, answers)), answers)


SHIPPED_ANSWERS: Mapping[str, Answers] = {
    "two_person_every_foul": of_two(),
    "two_person_no_long_switch": of_two(long_switch=NO),
    "two_person_free_throws_only": of_two(
        switch=NO, free_throws=EITHER, heated_bench=NO, technical=NO
    ),
    "two_person_trail_opposite": of_two(free_throws=OPPOSITE),
    "three_person": of_three(),
}


def test_there_are_six_questions_for_two_and_fewer_for_three() -> None:
    assert len(QUESTIONS[2]) == 6
    assert len(QUESTIONS[3]) == 3
    assert len(EVERY) == 2**5 * 3 + 2 * 3 * 2


@pytest.mark.parametrize("key", SHIPPED_ANSWERS)
def test_answers_that_describe_a_shipped_code_give_exactly_it(key: str) -> None:
    answers = SHIPPED_ANSWERS[key]
    assert made(answers) == code(key)
    assert answers_in(code(key), code(key).crews[0]) == answers


def test_code_1_with_the_trail_opposite_has_the_rows_of_the_code_that_ships_so() -> None:
    answers = of_two(free_throws=OPPOSITE)
    changed = answered(code("two_person_every_foul"), answers)
    shipped = code("two_person_trail_opposite")
    assert [(r.after, r.options) for r in changed.rows] == [
        (r.after, r.options) for r in shipped.rows
    ]


@pytest.mark.parametrize(("crew", "answers"), EVERY)
def test_every_combination_covers_every_situation_without_a_needless_row(
    crew: int, answers: Answers
) -> None:
    result = made(answers)
    assert result.crews == (crew,)
    assert gaps(result) == ()
    assert never_matching(result) == ()


@pytest.mark.parametrize(("crew", "answers"), EVERY)
def test_a_code_does_what_was_answered(crew: int, answers: Answers) -> None:
    assert answers_in(made(answers), crew) == answers


def rows(result: MechanicsCode, crew: int = 2, **named: object) -> Iterator[tuple[Position, Row]]:
    """The rows for the situations with these parts, each with the caller's position before."""
    for situation in situations(crew):
        if all(getattr(situation, name) == value for name, value in named.items()):
            index = row_for(result, situation)
            assert index is not None
            yield situation.caller, result.rows[index]


@pytest.mark.parametrize("switch", [YES, NO])
@pytest.mark.parametrize("court_and_flip", [(Court.BACK, False), (Court.FRONT, True)])
def test_without_long_switches_nobody_goes_the_length_of_the_floor(
    switch: Answer, court_and_flip: tuple[Court, bool]
) -> None:
    court, flip = court_and_flip
    result = made(of_two(switch=switch, long_switch=NO))
    for _caller, row in rows(result, court=court, flip=flip):
        assert all(p.position is standing_still(was, flip) for was, p in row.after.items())
        assert row.options == ()


@pytest.mark.parametrize("switch", [YES, NO])
def test_a_technical_fouls_caller_ends_trail_opposite_though_others_end_at_the_table(
    switch: Answer,
) -> None:
    result = made(of_two(switch=switch))
    for whistle, due in ((Whistle.TECHNICAL, "trail opposite"), (Whistle.SHOOTING, "trail table")):
        named = rows(result, whistle=whistle, resumes=Resumes.FREE_THROWS, flip=False)
        for caller, row in named:
            assert row.after[caller] == place(due)


@pytest.mark.parametrize("switch", [YES, NO])
def test_only_a_caller_who_would_end_trail_may_end_lead_instead(switch: Answer) -> None:
    result = made(of_two(switch=switch))
    found = [(row.after[caller], o) for caller, row in rows(result) for o in row.options]
    assert found
    assert {after.position for after, _option in found} == {TRAIL}
    assert {option.key for _after, option in found} == {"caller_lead_opposite"}


def test_an_option_that_is_not_allowed_is_in_no_row() -> None:
    only_technical = made(of_two(heated_bench=NO))
    with_option = {row.whistles for row in only_technical.rows if row.options}
    assert frozenset().union(*with_option) == {Whistle.TECHNICAL, Whistle.DISQUALIFYING}
    assert made(of_two(heated_bench=NO, technical=NO)).option_keys == frozenset()


@pytest.mark.parametrize("answers", [of_two(), of_three()])
def test_the_number_is_shown_as_answered(answers: Answers) -> None:
    together = made(answers)
    other = made({**answers, Asked.NUMBER: Answer.TENS_THEN_UNITS})
    assert together.number_scheme is NumberScheme.TOGETHER
    assert other.number_scheme is NumberScheme.TENS_THEN_UNITS
    assert other.rows == together.rows


def test_a_crew_of_three_may_stay_where_no_free_throws_follow() -> None:
    result = made(of_three(without=Answer.NOBODY))
    for caller, row in rows(result, crew=3, whistle=Whistle.COMMON, flip=False):
        assert row.after[caller].position is caller


def test_a_caller_of_three_may_end_opposite_the_table() -> None:
    result = made(of_three(free_throws=OPPOSITE, without=OPPOSITE))
    for caller, row in rows(result, crew=3, whistle=Whistle.COMMON):
        assert row.after[caller].side is Side.OPPOSITE
    for caller, row in rows(result, crew=3, whistle=Whistle.SHOOTING):
        assert row.after[caller] == place("trail opposite")


@pytest.mark.parametrize(("crew", "answers"), EVERY)
def test_a_note_stays_only_with_the_outcome_that_it_was_about(crew: int, answers: Answers) -> None:
    base = code(base_of(crew, answers))
    for row in made(answers).rows:
        if row.note:
            assert row.after in [r.after for r in base.rows if r.note == row.note]


def test_an_options_key_says_where_the_caller_ends() -> None:
    after = {LEAD: place("trail table"), TRAIL: place("lead")}
    assert option_key(LEAD, after) == "caller_trail_table"
    assert option_key(TRAIL, after) == "caller_lead"
    assert option_key(None, after) == "other_places"


STAY = {LEAD: place("lead"), TRAIL: place("trail")}


def with_first(row: Row) -> MechanicsCode:
    """The default code with one row more at its beginning."""
    shipped = code("two_person_every_foul")
    return replace(shipped, rows=(row, *shipped.rows))


def test_a_code_that_does_now_this_now_that_has_no_single_answer() -> None:
    common = frozenset({Whistle.COMMON})
    lead_stays = Row(2, STAY, Administers.LEAD, whistles=common, caller=LEAD, flip=False)
    assert answers_in(with_first(lead_stays), 2)[Asked.SWITCH] is None
    left = Row(2, STAY, Administers.LEAD, whistles=frozenset({Whistle.SHOOTING}), caller=TRAIL)
    assert answers_in(with_first(left), 2)[Asked.FREE_THROWS] is None


def test_an_option_under_other_conditions_is_no_plain_yes() -> None:
    shipped = code("two_person_every_foul")
    eased = tuple(
        replace(row, options=tuple(replace(o, needs=frozenset()) for o in row.options))
        for row in shipped.rows
    )
    found = answers_in(replace(shipped, rows=eased), 2)
    assert (found[Asked.HEATED_BENCH], found[Asked.TECHNICAL]) == (None, None)


def test_a_code_without_rows_answers_nothing_about_places() -> None:
    for crew, base in ((2, "two_person_every_foul"), (3, "three_person")):
        found = answers_in(replace(code(base), rows=()), crew)
        given = {asked for asked, answer in found.items() if answer is not None}
        assert given == {Asked.NUMBER}
