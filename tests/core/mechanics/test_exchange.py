"""Exchanging two officials whom the observer had mixed up."""

from __future__ import annotations

from collections import Counter
from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.engine import Finding
from evaluations.core.mechanics.exchange import exchange_members
from evaluations.core.mechanics.facts import DeadBall, Eyes, Moment, Stood, Watching
from tests.core.mechanics.crews import (
    ALL_CODES,
    REFEREE,
    UMPIRE,
    UMPIRE_1,
    UMPIRE_2,
    code,
    findings,
    shooting,
    standing,
)
from tests.core.mechanics.dead_balls import OPTION, dead_balls


@st.composite
def mixed_up(draw: st.DrawFn, crew: int) -> tuple[DeadBall, CrewPosition, CrewPosition]:
    """A dead ball with the observer's word on whose a miss was, and two of its crew."""
    ball = draw(dead_balls(crew))
    whose = st.none() | st.sampled_from(POSITIONS[crew])
    eyes = Eyes(ball.eyes.kept, ball.eyes.lost, draw(whose))
    first, second = draw(st.sampled_from(list(combinations(POSITIONS[crew], 2))))
    changed = {
        "caller": draw(whose),
        "eyes": eyes,
        "switch_whose": draw(whose),
    }
    values = {name: getattr(ball, name) for name in ball.__slots__}
    return DeadBall(**{**values, **changed}), first, second


@given(st.data(), st.sampled_from([2, 3]))
def test_exchanging_twice_is_nothing(data: st.DataObject, crew: int) -> None:
    ball, first, second = data.draw(mixed_up(crew))
    once = exchange_members(ball, first, second)
    assert exchange_members(once, first, second) == ball
    assert exchange_members(ball, second, first) == once


@given(st.data(), st.sampled_from(ALL_CODES), st.sampled_from([(), (OPTION,), None]))
def test_exchanging_names_changes_nothing_in_the_findings_but_the_member(
    data: st.DataObject, key: str, agreed: tuple[str, ...] | None
) -> None:
    ball, first, second = data.draw(mixed_up(code(key).crews[0]))
    other: dict[CrewPosition | None, CrewPosition] = {first: second, second: first}

    def renamed(finding: Finding) -> Finding:
        return finding._replace(member=other.get(finding.member, finding.member))

    before = findings(ball, key, agreed=agreed, film=True)
    after = findings(exchange_members(ball, first, second), key, agreed=agreed, film=True)
    assert Counter(map(str, after)) == Counter(map(str, map(renamed, before)))


def test_everything_said_of_one_is_said_of_the_other() -> None:
    ball = shooting(
        after=standing(referee="trail table", umpire="lead opposite"),
        watching={UMPIRE: Watching(chased_ball=True)},
        eyes=Eyes(kept=False, lost=Moment.REPORT, whose=UMPIRE),
        switch_whose=UMPIRE,
        note="The tall one.",
    )
    exchanged = exchange_members(ball, REFEREE, UMPIRE)
    assert exchanged.caller is UMPIRE
    assert exchanged.before == standing(umpire="lead opposite", referee="trail table")
    assert exchanged.after == standing(umpire="trail table", referee="lead opposite")
    assert exchanged.watching == {REFEREE: Watching(chased_ball=True)}
    assert (exchanged.eyes.whose, exchanged.switch_whose) == (REFEREE, REFEREE)
    assert (exchanged.number, exchanged.note, exchanged.report) == (1, "The tall one.", ball.report)


def test_the_third_of_a_crew_stays_who_he_or_she_is() -> None:
    before = standing(referee="lead", umpire_1="trail table", umpire_2="centre opposite")
    ball = DeadBall(5, caller=REFEREE, before=before, watching={REFEREE: Watching(wide=True)})
    exchanged = exchange_members(ball, UMPIRE_1, UMPIRE_2)
    assert exchanged.caller is REFEREE
    assert exchanged.before[REFEREE] == Stood(before[REFEREE].position)
    assert exchanged.before[UMPIRE_1] == before[UMPIRE_2]
    assert exchanged.watching == ball.watching


def test_what_nobody_was_named_in_stays_as_it_is() -> None:
    ball = DeadBall(2, note="A held ball, I think.")
    assert exchange_members(ball, REFEREE, UMPIRE) == ball
