"""The logs that a corrected mechanics code judges, under both editions. For services and pages."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from django.db.models import QuerySet

from evaluations.core.mechanics.corrections import Corrected, corrected
from evaluations.models import CodeEdition, DeadBallLog
from evaluations.queries.codes import CODE_FIELD, mechanics_code, replaced_by
from evaluations.queries.logs import JudgedLog, judged_by, log_values


@dataclass(frozen=True, slots=True)
class CorrectedLog:
    """A log with at least one finding that the correction changes."""

    log: DeadBallLog
    before: JudgedLog
    after: JudgedLog
    findings: tuple[Corrected, ...]


@dataclass(frozen=True, slots=True)
class Touched:
    """What a correction does to the `read` logs that were looked at.

    `lost_options` counts the logs by key of an option that their crew had agreed on and the
    correction no longer has: it can make nothing met any more.
    """

    read: int
    logs: tuple[CorrectedLog, ...]
    lost_options: Mapping[str, int]

    @property
    def dead_balls(self) -> int:
        """At how many dead balls something changes."""
        return sum(len({c.dead_ball for c in one.findings}) for one in self.logs)


def logs_judged_before(correction: CodeEdition) -> QuerySet[DeadBallLog]:
    """The logs that were judged by the edition which `correction` corrects, or would be now.

    Those are the logs under rubrics that name that edition or one in whose place it holds; once
    the correction is in force, the ones begun before.
    """
    size = correction.crew_size
    rubrics_name = {f"observation__rubric__{CODE_FIELD[size]}__in": replaced_by(correction)}
    logs = DeadBallLog.objects.filter(observation__game__crew_size=size, **rubrics_name)
    if correction.in_force_at is not None:
        logs = logs.filter(began_at__lt=correction.in_force_at)
    return logs.order_by("pk")


def touched(correction: CodeEdition, logs: QuerySet[DeadBallLog]) -> Touched:
    """Judge `logs` by both editions, in memory; a handful of queries for any number of them."""
    assert correction.corrects is not None  # asked of corrections only
    before, after = correction.corrects, correction
    gone = mechanics_code(before).option_keys - mechanics_code(after).option_keys
    read, found, lost = 0, [], Counter[str]()
    for log, log_read in log_values(logs):
        read += 1
        lost.update(gone & (log_read.value.agreed or frozenset()))
        old, new = (judged_by(code, log, log_read) for code in (before, after))
        if findings := corrected(old.findings, new.findings):
            found.append(CorrectedLog(log, old, new, findings))
    return Touched(read, tuple(found), dict(lost))
