"""Correcting a mechanics code that is in use: begun as a draft, then put in its place.

Findings are worked out anew from the stored raw facts. Letters that are out stay as they are;
they are amended one by one, by an admin's decision.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.db.models import F
from django.utils import translation
from django.utils.translation import gettext as _

from accounts.models import Association, Membership
from accounts.services.audit import record
from evaluations.core.mechanics.code_compare import compared
from evaluations.models import CodeEdition, Evaluation, Release
from evaluations.queries.code_changes import code_changes
from evaluations.queries.code_pages import code_gap
from evaluations.queries.codes import (
    correction_in_work,
    in_force,
    is_correcting,
    is_locked,
    mechanics_code,
)
from evaluations.queries.corrections import Touched, logs_judged_before, touched
from evaluations.services.answers import amend
from evaluations.services.codes import add_edition, record_step, require_admin
from evaluations.services.errors import Refused, StaleVersion
from evaluations.services.log_rows import write_counts


@transaction.atomic
def start_correction(*, code: CodeEdition, by: Membership, now: datetime) -> CodeEdition:
    """A draft with what an edition in use says, to be edited and then put in its place.

    Raises:
        Refused: not an admin, the edition isn't in use, another one has taken its place, or a
            correction of it is in work.
    """
    require_admin(by, code.association)
    _lock(code.association)
    if not is_locked(code):
        raise Refused(_("This edition is not in use yet: change it as it is."))
    holds = in_force(code)
    if holds.pk != code.pk:
        raise Refused(
            _("Edition %(edition)s has taken this one's place. Correct that one.")
            % {"edition": holds.edition}
        )
    begun = correction_in_work(code)
    if begun is not None:
        raise Refused(
            _("Edition %(edition)s corrects this one already. Go on with it.")
            % {"edition": begun.edition}
        )
    return add_edition(
        association=code.association,
        content=mechanics_code(code),
        answers=None,
        by=by,
        now=now,
        corrects=code,
    )


@transaction.atomic
def set_apart(*, correction: CodeEdition, version: int, by: Membership, now: datetime) -> None:
    """Give a correction up: the draft becomes an edition of its own, and nothing else changes.

    Raises:
        Refused: not an admin, or not a correction in work.
        StaleVersion: somebody saved after `version`.
    """
    draft = _claimed(correction, version, by)
    CodeEdition.objects.filter(pk=draft.pk).update(corrects=None)
    draft.refresh_from_db()
    record_step(draft, by, "code.set_apart", now)


@transaction.atomic
def put_in_force(
    *, correction: CodeEdition, version: int, reason: str, by: Membership, now: datetime
) -> Touched:
    """Put a correction in the place of the edition that it corrects, and count its logs anew.

    Raises:
        Refused: not an admin, not a correction in work, no reason, a situation that no row
            covers, or nothing corrected yet.
        StaleVersion: somebody saved after `version`.
        django.core.exceptions.ValidationError: a reason of more than 300 characters.
    """
    if not reason.strip():
        raise Refused(_("Say why the edition is corrected."))
    draft = _claimed(correction, version, by)
    _refuse_unfit(draft)
    draft.in_force_at, draft.reason, draft.undo = now, reason.strip(), None
    draft.full_clean()
    draft.save(update_fields=["in_force_at", "reason", "undo"])
    # Whoever writes to one of these logs meanwhile waits, and then counts by the new edition.
    logs = logs_judged_before(draft).select_for_update(of=("self",))
    found = touched(draft, logs.select_related("observation__game"))
    write_counts({one.log: one.after.findings for one in found.logs})
    record(
        actor=by.user,
        association=by.association,
        action="code.corrected",
        target=draft,
        now=now,
        details={
            "version": draft.version,
            "corrects": draft.corrects_id,
            "logs": found.read,
            "logs_changed": len(found.logs),
            "dead_balls_changed": found.dead_balls,
        },
    )
    return found


@transaction.atomic
def amend_letters(
    *,
    correction: CodeEdition,
    releases: Sequence[Release],
    note: str,
    by: Membership,
    now: datetime,
) -> list[Evaluation]:
    """Open the evaluations of these letters again, all or none; see `answers.amend`.

    Raises:
        Refused: none given, no note, the correction is not in force or touches one of them not,
            it is being amended already, or the admin belongs to its crew.
    """
    if not releases:
        raise Refused(_("Choose at least one letter."))
    if correction.in_force_at is None:
        raise Refused(_("The correction is not in force yet."))
    forms = [release.evaluation_id for release in releases]
    changed = code_changes(correction, by, translation.get_language() or "", of=forms)
    offered = {o.release.pk: o.release for o in changed.letters if o.release is not None}
    taken = []
    for release in releases:
        if release.pk not in offered:
            raise Refused(
                _("The letter to %(official)s is not one to be amended now. Load the page again.")
                % {"official": release.evaluation.official}
            )
        taken.append(amend(release=release, reason=note, by=by, now=now))
    return taken


def _claimed(correction: CodeEdition, version: int, by: Membership) -> CodeEdition:
    """Move a draft's version on; only one of two who do it at once comes through."""
    require_admin(by, correction.association)
    _lock(correction.association)
    stored = CodeEdition.objects.select_related("association", "corrects").get(pk=correction.pk)
    if not is_correcting(stored):
        raise Refused(_("This edition is no correction in work."))
    won = CodeEdition.objects.filter(pk=stored.pk, version=version).update(version=F("version") + 1)
    if not won:
        raise StaleVersion(
            _("Somebody changed this edition after you opened the page. Look at it again.")
        )
    stored.version += 1
    return stored


def _refuse_unfit(draft: CodeEdition) -> None:
    assert draft.corrects is not None  # see is_correcting
    gap = code_gap(draft)
    if gap is not None:
        raise Refused(
            _("No row covers this: %(situation)s. Add a row for it first.")
            % {"situation": gap.first}
        )
    if compared(mechanics_code(draft.corrects), mechanics_code(draft)).is_empty:
        raise Refused(_("Nothing is corrected yet: both editions say the same."))


def _lock(association: Association) -> None:
    """Two admins who correct at once wait for each other."""
    Association.objects.select_for_update().get(pk=association.pk)
