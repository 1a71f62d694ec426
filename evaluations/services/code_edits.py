"""Steps on an edition of a mechanics code that nothing uses yet: its rows and its heading.

Every step raises

- StaleVersion: somebody saved after `version`;
- Refused: not an admin's, the edition is locked, or no crew can stand like this.

Gaps are no reason to refuse a step; a rubric with a code that has some can't be proposed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime

from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from accounts.models import Membership
from evaluations.core.code_document import code_content
from evaluations.core.documents import from_document
from evaluations.core.mechanics.code import CodeError, MechanicsCode, NumberScheme, Row
from evaluations.models import CodeEdition
from evaluations.queries.codes import is_locked, mechanics_code
from evaluations.services.codes import record_step, require_admin
from evaluations.services.errors import Refused, StaleVersion

ROWS_AT_MOST = 200


def set_row(
    *, code: CodeEdition, version: int, number: int, row: Row, by: Membership, now: datetime
) -> CodeEdition:
    """Put a row in place of the one with this number; rows are counted from 1."""

    def change(value: MechanicsCode) -> MechanicsCode:
        rows = _with(value, number)
        return replace(value, rows=(*rows[: number - 1], row, *rows[number:]))

    return _step(code, version, change, by=by, action="code.row_written", now=now)


def add_row(
    *, code: CodeEdition, version: int, before: int, row: Row, by: Membership, now: datetime
) -> CodeEdition:
    """A new row before the one with this number; a number past the last one puts it at the end."""

    def change(value: MechanicsCode) -> MechanicsCode:
        if len(value.rows) >= ROWS_AT_MOST:
            raise Refused(_("A code has at most %(limit)s rows.") % {"limit": ROWS_AT_MOST})
        at = min(max(before, 1), len(value.rows) + 1) - 1
        return replace(value, rows=(*value.rows[:at], row, *value.rows[at:]))

    return _step(code, version, change, by=by, action="code.row_added", now=now)


def move_row(
    *, code: CodeEdition, version: int, number: int, up: bool, by: Membership, now: datetime
) -> CodeEdition:
    """Change places with the row before or after; at the end nothing moves."""

    def change(value: MechanicsCode) -> MechanicsCode:
        rows = list(_with(value, number))
        here = number - 1
        there = here - 1 if up else here + 1
        if 0 <= there < len(rows):
            rows[here], rows[there] = rows[there], rows[here]
        return replace(value, rows=tuple(rows))

    return _step(code, version, change, by=by, action="code.row_moved", now=now)


def remove_row(
    *, code: CodeEdition, version: int, number: int, by: Membership, now: datetime
) -> CodeEdition:
    """Take a row away; `undo_removal` brings it back."""

    def change(value: MechanicsCode) -> MechanicsCode:
        rows = _with(value, number)
        return replace(value, rows=(*rows[: number - 1], *rows[number:]))

    removed = _("Row %(number)s") % {"number": number}
    return _step(code, version, change, by=by, action="code.row_removed", now=now, removing=removed)


def undo_removal(*, code: CodeEdition, version: int, by: Membership, now: datetime) -> CodeEdition:
    """Bring back what the last step took away; refused when something was saved since."""
    kept = CodeEdition.objects.values_list("undo", flat=True).get(pk=code.pk)
    if kept is None:
        raise Refused(_("There is nothing to put back: the code was saved since."))
    value = from_document(MechanicsCode, kept["content"])
    return _step(code, version, lambda _value: value, by=by, action="code.undone", now=now)


def set_heading(
    *,
    code: CodeEdition,
    version: int,
    name: Mapping[str, str],
    source: Mapping[str, str],
    number_scheme: NumberScheme,
    by: Membership,
    now: datetime,
) -> CodeEdition:
    """What the code is called and rests on, by language, and how hands show a number."""

    def change(value: MechanicsCode) -> MechanicsCode:
        return replace(value, name=name, source=source, number_scheme=number_scheme)

    return _step(code, version, change, by=by, action="code.heading_changed", now=now)


def _with(value: MechanicsCode, number: int) -> tuple[Row, ...]:
    """The rows, if one has this number."""
    if not 1 <= number <= len(value.rows):
        raise Refused(_("This row is not in the code any more. Load the page again."))
    return value.rows


@transaction.atomic
def _step(
    code: CodeEdition,
    version: int,
    change: Callable[[MechanicsCode], MechanicsCode],
    *,
    by: Membership,
    action: str,
    now: datetime,
    removing: str = "",
) -> CodeEdition:
    """One change in one transaction. `removing` names what it takes away, kept for an undo."""
    stored = _claim(code, version, by)
    kept = {"removed": removing, "content": stored.content}
    try:
        stored.content = code_content(change(mechanics_code(stored)))
    except CodeError as error:
        raise Refused(_no_crew(error)) from error
    stored.undo = kept if removing else None
    stored.full_clean()
    stored.save(update_fields=["content", "undo"])
    record_step(stored, by, action, now)
    return stored


def _claim(code: CodeEdition, version: int, by: Membership) -> CodeEdition:
    """Move the version on in one conditional update; the second of two is refused.

    The update also holds the row until the step is done, so a rubric that is proposed meanwhile
    waits, or is seen here.
    """
    require_admin(by, code.association)
    won = CodeEdition.objects.filter(pk=code.pk, version=version).update(version=F("version") + 1)
    stored = CodeEdition.objects.select_related("association").get(pk=code.pk)
    if is_locked(stored):
        raise Refused(
            _("This edition is in use and locked. Copy it to make a new one, or correct it.")
        )
    if not won:
        raise StaleVersion(
            _(
                "Somebody saved this code after you opened the page, so nothing was saved now. "
                "What you typed is kept here. Compare it with what is stored and save again."
            )
        )
    return stored


def _no_crew(error: CodeError) -> str:
    if error.field.endswith("administers"):
        return _("A crew of two has no centre to administer the ball.")
    return _(
        "Afterwards every position must be filled once, and trail and centre stand on opposite "
        "sides."
    )
