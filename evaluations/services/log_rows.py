"""What a log adds up to, written beside its raw facts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from django.utils.translation import gettext as _

from evaluations.core.mechanics.engine import Finding
from evaluations.core.mechanics.facts import LogError
from evaluations.core.mechanics.judging import Verdict
from evaluations.models import DeadBallLog, FindingCount
from evaluations.queries.logs import judged
from evaluations.services.errors import Refused


def recount(log: DeadBallLog) -> None:
    """Judge a log anew by the code that holds for it now, and write what it adds up to.

    Called inside the transaction of whatever changed the log.

    Raises:
        Refused: facts that don't fit the crew or contradict each other.
    """
    try:
        found = judged(log)
    except LogError as error:
        raise Refused(_("This can't be logged: %(reason)s.") % {"reason": error}) from error
    write_counts({log: found.findings})


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
