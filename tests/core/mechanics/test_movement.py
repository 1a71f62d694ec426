"""The one dead ball that a letter draws: the own movement that says most. Common practice, no
source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.court import Court, End, Resumes, Whistle
from evaluations.core.mechanics.facts import DeadBall, Log, Report, Source, Stood, Watching
from evaluations.core.mechanics.movement import Movement, most_telling
from tests.core.mechanics.crews import (
    DEFAULT,
    MET,
    NOT_MET,
    REFEREE,
    UMPIRE,
    UMPIRE_1,
    engine,
    place,
    shooting,
    standing,
)

DONE = standing(referee="trail table", umpire="lead opposite")
STAYED = standing(referee="lead opposite", umpire="trail table")


def telling(
    *balls: DeadBall, member: CrewPosition = UMPIRE, key: str = DEFAULT, **facts: Any
) -> Movement | None:
    """The movement drawn for a log of these dead balls, numbered from 1."""
    made = engine(key)
    numbered = tuple(replace(ball, number=n) for n, ball in enumerate(balls, 1))
    kept = Log(made.table.crew, numbered, **facts)
    return most_telling(made, kept, made.findings(kept), member)


def long(**facts: Any) -> DeadBall:
    """A player control foul by the lead: the code asks for a long switch."""
    given: dict[str, Any] = {
        "whistle": Whistle.PLAYER_CONTROL,
        "resumes": Resumes.SIDE_LINE,
        "flip": True,
    }
    return shooting(**(given | facts))


# A place kept: the trail calls a foul with free throws and stays trail, table side.
KEPT = shooting(caller=UMPIRE, after=STAYED)
SWITCHED = shooting(after=DONE)
MISSED = shooting(after=STAYED, heated_bench=False)
LONG_SWITCHED = long(switched=True)
LONG_MISSED = long(switched=False)
BY_OPTION = shooting(
    after=standing(referee="lead opposite", umpire="trail table"), heated_bench=True
)
AGREED = frozenset({"caller_lead_opposite"})


def test_the_drawn_movement_has_what_the_caption_and_the_court_need() -> None:
    ball = shooting(after=STAYED, period=2, clock="4:10", basket=End.RIGHT)
    assert telling(ball) == Movement(
        dead_ball=1,
        period=2,
        clock="4:10",
        whistle=Whistle.SHOOTING,
        resumes=Resumes.FREE_THROWS,
        court=Court.FRONT,
        basket=End.RIGHT,
        flip=False,
        long_switch=False,
        before=place("trail table"),
        expected=place("lead opposite"),
        actual=place("trail table"),
        verdict=NOT_MET,
        option=None,
    )


ORDER = [LONG_MISSED, MISSED, LONG_SWITCHED, SWITCHED, BY_OPTION, KEPT]


@pytest.mark.parametrize("first", range(len(ORDER)))
def test_misses_come_before_what_was_done_and_long_switches_before_others(first: int) -> None:
    rest = ORDER[first:]
    found = telling(*reversed(rest), agreed=AGREED)
    assert found is not None
    assert found.dead_ball == len(rest)


def test_of_several_alike_the_first_is_drawn() -> None:
    found = telling(SWITCHED, MISSED, MISSED)
    assert found is not None
    assert (found.dead_ball, found.verdict) == (2, NOT_MET)


def test_a_long_switch_goes_the_length_of_the_floor_after_a_flip_or_from_the_back_court() -> None:
    for ball, is_long in (
        (LONG_MISSED, True),
        (shooting(court=Court.BACK, after=STAYED), True),
        (MISSED, False),
    ):
        found = telling(ball)
        assert found is not None
        assert found.long_switch is is_long


@pytest.mark.parametrize(
    ("before", "is_long"),
    [
        (standing(referee="trail table", umpire_1="lead", umpire_2="centre"), True),
        # From the centre it is half the floor at most.
        (standing(referee="centre table", umpire_1="lead", umpire_2="trail"), False),
    ],
)
def test_of_three_only_who_goes_from_end_to_end_has_a_long_switch(
    before: Mapping[CrewPosition, Stood], is_long: bool
) -> None:
    """The referee calls, and the direction turns for free throws."""
    ball = shooting(flip=True, before=before, after=standing(referee="trail table"))
    found = telling(ball, member=REFEREE, key="three_person")
    assert found is not None
    assert (found.verdict, found.switch_due, found.long_switch) == (MET, True, is_long)


def test_an_option_that_was_used_is_named_and_met() -> None:
    found = telling(BY_OPTION, agreed=AGREED)
    assert found is not None
    assert (found.option, found.verdict) == ("caller_lead_opposite", MET)


def test_a_partners_miss_is_not_drawn_for_the_one_who_stood_wrong_through_it() -> None:
    assert telling(MISSED, member=REFEREE) is None
    assert telling(LONG_MISSED, member=REFEREE) is None


def test_a_miss_that_the_observer_moved_is_drawn_for_the_one_it_was_moved_to() -> None:
    moved = replace(MISSED, switch_whose=REFEREE)
    assert telling(moved) is None
    found = telling(moved, member=REFEREE)
    assert found is not None
    assert (found.verdict, found.expected) == (NOT_MET, place("trail table"))


@pytest.mark.parametrize(
    "ball",
    [
        shooting(),
        shooting(before={}, after={}),
        shooting(switched=True, flip=None),
        DeadBall(1),
        DeadBall(1, note="Whistle behind us."),
    ],
)
def test_what_was_not_seen_is_not_drawn(ball: DeadBall) -> None:
    assert telling(ball) is None


def test_three_taps_are_enough_for_the_one_whose_duty_the_switch_was() -> None:
    """The live log knows the caller's place and "stayed"; sides afterwards were not seen."""
    ball = shooting(before=standing(referee="lead opposite"), switched=False)
    found = telling(ball)
    assert found is not None
    assert (found.before, found.actual) == (place("trail"), place("trail"))
    assert found.expected == place("lead opposite")


def test_in_a_crew_of_three_the_own_change_of_place_counts() -> None:
    """The lead calls with free throws and goes to trail: whoever was trail goes elsewhere."""
    ball = shooting(
        before=standing(referee="lead table", umpire_1="trail table", umpire_2="centre opposite"),
        after=standing(referee="trail table", umpire_1="lead table", umpire_2="centre opposite"),
    )
    found = telling(ball, member=UMPIRE_1, key="three_person")
    assert found is not None
    assert (found.expected, found.actual) == (place("lead"), place("lead table"))
    assert found.verdict is MET
    assert found.switch_due


def test_nothing_that_is_only_the_partners_changes_the_own_movement() -> None:
    """A report, how a partner watched, on which side a partner ended."""
    ball = shooting(after=DONE)
    varied = replace(
        ball,
        report=Report(full_stop=False, player="23"),
        watching={REFEREE: Watching(chased_ball=True)},
        after=standing(referee="trail opposite", umpire="lead opposite"),
    )
    assert telling(ball) == telling(varied) is not None
    assert telling(ball, source=Source.FILM) == telling(ball)
