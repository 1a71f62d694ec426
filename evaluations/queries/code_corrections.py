"""A correction in work as its page shows it."""

from __future__ import annotations

from dataclasses import dataclass

from accounts.models import Membership
from evaluations.core.mechanics import words
from evaluations.core.mechanics.code_compare import compared
from evaluations.models import CodeEdition
from evaluations.queries.code_changes import CodeChanges, code_changes
from evaluations.queries.code_pages import CodeGap, code_gap
from evaluations.queries.codes import mechanics_code
from evaluations.voice import SiteVoice


@dataclass(frozen=True, slots=True)
class CorrectionSheet:
    """What keeps a correction from coming into force, else whom it changes.

    `gap`: situations that no row covers. `is_same`: nothing is corrected yet. `lost_options` are
    those that crews agreed on and the correction no longer has, with the number of their logs.
    """

    gap: CodeGap | None
    is_same: bool
    situations: int
    changes: CodeChanges | None
    lost_options: tuple[tuple[str, int], ...]


def correction_sheet(correction: CodeEdition, member: Membership, language: str) -> CorrectionSheet:
    """Read what the page of a correction in work says."""
    assert correction.corrects is not None  # asked of corrections only
    gap = code_gap(correction)
    found = compared(mechanics_code(correction.corrects), mechanics_code(correction))
    ready = gap is None and not found.is_empty
    changes = code_changes(correction, member, language) if ready else None
    lost = changes.touched.lost_options if changes else {}
    voice = SiteVoice(language)
    return CorrectionSheet(
        gap=gap,
        is_same=found.is_empty,
        situations=sum(statement.situations for statement in found.statements),
        changes=changes,
        lost_options=tuple((words.option(voice, key), logs) for key, logs in sorted(lost.items())),
    )
