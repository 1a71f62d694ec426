"""The rows of an evaluation: answers, strengths and next steps, each checked before it is kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from evaluations.core import next_steps as core
from evaluations.models import Criterion, Evaluation, NextStep, Rating, Strength
from evaluations.services.errors import Refused


@dataclass(frozen=True, slots=True)
class RatingInput:
    """What the form holds for one criterion; with neither level nor `not_seen` it is open.

    `reason` says why the level is not as counted.
    """

    criterion: str
    level: int | None = None
    not_seen: bool = False
    comment: str = ""
    dead_ball: int | None = None
    evidence: str = ""
    reason: str = ""


@dataclass(frozen=True, slots=True)
class CrewAnswers:
    """One official's part of a form that is filled in for the whole crew."""

    evaluation: Evaluation
    version: int
    ratings: Sequence[RatingInput]
    flagged: str | None


class Rows:
    """Writes rows of one evaluation whose version has been claimed.

    Raises `Refused` for a criterion or a level that its rubric lacks, and ValidationError for a
    text over its limit.
    """

    def __init__(self, evaluation: Evaluation) -> None:
        self.evaluation = evaluation
        of_rubric = Criterion.objects.filter(area__rubric=evaluation.observation.rubric)
        self.criteria: Mapping[str, Criterion] = {c.key: c for c in of_rubric}

    def criterion(self, key: str) -> Criterion:
        if key not in self.criteria:
            raise Refused(
                _("This answer does not fit the rubric of the form. Load the page again.")
            )
        return self.criteria[key]

    def flag(self, key: str | None) -> None:
        self.evaluation.flagged = self.criterion(key) if key else None
        self.evaluation.save(update_fields=["flagged"])

    def rate(self, answers: Mapping[str, RatingInput]) -> None:
        rubric = self.evaluation.observation.rubric
        known = {r.criterion.key: r for r in self.evaluation.ratings.select_related("criterion")}
        for key, answer in answers.items():
            criterion = self.criterion(key)
            level = 1 if answer.level is None else answer.level
            if rubric is None or not 1 <= level <= rubric.levels:
                raise Refused(_("This level is not in the rubric. Load the page again."))
            row = known.get(key) or Rating(evaluation=self.evaluation, criterion=criterion)
            row.level = answer.level
            row.not_seen = answer.not_seen
            row.comment = answer.comment
            row.dead_ball = answer.dead_ball
            row.evidence = answer.evidence
            row.reason = answer.reason
            row.full_clean(validate_unique=row.pk is None)
            row.save()

    def add_strength(self, order: int, value: core.Strength) -> None:
        row = Strength(
            evaluation=self.evaluation,
            order=order,
            criterion=self.criterion(value.criterion),
            seen=value.seen,
            dead_ball=value.dead_ball,
            raised=value.raised,
        )
        row.full_clean()
        row.save()

    def add_step(self, order: int, value: core.NextStep) -> None:
        row = NextStep(
            evaluation=self.evaluation,
            order=order,
            criterion=self.criterion(value.criterion),
            seen=value.seen,
            standard=value.standard,
            why=value.why,
            try_this=value.try_this,
            how_we_check=value.check,
            dead_ball=value.dead_ball,
            raised=value.raised,
        )
        row.full_clean()
        row.save()
