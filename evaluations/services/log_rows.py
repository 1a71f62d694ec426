"""What a log adds up to, written beside its raw facts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from evaluations.core.mechanics.engine import Finding
from evaluations.core.mechanics.judging import Verdict
from evaluations.models import DeadBallLog, FindingCount
from evaluations.queries.logs import judged


def recount(log: DeadBallLog) -> None:
    """Write the counts of a log anew, by the code that holds for it now.

    Called inside the transaction of whatever changed the log or its code.
    """
    write_counts({log: judged(log).findings})


def write_counts(found: Mapping[DeadBallLog, Iterable[Finding]]) -> None:
    """The same for many logs, whose findings are given."""
    FindingCount.objects.filter(log__in=found).delete()
    rows = (row for log, findings in found.items() for row in _rows(log, findings))
    FindingCount.objects.bulk_create(rows, batch_size=500)


def _rows(log: DeadBallLog, findings: Iterable[Finding]) -> Iterator[FindingCount]:
    tally: Counter[tuple[str, str, Verdict]] = Counter()
    options: Counter[tuple[str, str]] = Counter()
    for finding in findings:
        position = "" if finding.member is None else finding.member.value
        tally[finding.rule, position, finding.verdict] += 1
        options[finding.rule, position] += finding.option is not None
    for rule, position in options:
        yield FindingCount(
            log=log,
            rule=rule,
            position=position,
            met=tally[rule, position, Verdict.MET],
            not_met=tally[rule, position, Verdict.NOT_MET],
            not_judged=tally[rule, position, Verdict.NOT_JUDGED],
            by_option=options[rule, position],
        )
