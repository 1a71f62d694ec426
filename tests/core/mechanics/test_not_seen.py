"""Seeing less never makes a miss: a verdict stays or becomes "not judged".

What was seen stays met or missed when it is no longer known whose it was, but is then nobody's.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, replace
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.code import Situation, situations
from evaluations.core.mechanics.court import POSITIONS_OF, Side
from evaluations.core.mechanics.facts import (
    DeadBall,
    Eyes,
    Log,
    Moment,
    NumberShown,
    Report,
    Route,
    Stood,
    Watching,
)
from evaluations.core.mechanics.judging import Verdict
from tests.core.mechanics.crews import ALL_CODES, code, engine, findings, in_situation

OPTION = "caller_lead_opposite"
SITUATIONS = {crew: list(situations(crew)) for crew in (2, 3)}
flags = st.none() | st.booleans()
sides = st.none() | st.sampled_from(Side)
reports = st.builds(
    Report,
    signal_at_spot=flags,
    player_told=flags,
    route=st.none() | st.sampled_from(Route),
    benches_watched=flags,
    full_stop=flags,
    spoken=flags,
    player=st.none() | st.sampled_from(["00", "4", "15", "24", "37"]),
    number_shown=st.none() | st.sampled_from(NumberShown),
    type_shown=flags,
    result_shown=flags,
    ended_before_live=flags,
)
watchings = st.builds(Watching, wide=flags, chased_ball=flags, moved_opposite=flags)
eyes = st.builds(Eyes, kept=flags, lost=st.none() | st.sampled_from(Moment))


@st.composite
def dead_balls(draw: st.DrawFn, crew: int) -> DeadBall:
    """Everybody somewhere, each of the facts seen or not."""
    situation: Situation = draw(st.sampled_from(SITUATIONS[crew]))
    members = POSITIONS[crew]
    order = draw(st.permutations(POSITIONS_OF[crew]))
    in_a_word = crew == 2 and draw(st.booleans())
    ball = in_situation(situation)
    return replace(
        ball,
        before={m: replace(s, side=s.side or draw(sides)) for m, s in ball.before.items()},
        after={
            m: Stood(None if in_a_word else p, draw(sides))
            for m, p in zip(members, order, strict=True)
        },
        switched=draw(flags) if in_a_word else None,
        heated_bench=draw(flags),
        report=draw(reports),
        watching={m: draw(watchings) for m in members},
        eyes=draw(eyes),
    )


def with_less(ball: DeadBall) -> Iterator[DeadBall]:
    """The same dead ball with each fact that was seen left out, one at a time."""
    for name in ("whistle", "caller", "resumes", "court", "flip", "switched", "heated_bench"):
        yield _with(ball, name, None)
    for name in ("report", "eyes"):
        for less in _less(getattr(ball, name)):
            yield _with(ball, name, less)
    for name in ("before", "after", "watching"):
        facts: Mapping[CrewPosition, Any] = getattr(ball, name)
        for member, seen in facts.items():
            for less in _less(seen):
                yield _with(ball, name, {**facts, member: less})
        yield _with(ball, name, {})


def _with(facts: Any, name: str, value: object) -> Any:
    return replace(facts, **{name: value})


def _less(facts: Any) -> Iterator[Any]:
    for field in fields(facts):
        if field.name != "whose" and getattr(facts, field.name) is not None:
            yield _with(facts, field.name, None)


def misses(ball: DeadBall, key: str, agreed: list[str] | None) -> set[Any]:
    found = findings(ball, key, agreed=agreed, film=True)
    return {(f.rule, f.member) for f in found if f.verdict is Verdict.NOT_MET}


def met(ball: DeadBall, key: str, agreed: list[str] | None) -> set[Any]:
    found = findings(ball, key, agreed=agreed, film=True)
    return {(f.rule, f.member) for f in found if f.verdict is Verdict.MET}


def nobodys(found: set[Any]) -> set[Any]:
    return {(rule, None) for rule, _member in found}


@given(st.data(), st.sampled_from(ALL_CODES), st.sampled_from([(), (OPTION,), None]))
def test_seeing_less_adds_no_miss_and_nothing_met(
    data: st.DataObject, key: str, options: tuple[str, ...] | None
) -> None:
    ball = data.draw(dead_balls(code(key).crews[0]))
    agreed = None if options is None else list(options)
    before, done = misses(ball, key, agreed), met(ball, key, agreed)
    for less in with_less(ball):
        assert misses(less, key, agreed) <= before | nobodys(before)
        assert met(less, key, agreed) <= done | nobodys(done)
    assert misses(ball, key, None) <= before


@given(st.data(), st.sampled_from(ALL_CODES))
def test_a_dead_ball_of_which_nothing_was_seen_has_nothing_met_and_nothing_missed(
    data: st.DataObject, key: str
) -> None:
    crew = code(key).crews[0]
    ball = data.draw(dead_balls(crew))
    blind = DeadBall(number=ball.number, whistle=ball.whistle, caller=ball.caller)
    found = engine(key).findings(Log(crew, (blind,)))
    assert {f.verdict for f in found} == {Verdict.NOT_JUDGED}
