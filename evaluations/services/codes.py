"""An association's mechanics codes: begun as a shipped one, edited until a rubric uses them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from accounts.models import Association, Membership, Role
from accounts.services.audit import record
from evaluations.core.code_document import code_content
from evaluations.core.mechanics.code import MechanicsCode
from evaluations.core.mechanics.questions import Answers, answered, base_of
from evaluations.models import CodeEdition
from evaluations.queries.codes import is_correcting, mechanics_code
from evaluations.services.errors import Refused
from evaluations.services.shipped_codes import shipped_code


@transaction.atomic
def start_from_shipped(
    *, association: Association, key: str, by: Membership, now: datetime
) -> CodeEdition:
    """Make a shipped code the association's next edition, to be edited and used.

    Raises:
        Refused: not an admin of the association.
    """
    return add_edition(
        association=association, content=shipped_code(key), answers=None, by=by, now=now
    )


@transaction.atomic
def start_from_answers(
    *, association: Association, crew_size: int, answers: Answers, by: Membership, now: datetime
) -> CodeEdition:
    """Make the code that the answers describe the association's next edition.

    Raises:
        Refused: not an admin of the association.
    """
    return add_edition(
        association=association,
        content=answered(shipped_code(base_of(crew_size, answers)), answers),
        answers={asked.value: answer.value for asked, answer in answers.items()},
        by=by,
        now=now,
    )


@transaction.atomic
def copy_code(*, source: CodeEdition, by: Membership, now: datetime) -> CodeEdition:
    """Make what `source` says the association's next edition.

    Raises:
        Refused: not an admin of the association whose code it is.
    """
    return add_edition(
        association=source.association,
        content=mechanics_code(source),
        answers=None,
        by=by,
        now=now,
    )


@transaction.atomic
def add_edition(
    *,
    association: Association,
    content: MechanicsCode,
    answers: Mapping[str, str] | None,
    by: Membership,
    now: datetime,
    corrects: CodeEdition | None = None,
) -> CodeEdition:
    """The next edition of the association's code for the crew size that `content` is for.

    Raises:
        Refused: not an admin of the association.
    """
    require_admin(by, association)
    (crew_size,) = content.crews
    # The association's row is the lock: two admins who start at once wait for each other.
    Association.objects.select_for_update().get(pk=association.pk)
    editions = CodeEdition.objects.filter(association=association, crew_size=crew_size)
    number = (editions.aggregate(highest=Max("edition"))["highest"] or 0) + 1
    code = CodeEdition(
        association=association,
        crew_size=crew_size,
        edition=number,
        base=content.key,
        answers=None if answers is None else dict(answers),
        content=code_content(replace(content, edition=str(number))),
        made_at=now,
        corrects=corrects,
    )
    code.full_clean()
    code.save()
    record_step(code, by, "code.started", now)
    return code


def usable(
    code: CodeEdition | None, association: Association, *, crew_size: int
) -> CodeEdition | None:
    """The code, if a rubric of the association may name it for such a crew.

    Raises:
        Refused: of another association, for another crew size, or a correction not in force.
    """
    if code is None:
        return None
    fits = code.crew_size == crew_size and code.association_id == association.pk
    if not fits or is_correcting(code):
        raise Refused(_("A rubric can't use this mechanics code. Choose another one."))
    return code


def require_admin(by: Membership, association: Association) -> None:
    """Mechanics codes are the work of the association's admins."""
    if Role.ADMIN not in by.roles or by.association_id != association.pk:
        raise Refused(_("Only an admin of the association works on its mechanics codes."))


def record_step(code: CodeEdition, by: Membership, action: str, now: datetime) -> None:
    """The step's audit entry: which version it led to, never what was written."""
    record(
        actor=by.user,
        association=by.association,
        action=action,
        target=code,
        now=now,
        details={"version": code.version},
    )
