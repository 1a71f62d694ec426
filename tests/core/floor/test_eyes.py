"""The eyes ledger: seconds in which the players were faced."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluations.core.floor.eyes import (
    Cover,
    DeadTime,
    Facing,
    Gap,
    LedgerError,
    Mark,
    Stretch,
    Sums,
    Whose,
    ledger,
)
from evaluations.core.games import POSITIONS, CrewPosition

REFEREE, UMPIRE = POSITIONS[2]


def dead(*marks: Mark, **changes: object) -> DeadTime:
    """Ten seconds from whistle to ball live; the referee's report ends after six."""
    values: dict[str, object] = {
        "crew": 2,
        "whistle": 0,
        "live": 10_000,
        "report_ended": 6_000,
        "caller": REFEREE,
        "marks": marks,
    }
    return DeadTime(**{**values, **changes})  # type: ignore[arg-type]


def faces(member: CrewPosition, start: int, end: int | None) -> Mark:
    return Mark(member, Facing.FACING, start, end)


def turned(member: CrewPosition, start: int, end: int | None) -> Mark:
    return Mark(member, Facing.NOT_FACING, start, end)


def test_one_who_faces_the_players_covers_them() -> None:
    found = ledger(dead(turned(REFEREE, 0, None), faces(UMPIRE, 0, None)))
    assert found.sums == Sums(10_000, 0, 0)
    assert found.gaps == ()
    assert found.longest is None


def test_silence_is_can_t_tell_and_never_uncovered() -> None:
    found = ledger(dead(turned(REFEREE, 0, None)))
    assert found.sums == Sums(0, 0, 10_000)
    assert found.officials[UMPIRE] == (Stretch(0, 10_000, Facing.CANT_TELL),)


def test_uncovered_needs_everybody_marked_not_facing() -> None:
    found = ledger(dead(turned(REFEREE, 0, 4_000), turned(UMPIRE, 1_000, 3_000)))
    assert found.sums == Sums(0, 2_000, 8_000)
    assert found.longest == Gap(1_000, 3_000, Whose.OTHERS, UMPIRE)


def test_a_gap_over_the_report_s_end_is_split_there() -> None:
    found = ledger(dead(turned(REFEREE, 5_000, 9_000), turned(UMPIRE, 5_000, 9_000)))
    assert found.gaps == (
        Gap(5_000, 6_000, Whose.OTHERS, UMPIRE),
        Gap(6_000, 9_000, Whose.CREW, None),
    )
    assert found.longest == found.gaps[1]


def test_in_a_crew_of_three_a_gap_is_nobody_s_in_particular() -> None:
    marks = [turned(member, 1_000, 2_000) for member in POSITIONS[3]]
    found = ledger(dead(*marks, crew=3))
    assert found.gaps == (Gap(1_000, 2_000, Whose.OTHERS, None),)


def test_without_a_known_end_of_the_report_a_gap_is_the_crew_s() -> None:
    found = ledger(
        dead(turned(REFEREE, 1_000, 2_000), turned(UMPIRE, 1_000, 2_000), report_ended=None)
    )
    assert found.gaps == (Gap(1_000, 2_000, Whose.CREW, None),)


def test_a_later_mark_takes_the_place_of_an_earlier_one() -> None:
    facing_later = ledger(dead(turned(UMPIRE, 0, 5_000), faces(UMPIRE, 2_000, 3_000)))
    assert facing_later.sums == Sums(1_000, 0, 9_000)
    facing_earlier = ledger(dead(faces(UMPIRE, 2_000, 3_000), turned(UMPIRE, 0, 5_000)))
    assert facing_earlier.sums == Sums(0, 0, 10_000)


def test_spans_are_half_open() -> None:
    found = ledger(dead(faces(UMPIRE, 0, 2_000), turned(UMPIRE, 2_000, 4_000)))
    assert found.officials[UMPIRE][:2] == (
        Stretch(0, 2_000, Facing.FACING),
        Stretch(2_000, 4_000, Facing.NOT_FACING),
    )


def test_touching_spans_are_one() -> None:
    found = ledger(dead(faces(UMPIRE, 0, 2_000), faces(UMPIRE, 2_000, 4_000)))
    assert found.officials[UMPIRE][0] == Stretch(0, 4_000, Facing.FACING)


def test_what_lies_outside_is_cut_off_and_what_never_ended_runs_to_the_end() -> None:
    found = ledger(
        dead(faces(UMPIRE, -500, 1_000), faces(UMPIRE, 12_000, 13_000), faces(UMPIRE, 9_000, None))
    )
    assert found.sums == Sums(2_000, 0, 8_000)


def test_a_ball_that_never_became_live_has_no_sums() -> None:
    found = ledger(dead(turned(REFEREE, 0, 3_000), turned(UMPIRE, 0, 3_000), live=None))
    assert found.sums is None
    assert found.longest is None
    assert found.end == 6_000, "the end of the report is the last thing marked"
    assert found.gaps == (Gap(0, 3_000, Whose.OTHERS, UMPIRE),)


def test_a_ball_live_at_once_has_nothing_to_add_up() -> None:
    assert ledger(dead(live=0, report_ended=None)).sums == Sums(0, 0, 0)


@pytest.mark.parametrize(
    ("field", "changes"),
    [
        ("live", {"live": -1}),
        ("report_ended", {"report_ended": -1}),
        ("crew", {"crew": 4}),
        ("marks[0].member", {"marks": (faces(CrewPosition.UMPIRE_1, 0, 1),)}),
    ],
)
def test_refused(field: str, changes: dict[str, object]) -> None:
    with pytest.raises(LedgerError) as refusal:
        dead(**changes)
    assert refusal.value.field == field


_times = st.integers(-20, 140)
_marks = st.lists(
    st.builds(
        Mark,
        st.sampled_from(POSITIONS[2]),
        st.sampled_from(Facing),
        _times,
        st.one_of(st.none(), _times),
    ),
    max_size=8,
)


@given(_marks, st.integers(0, 120), st.one_of(st.none(), st.integers(0, 130)))
def test_every_millisecond_counts_once(marks: list[Mark], live: int, report: int | None) -> None:
    """Against a count that looks at each millisecond by itself."""
    found = ledger(dead(*marks, live=live, report_ended=report))

    def state(member: CrewPosition, at: int) -> Facing:
        own = [m for m in marks if m.member is member]
        hit = [m for m in own if m.start <= at and (m.end is None or at < m.end)]
        return hit[-1].facing if hit else Facing.CANT_TELL

    tally: Counter[Cover] = Counter()
    for at in range(live):
        now = {state(member, at) for member in POSITIONS[2]}
        if Facing.FACING in now:
            tally[Cover.COVERED] += 1
        else:
            tally[Cover.UNCOVERED if now == {Facing.NOT_FACING} else Cover.UNKNOWN] += 1
    assert found.sums == Sums(*(tally[cover] for cover in Cover))
    assert sum(found.sums) == live
    assert sum(gap.length for gap in found.gaps) == found.sums.uncovered
    assert all(gap.length > 0 for gap in found.gaps)
    for band in (*found.officials.values(), found.cover):
        assert [s.start for s in band[1:]] == [s.end for s in band[:-1]]
        assert not band or (band[0].start, band[-1].end) == (0, live)
