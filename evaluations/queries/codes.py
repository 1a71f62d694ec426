"""Mechanics codes: which edition holds for whom, and as core's value."""

from __future__ import annotations

from functools import lru_cache

import msgspec
from django.db.models import Q, QuerySet

from accounts.models import Association, Membership, Role
from evaluations.core.documents import from_document
from evaluations.core.mechanics.code import MechanicsCode
from evaluations.core.mechanics.engine import Engine
from evaluations.models import CodeEdition, Observation, Rubric

CODE_FIELD = {2: "code_of_two", 3: "code_of_three"}
"""The field of a rubric that names the code for crews of a size."""

_USES = ("rubrics_of_two", "rubrics_of_three")
_CORRECTING = Q(corrects__isnull=False, in_force_at__isnull=True)


def codes_for(member: Membership) -> QuerySet[CodeEdition]:
    """Admins see every edition of their association, everybody else those in use."""
    codes = CodeEdition.objects.filter(association=member.association).select_related(
        "association", "corrects"
    )
    if Role.ADMIN in member.roles:
        return codes
    return codes.filter(_in_use()).distinct()


def codes_to_choose(association: Association, crew_size: int) -> QuerySet[CodeEdition]:
    """The editions that a rubric may name, newest first: all but corrections not in force yet."""
    codes = CodeEdition.objects.filter(association=association, crew_size=crew_size)
    return codes.exclude(_CORRECTING).order_by("-edition")


def newest_code(association: Association, crew_size: int) -> CodeEdition | None:
    """The newest edition that a rubric may name."""
    return codes_to_choose(association, crew_size).first()


def is_correcting(code: CodeEdition) -> bool:
    """Whether it is a correction in work: it holds for nobody yet, and no rubric may use it."""
    return code.corrects_id is not None and code.in_force_at is None


def correction_in_work(code: CodeEdition) -> CodeEdition | None:
    """The correction of an edition that isn't in force yet; there is one at a time."""
    return code.corrections.filter(_CORRECTING).first()


def replaced_by(code: CodeEdition) -> list[CodeEdition]:
    """The editions in whose place this one holds, the latest first."""
    found, earlier = [], code.corrects
    while earlier is not None:
        found.append(earlier)
        earlier = earlier.corrects
    return found


def is_locked(code: CodeEdition) -> bool:
    """Whether a rubric that is proposed or published uses it, or it corrects one that is used."""
    used = (getattr(code, name).exclude(state=Rubric.State.DRAFT).exists() for name in _USES)
    return code.in_force_at is not None or any(used)


def replacement(code: CodeEdition) -> CodeEdition | None:
    """The correction of an edition that is in force; there is one at most."""
    return code.corrections.filter(in_force_at__isnull=False).first()


def in_force(code: CodeEdition) -> CodeEdition:
    """The edition that holds in its place: itself, or the last correction in force."""
    latest = code
    while (following := replacement(latest)) is not None:
        latest = following
    return latest


def code_of_rubric(rubric: Rubric, crew_size: int) -> CodeEdition | None:
    """The code that holds under a rubric for crews of this size, corrections included."""
    named: CodeEdition | None = getattr(rubric, CODE_FIELD[crew_size])
    return None if named is None else in_force(named)


def codes_in_force(rubric: Rubric) -> list[CodeEdition]:
    """The codes that hold under a rubric, for crews of two first."""
    return [code for size in CODE_FIELD if (code := code_of_rubric(rubric, size)) is not None]


def code_of(observation: Observation) -> CodeEdition | None:
    """The code that an observation's crew is judged by; None: its rubric names none."""
    if observation.rubric is None:
        return None
    return code_of_rubric(observation.rubric, observation.game.crew_size)


def mechanics_code(code: CodeEdition) -> MechanicsCode:
    """An edition's rows as core's value."""
    return from_document(MechanicsCode, code.content)


def engine_of(code: CodeEdition, *, film_rules: bool) -> Engine:
    """An edition made ready to judge; it is kept, because making one takes longer than a log."""
    return _engine(msgspec.json.encode(code.content), code.crew_size, film_rules)


@lru_cache(maxsize=32)
def _engine(content: bytes, crew: int, film_rules: bool) -> Engine:
    code = from_document(MechanicsCode, msgspec.json.decode(content))
    return Engine(code, crew, film_rules=film_rules)


def _in_use() -> Q:
    used = Q(in_force_at__isnull=False)
    for name in _USES:
        used |= Q(**{f"{name}__state": Rubric.State.PUBLISHED})
    return used
