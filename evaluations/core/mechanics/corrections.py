"""What a corrected code makes of the findings of a log."""

from __future__ import annotations

from collections.abc import Collection
from typing import NamedTuple

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.engine import Finding, changes
from evaluations.core.mechanics.judging import Verdict


class Corrected(NamedTuple):
    """One duty at one dead ball under both codes; None where only one of them has it."""

    before: Finding | None
    after: Finding | None

    @property
    def finding(self) -> Finding:
        """As the correction has it, or as it was where the correction has it no longer."""
        found = self.after or self.before
        assert found is not None  # one of them has it
        return found

    @property
    def dead_ball(self) -> int:
        return self.finding.dead_ball

    @property
    def member(self) -> CrewPosition | None:
        return self.finding.member

    @property
    def moves_verdict(self) -> bool:
        """False: the verdict stays, but another place was due, or an option is why it was met."""
        if self.before is None or self.after is None:
            return True
        return self.before.verdict is not self.after.verdict


def corrected(before: Collection[Finding], after: Collection[Finding]) -> tuple[Corrected, ...]:
    """The findings of one log that a correction changes, by dead ball.

    Beside the verdicts that change these are the judged findings whose reason does: a letter may
    name the place that was due, and an option.
    """
    old, new = ({_key(f): f for f in found} for found in (before, after))
    moved = {(c.dead_ball, c.rule, c.member) for c in changes(before, after)}
    keys = [k for k in dict.fromkeys((*old, *new)) if k in moved or _restated(old[k], new[k])]
    return tuple(Corrected(old.get(k), new.get(k)) for k in sorted(keys, key=lambda k: k[0]))


def _key(finding: Finding) -> tuple[int, str, CrewPosition | None]:
    return finding.dead_ball, finding.rule, finding.member


def _restated(old: Finding, new: Finding) -> bool:
    """Both have the same verdict here."""
    judged = new.verdict is not Verdict.NOT_JUDGED
    return judged and (old.expected, old.option) != (new.expected, new.option)
