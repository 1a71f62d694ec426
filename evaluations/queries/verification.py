"""Whether a letter's code is genuine and current; nothing else of the letter is told."""

from __future__ import annotations

import unicodedata
from enum import StrEnum

from evaluations.core.release import State
from evaluations.models import Release
from evaluations.queries.releases import state_of

LENGTH = 12
GROUP = 4


class Verdict(StrEnum):
    CURRENT = "current"
    SUPERSEDED = "superseded"
    WITHDRAWN = "withdrawn"
    UNKNOWN = "unknown"


_ENDED = {State.SUPERSEDED: Verdict.SUPERSEDED, State.WITHDRAWN: Verdict.WITHDRAWN}


def normalised(typed: str) -> str:
    """A code as printed, from one as typed: any case, with or without spaces and dashes.

    >>> normalised(" k7qm 2xpa–9rtc ")
    'K7QM-2XPA-9RTC'
    >>> normalised("K7QM")
    'K7QM'
    """
    plain = unicodedata.normalize("NFKC", typed[: 8 * LENGTH]).upper()
    signs = "".join(sign for sign in plain if sign.isalnum())[: 2 * LENGTH]
    return "-".join(signs[i : i + GROUP] for i in range(0, len(signs), GROUP))


def verdict(code: str) -> Verdict:
    """What can be said of a code, which is normalised first."""
    release = Release.objects.only("pk").filter(code=normalised(code)).first()
    if release is None:
        return Verdict.UNKNOWN
    return _ENDED.get(state_of(release), Verdict.CURRENT)
