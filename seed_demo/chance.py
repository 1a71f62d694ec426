"""Chance that comes out the same every time."""

from __future__ import annotations

from random import Random
from typing import Final

SEED: Final = "quillwater 2026"


def chance(*about: str) -> Random:
    """A source of chance of its own for each subject, so that one more game leaves the other
    games' figures as they are.

    >>> chance("1006a").random() == chance("1006a").random() != chance("1006b").random()
    True
    """
    return Random("/".join((SEED, *about)))
