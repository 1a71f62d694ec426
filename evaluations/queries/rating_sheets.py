"""What an evaluation form is made of: a rubric in the observer's language, and the answers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from accounts.models import Membership
from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.counts import Count
from evaluations.core.rubric import RubricSpec, RubricWording
from evaluations.models import Criterion, Evaluation, Observation, Rating, Rubric
from evaluations.queries.evaluations import own_work
from evaluations.queries.logs import JudgedLog, counted, judged_of
from evaluations.queries.observations import IN_WORK
from evaluations.queries.rubrics import rubric_spec, rubric_wording


@dataclass(frozen=True, slots=True)
class RatingSheet:
    """One official's form. `stored` has a row for each criterion that was ever touched, `counts`
    what the log says of each that names findings.
    """

    observation: Observation
    spec: RubricSpec
    wording: RubricWording
    stored: Mapping[str, Rating]
    flagged: str | None
    counts: Mapping[str, Count]


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a form is; "not seen" is an answer."""

    answered: int
    total: int
    not_seen: int


def rating_sheet(evaluation: Evaluation, language: str) -> RatingSheet:
    """The form about one official; a bounded number of queries."""
    [sheet] = rating_sheets([evaluation], language)
    return sheet


def rating_sheets(evaluations: Sequence[Evaluation], language: str) -> list[RatingSheet]:
    """The forms about officials of one crew, whose rubric and log are read once."""
    if not evaluations:
        return []
    observation = evaluations[0].observation
    spec, wording = _rubric(rubric_of(observation), language)
    log = judged_of(observation)
    return [_sheet(evaluation, spec, wording, log) for evaluation in evaluations]


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


def _sheet(
    evaluation: Evaluation, spec: RubricSpec, wording: RubricWording, log: JudgedLog | None
) -> RatingSheet:
    rows = evaluation.ratings.select_related("criterion")
    position = CrewPosition(evaluation.position)
    return RatingSheet(
        observation=evaluation.observation,
        spec=spec,
        wording=wording,
        stored={row.criterion.key: row for row in rows},
        flagged=evaluation.flagged.key if evaluation.flagged else None,
        counts={} if log is None else counted(spec, log, position),
    )
