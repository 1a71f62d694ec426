"""A log as a document: what is read, and how what can't be read is refused."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluations.core.documents import DocumentError
from evaluations.core.log_document import (
    dead_ball_document,
    log_document,
    log_schema,
    read_dead_ball,
    read_log,
)
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
from tests.core.mechanics.crews import REFEREE, UMPIRE, UMPIRE_1, engine
from tests.core.mechanics.dead_balls import logs, partly_seen

WHOLE = {
    "number": 7,
    "period": 2,
    "clock": "0:07.3",
    "basket": "left",
    "whistle": "shooting",
    "caller": "referee",
    "resumes": "free_throws",
    "court": "front",
    "flip": False,
    "before": {"referee": {"position": "lead", "side": "table"}, "umpire": None},
    "after": {"umpire": {"position": "lead"}},
    "switched": True,
    "switch_whose": "umpire",
    "heated_bench": False,
    "report": {
        "signal_at_spot": True,
        "player_told": False,
        "route": "around",
        "benches_watched": None,
        "full_stop": True,
        "spoken": True,
        "player": "00",
        "number_shown": "at_once",
        "type_shown": True,
        "result_shown": False,
        "ended_before_live": True,
    },
    "watching": {"umpire": {"wide": True, "chased_ball": False, "moved_opposite": True}},
    "eyes": {"kept": False, "lost": "report", "whose": "umpire"},
    "note": "Late whistle.",
}


def written(*dead_balls: dict[str, Any], **fields: Any) -> bytes:
    return json.dumps({"schema": 1, "crew": 2, "dead_balls": dead_balls, **fields}).encode()


def refused(data: bytes) -> DocumentError:
    with pytest.raises(DocumentError) as refusal:
        read_log(data)
    return refusal.value


def test_every_field_is_read() -> None:
    log = read_log(written(WHOLE, kept="every_nth", source="film", agreed=["lead_opposite"]))
    ball = DeadBall(
        number=7,
        period=2,
        clock="0:07.3",
        basket=End.LEFT,
        whistle=Whistle.SHOOTING,
        caller=REFEREE,
        resumes=Resumes.FREE_THROWS,
        court=Court.FRONT,
        flip=False,
        before={REFEREE: Stood(Position.LEAD, Side.TABLE), UMPIRE: Stood()},
        after={UMPIRE: Stood(Position.LEAD)},
        switched=True,
        switch_whose=UMPIRE,
        heated_bench=False,
        report=Report(
            True,
            False,
            Route.AROUND,
            None,
            True,
            True,
            "00",
            NumberShown.AT_ONCE,
            True,
            False,
            True,
        ),
        watching={UMPIRE: Watching(True, False, True)},
        eyes=Eyes(False, Moment.REPORT, UMPIRE),
        note="Late whistle.",
    )
    agreed = frozenset({"lead_opposite"})
    assert log == Log(2, (ball,), Kept.EVERY_NTH, Source.FILM, agreed)


def test_what_is_left_out_or_null_was_not_seen() -> None:
    nothing = {name: None for name in WHOLE if name not in ("number", "clock", "note")}
    assert read_log(written({"number": 1})) == read_log(written({"number": 1, **nothing}))
    assert read_log(written({"number": 1})).dead_balls == (DeadBall(number=1),)


def test_a_log_is_of_every_foul_seen_live_with_nothing_agreed_unless_it_says_otherwise() -> None:
    log = read_log(written())
    assert (log.kept, log.source, log.agreed) == (Kept.EVERY_FOUL, Source.LIVE, frozenset())
    assert read_log(written(agreed=None)).agreed is None


@pytest.mark.parametrize(
    ("field", "value", "path", "says"),
    [
        ("number", 0, "$.dead_balls[0].number", "Expected int >= 1"),
        ("period", True, "$.dead_balls[0].period", "Expected int | null"),
        ("clock", "7:60", "$.dead_balls[0].clock", "allowed: minutes and seconds left"),
        ("clock", "7:42\n", "$.dead_balls[0].clock", "matching regex"),
        ("basket", "north", "$.dead_balls[0].basket", "allowed: left, right"),
        ("whistle", "charge", "$.dead_balls[0].whistle", "allowed: common, shooting, "),
        ("caller", "lead", "$.dead_balls[0].caller", "allowed: referee, umpire, umpire_1"),
        ("caller", "umpire_1", "$.dead_balls[0].caller", "this crew: referee, umpire"),
        ("resumes", "jump", "$.dead_balls[0].resumes", "allowed: free_throws, end_line, "),
        ("court", "middle", "$.dead_balls[0].court", "allowed: front, back"),
        ("flip", 1, "$.dead_balls[0].flip", "Expected bool | null"),
        ("before", {"coach": {}}, "$.dead_balls[0].before", "allowed: referee, umpire"),
        (
            "before",
            {"referee": {"position": "middle"}},
            "$.dead_balls[0].before[...].position",
            "allowed: lead, trail, centre",
        ),
        ("after", {"umpire_1": {}}, "$.dead_balls[0].after", "this crew: referee, umpire"),
        (
            "after",
            {"umpire": {"position": "centre"}},
            "$.dead_balls[0].after",
            "a crew of two has no centre",
        ),
        (
            "after",
            {"referee": {"position": "lead"}, "umpire": {"position": "lead"}},
            "$.dead_balls[0].after",
            "two members in one position",
        ),
        ("switched", False, "$.dead_balls[0].switched", "says something else than before"),
        ("switch_whose", "umpire_2", "$.dead_balls[0].switch_whose", "this crew: referee, umpire"),
        ("watching", {"umpire_1": {}}, "$.dead_balls[0].watching", "this crew: referee, umpire"),
        ("eyes", {"whose": "umpire_1"}, "$.dead_balls[0].eyes.whose", "this crew: referee, umpire"),
        ("eyes", {"lost": "late"}, "$.dead_balls[0].eyes.lost", "allowed: report, after_report"),
        ("report", {"route": "past"}, "$.dead_balls[0].report.route", "allowed: around, through"),
        ("report", {"player": "07"}, "$.dead_balls[0].report.player", "allowed: 00, 0 to 99"),
        (
            "report",
            {"number_shown": "yes"},
            "$.dead_balls[0].report.number_shown",
            "allowed: at_once, tens_then_units, not_shown",
        ),
        ("report", {"voice": True}, "$.dead_balls[0].report", "unknown field voice"),
        ("resumes", "end_line", "$.dead_balls[0].whistle", "does not go with"),
        ("note", "x" * 501, "$.dead_balls[0].note", "length <= 500"),
    ],
)
def test_a_fact_that_can_not_be_is_refused_with_its_place(
    field: str, value: object, path: str, says: str
) -> None:
    refusal = refused(written({**WHOLE, field: value}))
    assert refusal.path == path
    assert says in refusal.message


@pytest.mark.parametrize(
    ("fields", "path", "says"),
    [
        ({"schema": 2}, "$.schema", "allowed: 1"),
        ({"crew": 4}, "$.crew", "Expected int <= 3"),
        ({"kept": "all"}, "$.kept", "allowed: every_foul, every_nth, one_duty, striking"),
        ({"source": "radio"}, "$.source", "allowed: live, film, memory"),
        ({"agreed": ["Lead"]}, "$.agreed[0]", "matching regex"),
        ({"observer": "x"}, "$", "unknown field observer"),
        ({"dead_balls": [{}]}, "$.dead_balls[0]", "missing required field number"),
        ({"dead_balls": [{"number": 1}, {"number": 1}]}, "$.dead_balls[1].number", "there twice"),
    ],
)
def test_a_log_that_can_not_be_is_refused_with_its_place(
    fields: dict[str, Any], path: str, says: str
) -> None:
    refusal = refused(written(**fields))
    assert refusal.path == path
    assert says in refusal.message


def test_switched_is_for_crews_of_two() -> None:
    refusal = refused(written({"number": 1, "switched": True}, crew=3))
    assert refusal.path == "$.dead_balls[0].switched"
    three = read_log(written({"number": 1, "caller": "umpire_1"}, crew=3))
    assert three.dead_balls[0].caller is UMPIRE_1


def test_a_player_control_foul_that_does_not_turn_the_direction_is_refused() -> None:
    ball = {"number": 1, "whistle": "player_control", "flip": False}
    assert refused(written(ball)).path == "$.dead_balls[0].whistle"


def test_a_key_that_is_there_twice_is_refused() -> None:
    text = b'{"schema": 1, "crew": 2, "crew": 3, "dead_balls": []}'
    assert "'crew' twice" in refused(text).message


def test_the_schema_describes_every_field() -> None:
    schema = log_schema()
    assert schema["$schema"].endswith("2020-12/schema")
    parts = schema["$defs"]
    assert set(parts["DeadBallPart"]["properties"]) == set(WHOLE)
    assert parts["LogPart"]["additionalProperties"] is False


def test_a_crew_is_two_or_three() -> None:
    with pytest.raises(LogError, match="crew: must be 2 or 3"):
        Log(4, ())


def test_switched_can_not_contradict_what_is_not_known() -> None:
    ball = {**WHOLE, "flip": None, "switched": False}
    assert read_log(written(ball)).dead_balls[0].switched is False


def as_seen(ball: DeadBall) -> DeadBall:
    """Without members of whom nothing was seen: a document leaves them out."""
    return replace(
        ball,
        before={m: stood for m, stood in ball.before.items() if stood != Stood()},
        after={m: stood for m, stood in ball.after.items() if stood != Stood()},
        watching={m: seen for m, seen in ball.watching.items() if seen != Watching()},
    )


@given(st.integers(2, 3).flatmap(partly_seen))
def test_a_dead_ball_comes_back_from_its_document_as_it_was(ball: DeadBall) -> None:
    document = json.loads(json.dumps(dead_ball_document(ball)))
    assert read_dead_ball(document, ball.number) == as_seen(ball)
    assert read_dead_ball(document, 77) == replace(as_seen(ball), number=77)


@given(st.integers(2, 3).flatmap(logs))
def test_a_log_comes_back_from_its_document_as_it_was(log: Log) -> None:
    document = json.dumps(log_document(log)).encode()
    seen = replace(log, dead_balls=tuple(as_seen(ball) for ball in log.dead_balls))
    assert read_log(document) == seen
    assert log_document(seen) == log_document(log)


@given(st.integers(2, 3).flatmap(logs))
def test_a_log_from_its_document_has_the_same_findings(log: Log) -> None:
    made = engine("two_person_every_foul" if log.crew == 2 else "three_person")
    again = read_log(json.dumps(log_document(log)).encode())
    assert made.findings(again) == made.findings(log)


# --- What was drawn and marked on film -----------------------------------------------------------
def with_film(**film: object) -> bytes:
    floor = [{"number": 7, "film": {"whistle": 2_000, "marks": [], **film}}]
    return written(WHOLE, floor=floor)


def test_what_goes_along_from_film_changes_nothing_in_the_log() -> None:
    mark = {"member": "umpire", "facing": "not_facing", "start": 2_000, "end": None}
    assert read_log(with_film(live=9_000, marks=[mark])) == read_log(written(WHOLE))


@pytest.mark.parametrize(
    ("film", "path"),
    [
        ({"whistle": -1}, "$.floor[0].film.whistle"),
        ({"live": 9.5}, "$.floor[0].film.live"),
        ({"seconds": 9}, "$.floor[0].film"),
        (
            {"marks": [{"member": "umpire", "facing": "asleep", "start": 1}]},
            "$.floor[0].film.marks[0].facing",
        ),
    ],
)
def test_film_marks_of_another_shape_are_refused(film: dict[str, object], path: str) -> None:
    assert refused(with_film(**film)).path == path
