"""Dead-ball logs as those who keep or read them may see them, and as core values."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import NamedTuple

from django.db.models import Exists, OuterRef, Prefetch, Q, QuerySet

from accounts.models import Membership, Role
from evaluations.core.games import CrewPosition
from evaluations.core.log_document import read_dead_ball
from evaluations.core.mechanics import facts
from evaluations.core.mechanics.counts import Count, count
from evaluations.core.mechanics.engine import Engine, Finding
from evaluations.core.rubric import FloorRule, RubricSpec
from evaluations.models import (
    CodeEdition,
    CrewMember,
    DeadBall,
    DeadBallLog,
    Evaluation,
    Observation,
    Rubric,
)
from evaluations.queries.codes import code_of, engine_of
from evaluations.queries.floor_values import film_findings
from evaluations.queries.rubrics import thresholds_of

RELATED = (
    "observation__game__season__association",
    "observation__observer__user",
    "observation__rubric__code_of_two",
    "observation__rubric__code_of_three",
)

LOGS_AT_ONCE = 200
"""So many are read together: few queries, and never a whole season in memory."""


def logs_for(member: Membership) -> QuerySet[DeadBallLog]:
    """An observer's own logs; an admin's are all but those of a crew that he or she belongs to."""
    mine = Q(observation__observer=member)
    if Role.ADMIN in member.roles:
        whistled = CrewMember.objects.filter(game=OuterRef("observation__game"), official=member)
        mine |= Q(~Exists(whistled))
    return DeadBallLog.objects.filter(
        mine, observation__game__season__association=member.association
    ).select_related(*RELATED)


def log_of(observation: Observation) -> DeadBallLog | None:
    """The log that an observation has, if one was begun."""
    return DeadBallLog.objects.filter(observation=observation).select_related(*RELATED).first()


def _dead_balls(log: DeadBallLog) -> list[DeadBall]:
    """The rows of a log by number, without those removed; misses moved are read along."""
    rows = log.dead_balls.filter(removed_at__isnull=True)
    return list(rows.prefetch_related("moved").order_by("number"))


def dead_ball_value(row: DeadBall) -> facts.DeadBall:
    """A row as core sees it, with the observer's word on whose a miss was."""
    ball = read_dead_ball(row.facts, row.number)
    for moved in row.moved.all():
        whose = CrewPosition(moved.position)
        if moved.rule == "force_switch":
            ball = replace(ball, switch_whose=whose)
        else:
            ball = replace(ball, eyes=replace(ball.eyes, whose=whose))
    return ball


def log_value(log: DeadBallLog) -> facts.Log:
    """A log as core sees it."""
    return _value(log, _dead_balls(log))


def _value(log: DeadBallLog, rows: Iterable[DeadBall]) -> facts.Log:
    return facts.Log(
        crew=log.observation.game.crew_size,
        dead_balls=tuple(dead_ball_value(row) for row in rows),
        kept=facts.Kept(log.kept),
        source=facts.Source(log.source),
        agreed=None if log.agreed is None else frozenset(log.agreed),
    )


class ReadLog(NamedTuple):
    """A log as rows and as core sees it, with the findings from film."""

    rows: Sequence[DeadBall]
    value: facts.Log
    film: tuple[Finding, ...]


def _read(
    log: DeadBallLog, rows: Sequence[DeadBall], thresholds: Mapping[FloorRule, Fraction]
) -> ReadLog:
    value = _value(log, rows)
    return ReadLog(rows, value, film_findings(value, rows, thresholds))


def log_values(logs: QuerySet[DeadBallLog]) -> Iterator[tuple[DeadBallLog, ReadLog]]:
    """Many logs: five queries for every LOGS_AT_ONCE of them, and one for each rubric."""
    rows = DeadBall.objects.filter(removed_at__isnull=True).order_by("number")
    parts = rows.prefetch_related("moved", "sketches", "eyes_marks")
    standing = Prefetch("dead_balls", parts, to_attr="standing")
    thresholds: dict[int, Mapping[FloorRule, Fraction]] = {}
    for log in logs.prefetch_related(standing).iterator(chunk_size=LOGS_AT_ONCE):
        rubric = rubric_of(log)
        if rubric.pk not in thresholds:
            thresholds[rubric.pk] = thresholds_of(rubric)
        yield log, _read(log, log.standing, thresholds[rubric.pk])


def rubric_of(log: DeadBallLog) -> Rubric:
    """The rubric that a log's observation is rated by."""
    rubric = log.observation.rubric
    assert rubric is not None  # a log is begun after its observation was opened
    return rubric


@dataclass(frozen=True, slots=True)
class JudgedLog:
    """A log with its findings by the code and engine that judged it; without a code there are
    only those from film. `rows` are its dead balls."""

    rows: Sequence[DeadBall]
    value: facts.Log
    findings: tuple[Finding, ...]
    code: CodeEdition | None
    engine: Engine | None


def judged(log: DeadBallLog) -> JudgedLog:
    """The findings of a log by the code that holds for it now, and from film."""
    read = _read(log, _dead_balls(log), thresholds_of(rubric_of(log)))
    code = code_of(log.observation)
    if code is None:
        return JudgedLog(read.rows, read.value, read.film, None, None)
    return judged_by(code, log, read)


def judged_by(code: CodeEdition, log: DeadBallLog, read: ReadLog) -> JudgedLog:
    """The findings of a log by an edition, whichever holds, and after them those from film."""
    engine = engine_of(code, film_rules=log.film_rules)
    findings = (*engine.findings(read.value), *read.film)
    return JudgedLog(read.rows, read.value, findings, code, engine)


def judged_of(observation: Observation) -> JudgedLog | None:
    """The findings of an observation's log; None without a log or without a finding in it."""
    log = log_of(observation)
    found = None if log is None else judged(log)
    return found if found is not None and found.findings else None


def counted(spec: RubricSpec, found: JudgedLog, position: CrewPosition) -> Mapping[str, Count]:
    """What the findings for one of the crew add up to, by criterion that names some."""
    return {
        criterion.key: count(
            found.findings,
            position,
            criterion.counted,
            found.value.kept,
            minimum=spec.minimum_count,
        )
        for criterion in spec.criteria
        if criterion.counted
    }


def counts_of(
    found: JudgedLog | None, evaluation: Evaluation, spec: RubricSpec
) -> Mapping[str, Count]:
    """What a log says about one official, by criterion; empty without one."""
    return {} if found is None else counted(spec, found, CrewPosition(evaluation.position))
