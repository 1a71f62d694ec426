"""What a letter takes from the dead-ball log: the official's own counts and one own movement."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import override

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.counts import suggested
from evaluations.core.mechanics.movement import most_telling
from evaluations.core.release import CountedCriterion, LogEvidence
from evaluations.core.rubric import RubricSpec
from evaluations.models import CodeEdition, Evaluation
from evaluations.queries.code_pages import code_name
from evaluations.queries.codes import code_of, engine_of, mechanics_code
from evaluations.queries.logs import counted, judged, log_of


def log_evidence(evaluation: Evaluation, spec: RubricSpec, language: str) -> LogEvidence | None:
    """The evidence for one official by the code that holds now, texts in `language`.

    None without a log, without a code or without a finding.
    """
    log = log_of(evaluation.observation)
    code = None if log is None else code_of(log.observation)
    if log is None or code is None:
        return None
    found = judged(log)
    if not found.findings:
        return None
    position = CrewPosition(evaluation.position)
    counts = counted(spec, found, position)
    engine = engine_of(code, film_rules=log.film_rules)
    return LogEvidence(
        kept=found.value.kept,
        source=found.value.source,
        dead_balls=len(found.value.dead_balls),
        code=_edition_name(code, language),
        counted={key: CountedCriterion(n, suggested(spec, n)) for key, n in counts.items()},
        movement=most_telling(engine, found.value, found.findings, position),
    )


def _edition_name(code: CodeEdition, language: str) -> str:
    name = code_name(mechanics_code(code), language)
    with override(language):
        return _("%(code)s, edition %(edition)s") % {"code": name, "edition": code.edition}
