"""What a corrected mechanics code changes, in words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from evaluations.core.counting import count_line
from evaluations.core.mechanics import words
from evaluations.core.mechanics.corrections import Corrected
from evaluations.core.mechanics.counts import Count, Levels, suggested
from evaluations.core.mechanics.engine import Finding
from evaluations.core.rubric import RubricSpec, RubricWording
from evaluations.core.voice import Voice


@dataclass(frozen=True, slots=True)
class FindingLine:
    """Dead balls at which the same duty is judged otherwise in the same way."""

    dead_balls: tuple[int, ...]
    duty: str
    before: str
    after: str
    moves_verdict: bool


@dataclass(frozen=True, slots=True)
class CriterionChange:
    """The count for a criterion before and after. `level` is what the observer rated, if so."""

    key: str
    before: Count
    after: Count
    level: int | None
    spec: RubricSpec
    wording: RubricWording
    voice: Voice

    @property
    def suggested_before(self) -> Levels | None:
        return suggested(self.spec, self.before)

    @property
    def suggested_after(self) -> Levels | None:
        return suggested(self.spec, self.after)

    @property
    def label(self) -> str:
        return self.wording.criteria[self.key].label

    @property
    def says_before(self) -> str:
        return str(count_line(self.spec, self.wording, self.before, self.voice) or "")

    @property
    def says_after(self) -> str:
        return str(count_line(self.spec, self.wording, self.after, self.voice) or "")

    @property
    def rated(self) -> str:
        """The rated level by its word; "" where there is none."""
        return "" if self.level is None else self.wording.level_words[self.level - 1]

    @property
    def moves_level(self) -> bool:
        return self.suggested_before != self.suggested_after


def finding_lines(findings: Iterable[Corrected], voice: Voice) -> list[FindingLine]:
    """Findings in words, those that read alike in one line."""
    alike: dict[tuple[str, str, str, bool], list[int]] = {}
    for one in findings:
        duty = words.rule(voice, one.finding.rule)
        said = (duty, _judged(one.before, voice), _judged(one.after, voice), one.moves_verdict)
        alike.setdefault(said, []).append(one.dead_ball)
    return [FindingLine(tuple(balls), *said) for said, balls in alike.items()]


def _judged(finding: Finding | None, voice: Voice) -> str:
    """A verdict, with the place that was due before it."""
    if finding is None:
        return _("not this official's duty")
    verdict = words.verdict(voice, finding.verdict)
    if finding.option is not None:
        verdict = _("%(verdict)s, by an option") % {"verdict": verdict}
    if finding.expected is None:
        return verdict
    by_end = finding.rule == "end"
    due = (
        words.position(voice, finding.expected.position)
        if by_end
        else words.place(voice, finding.expected)
    )
    return _("%(place)s: %(verdict)s") % {"place": due, "verdict": verdict}
