"""A mechanics code that never said what the manual says: one corrected, one being corrected."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Final

from evaluations.core.mechanics.code import Administers
from evaluations.core.mechanics.court import Whistle
from evaluations.queries.codes import mechanics_code
from evaluations.services.code_corrections import put_in_force, start_correction
from evaluations.services.code_edits import set_row
from seed_demo.demo import Demo
from seed_demo.moments import HOUR
from seed_demo.rows import Rubric

REASON: Final = (
    "After a technical foul with a throw-in, who owns the line administers, not the trail."
)
NOTE: Final = {
    "en": "Technical, throw-in: the caller ends trail opposite the table. Who owns the line "
    "administers.",
    "es": "Técnica, saque: quien pita termina de cola, enfrente de la mesa. Administra quien "
    "tiene esa línea.",
}
TECHNICAL: Final = frozenset({Whistle.TECHNICAL, Whistle.DISQUALIFYING})


def correct_technical(demo: Demo, rubric: Rubric, now: datetime) -> None:
    """The crews of two's code said the wrong one administers after a technical foul."""
    assert rubric.code_of_two is not None
    draft = start_correction(code=rubric.code_of_two, by=demo.admin, now=now)
    for number, row in enumerate(mechanics_code(draft).rows, start=1):
        if row.whistles == TECHNICAL:
            right = replace(row, administers=Administers.LINE_OWNER, sure=True, note=NOTE)
            draft = set_row(
                code=draft, version=draft.version, number=number, row=right, by=demo.admin, now=now
            )
    put_in_force(
        correction=draft, version=draft.version, reason=REASON, by=demo.admin, now=now + HOUR
    )


def begin_correction(demo: Demo, rubric: Rubric, now: datetime) -> None:
    """The one for crews of three is open for the same: nothing is changed in it yet."""
    assert rubric.code_of_three is not None
    start_correction(code=rubric.code_of_three, by=demo.admin, now=now)
