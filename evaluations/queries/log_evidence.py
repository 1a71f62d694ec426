"""What a letter takes from the dead-ball log: the official's own counts, movement, sketch and
ledger."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import override

from evaluations.core.floor_evidence import most_telling_ledger, most_telling_sketch
from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.counts import suggested
from evaluations.core.mechanics.movement import most_telling
from evaluations.core.release import CountedCriterion, LogEvidence
from evaluations.models import CodeEdition
from evaluations.queries.code_pages import code_name
from evaluations.queries.codes import mechanics_code
from evaluations.queries.evaluations import Worksheet
from evaluations.queries.floor_values import seen_at


def log_evidence(sheet: Worksheet, position: CrewPosition, language: str) -> LogEvidence | None:
    """The evidence for the official of a worksheet, texts in `language`; None without a finding."""
    found = sheet.log
    if found is None or found.code is None or found.engine is None:
        return None
    spec, counts, seen = sheet.rubric, sheet.counts, seen_at(found.rows)
    return LogEvidence(
        kept=found.value.kept,
        source=found.value.source,
        dead_balls=len(found.value.dead_balls),
        code=_edition_name(found.code, language),
        counted={key: CountedCriterion(n, suggested(spec, n)) for key, n in counts.items()},
        movement=most_telling(found.engine, found.value, found.findings, position),
        sketch=most_telling_sketch(found.value, seen, position),
        ledger=most_telling_ledger(found.value, seen, position),
    )


def _edition_name(code: CodeEdition, language: str) -> str:
    name = code_name(mechanics_code(code), language)
    with override(language):
        return _("%(code)s, edition %(edition)s") % {"code": name, "edition": code.edition}
