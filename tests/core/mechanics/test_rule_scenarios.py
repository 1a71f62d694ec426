"""Every rule's scenarios, played in crews of two and of three.

Every official is the caller in turn, from every position that the scenario names, on both sides.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import permutations, product
from typing import Any, NamedTuple

import pytest

from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.court import POSITIONS_OF, Court, Position, Resumes, Side, Whistle
from evaluations.core.mechanics.engine import Engine
from evaluations.core.mechanics.facts import DeadBall, Log, Source, Stood, Watching
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.mechanics.rules import RULES
from tests.core.mechanics.crews import code, stood
from tests.core.mechanics.rule_scenarios import RULE_SCENARIOS, Due, RuleScenario

IDLE = Watching(wide=False, chased_ball=True, moved_opposite=False)
"""What a caller may do: watching is the others'."""


class Crew(NamedTuple):
    """Who is who: members by the words of the scenarios. `before` has their positions."""

    roles: Mapping[str, CrewPosition]
    others: tuple[CrewPosition, ...]
    before: Mapping[CrewPosition, Stood]


def crews(size: int, positions: tuple[Position, ...]) -> Iterator[Crew]:
    """Every official calls, from every position, on both sides."""
    for order, position, side in product(permutations(POSITIONS[size]), positions, Side):
        standing = dict(zip(POSITIONS_OF[size], order, strict=True))
        caller = standing[position]
        roles = {"caller": caller}
        if size == 3:
            roles["third"] = standing[Position.CENTRE]
        if position is Position.LEAD:
            roles["switches with"] = standing[Position.TRAIL]
        if position is Position.TRAIL:
            roles["was lead"] = standing[Position.LEAD]
        before = {m: Stood(p, side if m is caller else None) for p, m in standing.items()}
        yield Crew(roles, tuple(m for m in order if m is not caller), before)


def played(scenario: RuleScenario, crew: Crew) -> DeadBall:
    roles = crew.roles
    shots = scenario.whistle is Whistle.SHOOTING
    return DeadBall(
        number=1,
        whistle=scenario.whistle,
        caller=roles["caller"],
        resumes=Resumes.FREE_THROWS if shots else Resumes.SIDE_LINE,
        court=Court.FRONT,
        flip=False,
        before=crew.before,
        after={roles[r]: stood(place) for r, place in scenario.after.items() if r in roles},
        report=scenario.report,
        watching={**dict.fromkeys(crew.others, scenario.others), roles["caller"]: IDLE},
        eyes=scenario.eyes,
    )


def expected(due: Due, crew: Crew) -> dict[CrewPosition | None, Verdict]:
    found: dict[CrewPosition | None, Verdict] = {}
    for role, verdict in due.items():
        if role == "others":
            found |= dict.fromkeys(crew.others, verdict)
        else:
            found[None if role == "nobody" else crew.roles[role]] = verdict
    return found


@pytest.mark.parametrize(("size", "key"), [(2, "two_person_every_foul"), (3, "three_person")])
@pytest.mark.parametrize("scenario", RULE_SCENARIOS, ids=lambda s: f"{s.rule}: {s.name}")
def test_whose_duty_it_was_and_how_it_is_judged(
    scenario: RuleScenario, size: int, key: str
) -> None:
    made = Engine(replace(code(key), number_scheme=scenario.scheme), size, film_rules=True)
    for crew in crews(size, scenario.calls_from or POSITIONS_OF[size]):
        log = Log(size, (played(scenario, crew),), source=Source.FILM)
        found = {f.member: f.verdict for f in made.findings(log) if f.rule == scenario.rule}
        assert found == expected(scenario.two if size == 2 else scenario.three, crew), crew


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.key)
def test_every_rule_has_a_scenario_for_each_verdict(rule: Any) -> None:
    for size in (2, 3):
        own = [s for s in RULE_SCENARIOS if s.rule == rule.key]
        due = [verdict for s in own for verdict in (s.two if size == 2 else s.three).values()]
        assert set(due) == set(Verdict)
        assert all(s.source for s in own)


def test_no_two_scenarios_have_one_name() -> None:
    names = [(s.rule, s.name) for s in RULE_SCENARIOS]
    assert len(names) == len(set(names))
