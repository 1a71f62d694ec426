"""The mechanics codes that Crewmark ships, and codes from files."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from evaluations.core.code_document import read_code
from evaluations.core.mechanics.code import MechanicsCode

SHIPPED = Path(__file__).resolve().parent.parent / "shipped" / "mechanics"
SHIPPED_CODES: tuple[str, ...] = (
    "two_person_every_foul",
    "two_person_no_long_switch",
    "two_person_free_throws_only",
    "two_person_trail_opposite",
    "three_person",
)
"""Their keys; each is the name of its file as well."""


@cache
def shipped_code(key: str) -> MechanicsCode:
    """One of `SHIPPED_CODES`."""
    return read_code((SHIPPED / f"{key}.toml").read_bytes())


def shipped_names(crew_size: int, language: str) -> list[tuple[str, str]]:
    """Key and name of each shipped code for crews of this size."""
    codes = map(shipped_code, SHIPPED_CODES)
    return [(code.key, code.name[language]) for code in codes if crew_size in code.crews]
