"""Names and the way the floor lies change nothing but themselves, whatever was seen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import permutations, product
from typing import TypeVar

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.code import situations
from evaluations.core.mechanics.court import POSITIONS_OF, End, Position, end_of, position_at
from evaluations.core.mechanics.facts import DeadBall, Stood
from tests.core.mechanics.crews import ALL_CODES, TWO_PERSON, code, findings, in_situation
from tests.core.mechanics.dead_balls import partly_seen

Fact = TypeVar("Fact")
Names = Mapping[CrewPosition, CrewPosition]


def under(names: Names, facts: Mapping[CrewPosition, Fact]) -> dict[CrewPosition, Fact]:
    return {names[member]: fact for member, fact in facts.items()}


def renamed(ball: DeadBall, names: Names) -> DeadBall:
    return replace(
        ball,
        caller=ball.caller and names[ball.caller],
        before=under(names, ball.before),
        after=under(names, ball.after),
        watching=under(names, ball.watching),
        switch_whose=ball.switch_whose and names[ball.switch_whose],
        eyes=replace(ball.eyes, whose=ball.eyes.whose and names[ball.eyes.whose]),
    )


@given(st.data(), st.sampled_from(ALL_CODES), st.sampled_from([(), ("caller_lead_opposite",)]))
def test_exchanging_the_officials_names_exchanges_their_findings_and_nothing_else(
    data: st.DataObject, key: str, agreed: tuple[str, ...]
) -> None:
    crew = code(key).crews[0]
    ball = data.draw(partly_seen(crew))
    found = findings(ball, key, agreed=agreed, film=True)
    for order in permutations(POSITIONS[crew]):
        names = dict(zip(POSITIONS[crew], order, strict=True))
        there = findings(renamed(ball, names), key, agreed=agreed, film=True)
        expected = [f if f.member is None else f._replace(member=names[f.member]) for f in found]
        assert sorted(there, key=repr) == sorted(expected, key=repr)


def at_their_ends(
    stood: Mapping[CrewPosition, Stood], basket: End
) -> dict[CrewPosition, tuple[End | None, Stood]]:
    return {
        member: (end_of(seen.position, basket), seen)
        for member, seen in stood.items()
        if seen.position is not None
    }


def mirrored(stood: Mapping[CrewPosition, Stood], basket: End) -> dict[CrewPosition, Stood]:
    """Everybody at the other end of the floor, where the other basket is attacked."""
    return {
        member: replace(
            seen, position=position_at(None if end is None else end.other, basket.other)
        )
        for member, (end, seen) in at_their_ends(stood, basket).items()
    }


@pytest.mark.parametrize("key", ALL_CODES)
def test_on_the_mirrored_floor_every_finding_is_the_same(key: str) -> None:
    """Whatever the situation, wherever the crew ended, and whichever basket was attacked."""
    crew = code(key).crews[0]
    for situation, order in product(situations(crew), permutations(POSITIONS_OF[crew])):
        after = {m: Stood(p) for m, p in zip(POSITIONS[crew], order, strict=True)}
        here = in_situation(situation, after=after, basket=End.LEFT)
        there = replace(
            here,
            basket=End.RIGHT,
            before=mirrored(here.before, End.LEFT),
            after=mirrored(after, End.RIGHT if situation.flip else End.LEFT),
        )
        assert findings(there, key) == findings(here, key)


@pytest.mark.parametrize("key", TWO_PERSON)
def test_switched_or_stayed_says_the_same_as_the_positions(key: str) -> None:
    """The ends are exchanged or they are not: one word has all that positions say."""
    for situation, switched in product(situations(2), (True, False)):
        in_a_word = in_situation(situation, switched=switched)
        basket = End.LEFT
        attacked = basket.other if situation.flip else basket
        after: dict[CrewPosition, Stood] = {}
        for member, (end, _seen) in at_their_ends(in_a_word.before, basket).items():
            assert end is not None
            after[member] = Stood(position_at(end.other if switched else end, attacked))
        assert {s.position for s in after.values()} == {Position.LEAD, Position.TRAIL}
        by_positions = in_situation(situation, after=after)
        assert findings(in_a_word, key) == findings(by_positions, key)
