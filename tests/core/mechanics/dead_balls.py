"""Dead balls of every kind, and with less of them seen, for tests of what always holds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, replace
from typing import Any

from hypothesis import strategies as st

from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.code import Situation, situations
from evaluations.core.mechanics.court import POSITIONS_OF, End, Side
from evaluations.core.mechanics.facts import (
    DeadBall,
    Eyes,
    Kept,
    Log,
    Moment,
    NumberShown,
    Report,
    Route,
    Source,
    Stood,
    Watching,
)
from tests.core.mechanics.crews import in_situation

OPTION = "caller_lead_opposite"
SITUATIONS = {crew: list(situations(crew)) for crew in (2, 3)}
FACTS = ("whistle", "caller", "resumes", "court", "flip", "switched", "heated_bench")
GROUPS = ("report", "eyes")
BY_MEMBER = ("before", "after", "watching")

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
    player=st.none() | st.sampled_from(["00", "0", "4", "15", "24", "37"]),
    number_shown=st.none() | st.sampled_from(NumberShown),
    type_shown=flags,
    result_shown=flags,
    ended_before_live=flags,
)
watchings = st.builds(Watching, wide=flags, chased_ball=flags, moved_opposite=flags)
eyes = st.builds(Eyes, kept=flags, lost=st.none() | st.sampled_from(Moment))


@st.composite
def dead_balls(draw: st.DrawFn, crew: int) -> DeadBall:
    """Everybody somewhere, each of the other facts seen or not."""
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


@st.composite
def partly_seen(draw: st.DrawFn, crew: int) -> DeadBall:
    """A dead ball with any of its facts left out, and what an observer may add of whose it was."""
    ball = draw(dead_balls(crew))
    for _time in range(draw(st.integers(0, 6))):
        ball = draw(st.sampled_from(list(with_less(ball))))
    members = st.none() | st.sampled_from(POSITIONS[crew])
    return replace(
        ball,
        switch_whose=draw(members),
        eyes=replace(ball.eyes, whose=draw(members)),
        basket=draw(st.none() | st.sampled_from(End)),
        period=draw(st.none() | st.integers(1, 20)),
        clock=draw(st.sampled_from(["", "0:07.3", "12:00"])),
        note=draw(st.text(st.characters(codec="utf-8", exclude_categories=["C"]), max_size=40)),
    )


@st.composite
def logs(draw: st.DrawFn, crew: int) -> Log:
    balls = draw(st.lists(partly_seen(crew), max_size=4))
    return Log(
        crew,
        tuple(replace(ball, number=number) for number, ball in enumerate(balls, start=1)),
        draw(st.sampled_from(Kept)),
        draw(st.sampled_from(Source)),
        draw(st.none() | st.frozensets(st.sampled_from([OPTION, "stay"]))),
    )


def with_less(ball: DeadBall) -> Iterator[DeadBall]:
    """The same dead ball with each fact that was seen left out, one at a time."""
    yield ball
    for name in FACTS:
        yield without(ball, name)
    for name in GROUPS:
        for less in _less(getattr(ball, name)):
            yield _with(ball, name, less)
    for name in BY_MEMBER:
        facts: Mapping[CrewPosition, Any] = getattr(ball, name)
        for member, seen in facts.items():
            for less in _less(seen):
                yield _with(ball, name, {**facts, member: less})
        yield without(ball, name)


def without(ball: DeadBall, name: str) -> DeadBall:
    less: DeadBall = _with(ball, name, {} if name in BY_MEMBER else None)
    return less


def _with(facts: Any, name: str, value: object) -> Any:
    return replace(facts, **{name: value})


def _less(facts: Any) -> Iterator[Any]:
    for field in fields(facts):
        if field.name != "whose" and getattr(facts, field.name) is not None:
            yield _with(facts, field.name, None)
