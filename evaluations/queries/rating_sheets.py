"""What an evaluation form is made of: a rubric in the observer's language, and the answers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from accounts.models import Membership
from evaluations.core.rubric import RubricSpec, RubricWording
from evaluations.models import Criterion, Evaluation, Observation, Rating, Rubric
from evaluations.queries.evaluations import own_work
from evaluations.queries.observations import IN_WORK
from evaluations.queries.rubrics import rubric_spec, rubric_wording


@dataclass(frozen=True, slots=True)
class RatingSheet:
    """One official's form. `stored` has a row for each criterion that was ever touched."""

    spec: RubricSpec
    wording: RubricWording
    stored: Mapping[str, Rating]
    flagged: str | None


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a form is; "not seen" is an answer."""

    answered: int
    total: int
    not_seen: int


def rating_sheet(evaluation: Evaluation, language: str) -> RatingSheet:
    """The form about one official; a bounded number of queries."""
    return _sheet(evaluation, *_rubric(rubric_of(evaluation.observation), language))


def rating_sheets(evaluations: Sequence[Evaluation], language: str) -> list[RatingSheet]:
    """The forms about a crew, whose rubric is read once."""
    if not evaluations:
        return []
    spec, wording = _rubric(rubric_of(evaluations[0].observation), language)
    return [_sheet(evaluation, spec, wording) for evaluation in evaluations]


def progress(evaluations: Sequence[Evaluation]) -> Progress:
    """How far the forms are, counted together."""
    if not evaluations:
        return Progress(0, 0, 0)
    rubric = rubric_of(evaluations[0].observation)
    criteria = Criterion.objects.filter(area__rubric=rubric).count()
    rows = Rating.objects.filter(evaluation__in=evaluations)
    rated = rows.filter(level__isnull=False).count()
    not_seen = rows.filter(not_seen=True).count()
    return Progress(rated + not_seen, criteria * len(evaluations), not_seen)


def crew_of(evaluation: Evaluation, member: Membership) -> list[Evaluation]:
    """This evaluation and those about the others of the crew, by position."""
    return list(own_work(member).filter(observation=evaluation.observation).order_by("position"))


def next_up(crew: Sequence[Evaluation], evaluation: Evaluation) -> Evaluation | None:
    """The next of the crew's evaluations that is still to be finished."""
    return next((e for e in crew if e.pk != evaluation.pk and e.state in IN_WORK), None)


def crew_in_work(observation: Observation, member: Membership) -> list[Evaluation]:
    """Those of an observation's evaluations that can still be rated, by position."""
    found = own_work(member).filter(observation=observation, state__in=IN_WORK)
    return list(found.order_by("position"))


def rubric_of(observation: Observation) -> Rubric:
    """An evaluation is made when its observation is opened, and that fixes the rubric."""
    assert observation.rubric is not None
    return observation.rubric


def _rubric(rubric: Rubric, language: str) -> tuple[RubricSpec, RubricWording]:
    return rubric_spec(rubric), rubric_wording(rubric, language)


def _sheet(evaluation: Evaluation, spec: RubricSpec, wording: RubricWording) -> RatingSheet:
    rows = evaluation.ratings.select_related("criterion")
    flagged = evaluation.flagged.key if evaluation.flagged else None
    return RatingSheet(spec, wording, {row.criterion.key: row for row in rows}, flagged)
