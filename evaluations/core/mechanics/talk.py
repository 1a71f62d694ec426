"""What a log has for the talk after the game: one strength of the crew, two things to change.

Findings are counted rule by rule over the whole crew.

- The strength is, of the rules that were judged often enough and met more often than not, the one
  of which the most may be expected at least: the highest lower limit of Wilson's interval.
- The changes are, of the other rules with a miss, the two of which the least may be expected at
  most: the lowest upper limit. A single miss has a high one, so that it gives way to a habit.

A log of only what struck the observer holds examples and no counts: there the strength is what was
met most often, if more often than missed, and the changes are what was missed most often.

Of rules that are equal, the one seen more often comes first, then the order of the rules. Nothing
is chosen from what was not judged.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.counts import MINIMUM_COUNT, wilson
from evaluations.core.mechanics.engine import Finding
from evaluations.core.mechanics.facts import Kept
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.mechanics.rules import RULE_KEYS

CHANGES = 2
"""A talk has room for so many things to change."""


class Example(NamedTuple):
    """Whose duty it was (None: nobody's in particular), and at which dead balls, as logged."""

    member: CrewPosition | None
    dead_balls: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Point:
    """One rule over the whole crew. `examples` are those met of a strength, missed of a change."""

    rule: str
    met: int
    not_met: int
    examples: tuple[Example, ...]

    @property
    def judged(self) -> int:
        return self.met + self.not_met


@dataclass(frozen=True, slots=True)
class TalkCard:
    """`counts`: whether "4 of 6" may be said, or only examples. `judged`: anything was."""

    strength: Point | None
    changes: tuple[Point, ...]
    counts: bool
    judged: bool


def talk_card(findings: Iterable[Finding], kept: Kept, minimum: int = MINIMUM_COUNT) -> TalkCard:
    """Choose from the findings of one log. `minimum`: below so many judged there is no strength."""
    by_rule: dict[str, list[Finding]] = {rule: [] for rule in RULE_KEYS}
    for finding in findings:
        if finding.verdict is not Verdict.NOT_JUDGED:
            by_rule[finding.rule].append(finding)
    seen = {rule: found for rule, found in by_rule.items() if found}
    strength = _strength(seen, kept, minimum)
    changes = _changes({rule: found for rule, found in seen.items() if rule != strength}, kept)
    return TalkCard(
        strength=None if strength is None else _point(strength, seen[strength], Verdict.MET),
        changes=tuple(_point(rule, seen[rule], Verdict.NOT_MET) for rule in changes),
        counts=kept.gives_shares,
        judged=bool(seen),
    )


Judged = dict[str, list[Finding]]


def _strength(seen: Judged, kept: Kept, minimum: int) -> str | None:
    least = max(minimum, 1) if kept.gives_shares else 1
    fit = [
        rule for rule, found in seen.items() if len(found) >= least and _met(found) > _missed(found)
    ]

    def worth(rule: str) -> tuple[float, int]:
        found = seen[rule]
        low = wilson(_met(found), len(found)).low if kept.gives_shares else _met(found)
        return low, len(found)

    return max(fit, key=worth, default=None)


def _changes(seen: Judged, kept: Kept) -> list[str]:
    def want(rule: str) -> tuple[float, int]:
        found = seen[rule]
        high = wilson(_met(found), len(found)).high if kept.gives_shares else -_missed(found)
        return high, -len(found)

    missed = [rule for rule, found in seen.items() if _missed(found)]
    return sorted(missed, key=want)[:CHANGES]


def _met(found: Sequence[Finding]) -> int:
    return sum(f.verdict is Verdict.MET for f in found)


def _missed(found: Sequence[Finding]) -> int:
    return sum(f.verdict is Verdict.NOT_MET for f in found)


def _point(rule: str, found: Sequence[Finding], shown: Verdict) -> Point:
    whose: dict[CrewPosition | None, dict[int, None]] = {}
    for finding in found:
        if finding.verdict is shown:
            whose.setdefault(finding.member, {})[finding.dead_ball] = None
    examples = tuple(Example(member, tuple(numbers)) for member, numbers in whose.items())
    return Point(rule, _met(found), _missed(found), examples)
