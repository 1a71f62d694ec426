"""What a log adds up to, written beside its raw facts."""

from __future__ import annotations

from collections import Counter

from evaluations.core.mechanics.judging import Verdict
from evaluations.models import DeadBallLog, FindingCount
from evaluations.queries.logs import judged


def recount(log: DeadBallLog) -> None:
    """Write the counts of a log anew, by the code that holds for it now.

    Called inside the transaction of whatever changed the log or its code.
    """
    tally: Counter[tuple[str, str, Verdict]] = Counter()
    options: Counter[tuple[str, str]] = Counter()
    for finding in judged(log).findings:
        position = "" if finding.member is None else finding.member.value
        tally[finding.rule, position, finding.verdict] += 1
        options[finding.rule, position] += finding.option is not None
    log.counts.all().delete()
    FindingCount.objects.bulk_create(
        FindingCount(
            log=log,
            rule=rule,
            position=position,
            met=tally[rule, position, Verdict.MET],
            not_met=tally[rule, position, Verdict.NOT_MET],
            not_judged=tally[rule, position, Verdict.NOT_JUDGED],
            by_option=options[rule, position],
        )
        for rule, position in options
    )
