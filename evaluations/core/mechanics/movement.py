"""One official's own movement at one dead ball: where he or she stood, was due, and ended.

A letter and its page draw one of these: the dead ball that says most. Nobody else is on it.
"""

from __future__ import annotations

from dataclasses import dataclass

from evaluations.core.mechanics.court import Court, End, Place, Resumes, Whistle
from evaluations.core.mechanics.judging import Verdict


@dataclass(frozen=True, slots=True)
class Movement:
    """`side` None in `before` and `actual` is not seen, in `expected` free.

    `basket` is the one under attack before the whistle (None: not known, then either will do for
    a drawing), `flip` says whether the other one was afterwards. `verdict` is that of the place,
    or of the switch whose forcing was this official's; `option` is the key of the option that
    made it met.
    """

    dead_ball: int
    period: int | None
    clock: str
    whistle: Whistle | None
    resumes: Resumes | None
    court: Court | None
    basket: End | None
    flip: bool
    long_switch: bool
    before: Place
    expected: Place
    actual: Place
    verdict: Verdict
    option: str | None
