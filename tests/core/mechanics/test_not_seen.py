"""Seeing less never makes a miss: a verdict stays or becomes "not judged".

What was seen stays met or missed when it is no longer known whose it was, but is then nobody's.
"""

from __future__ import annotations

from dataclasses import replace
from functools import reduce
from itertools import combinations, permutations
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluations.core.games import POSITIONS
from evaluations.core.mechanics.code import situations
from evaluations.core.mechanics.court import POSITIONS_OF
from evaluations.core.mechanics.facts import DeadBall, Log, Stood
from evaluations.core.mechanics.judging import Verdict
from tests.core.mechanics.crews import ALL_CODES, code, engine, findings, in_situation
from tests.core.mechanics.dead_balls import OPTION, dead_balls, partly_seen, with_less, without


def judged(ball: DeadBall, key: str, agreed: tuple[str, ...] | None, verdict: Verdict) -> set[Any]:
    """Rules and members with this verdict."""
    found = findings(ball, key, agreed=agreed, film=True)
    return {(f.rule, f.member) for f in found if f.verdict is verdict}


def or_nobodys(found: set[Any]) -> set[Any]:
    return found | {(rule, None) for rule, _member in found}


@given(st.data(), st.sampled_from(ALL_CODES), st.sampled_from([(), (OPTION,), None]))
def test_seeing_one_fact_less_adds_no_miss_and_nothing_met(
    data: st.DataObject, key: str, agreed: tuple[str, ...] | None
) -> None:
    ball = data.draw(dead_balls(code(key).crews[0]) | partly_seen(code(key).crews[0]))
    for verdict in (Verdict.MET, Verdict.NOT_MET):
        before = judged(ball, key, agreed, verdict)
        for less in with_less(ball):
            assert judged(less, key, agreed, verdict) <= or_nobodys(before)
    assert judged(ball, key, None, Verdict.NOT_MET) <= judged(ball, key, agreed, Verdict.NOT_MET)


SITUATION = ("whistle", "caller", "resumes", "court", "flip", "before")


@pytest.mark.parametrize("key", ALL_CODES)
def test_in_every_situation_any_part_of_it_may_be_unseen_and_adds_no_miss(key: str) -> None:
    """Wherever the crew ended, and whatever of the situation was not seen."""
    crew = code(key).crews[0]
    unseen = [part for n in range(1, 7) for part in combinations(SITUATION, n)]
    known: dict[Any, set[Any]] = {}
    for situation in situations(crew):
        for order in permutations(POSITIONS_OF[crew]):
            after = {m: Stood(p) for m, p in zip(POSITIONS[crew], order, strict=True)}
            ball = in_situation(situation, after=after)
            full = judged(ball, key, (), Verdict.NOT_MET)
            for part in unseen:
                seen = tuple(getattr(ball, name) for name in SITUATION[:5] if name not in part)
                stood = None if "before" in part else (situation.caller, situation.side)
                at = (order, part, seen, stood)
                if at not in known:
                    less = reduce(without, part, ball)
                    known[at] = judged(less, key, (), Verdict.NOT_MET)
                assert known[at] <= or_nobodys(full), (situation, part)


@given(st.data(), st.sampled_from(ALL_CODES))
def test_a_dead_ball_of_which_nothing_was_seen_has_nothing_met_and_nothing_missed(
    data: st.DataObject, key: str
) -> None:
    crew = code(key).crews[0]
    ball = data.draw(dead_balls(crew))
    blind = DeadBall(number=ball.number, whistle=ball.whistle, caller=ball.caller)
    found = engine(key).findings(Log(crew, (blind,)))
    assert {f.verdict for f in found} == {Verdict.NOT_JUDGED}


@given(st.data(), st.sampled_from(ALL_CODES))
def test_the_observers_word_makes_no_miss_and_only_says_whose(
    data: st.DataObject, key: str
) -> None:
    """Except of eyes that were lost at a moment nobody knows: then the word is all there is."""
    crew = code(key).crews[0]
    ball = data.draw(partly_seen(crew))
    silent = replace(ball, switch_whose=None, eyes=replace(ball.eyes, whose=None))
    said, unsaid = (
        {rule for rule, _member in judged(b, key, (), Verdict.NOT_MET)} for b in (ball, silent)
    )
    assert said - unsaid <= ({"eyes_kept"} if ball.eyes.kept is False else set())
    assert unsaid <= said
