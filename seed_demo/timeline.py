"""What happens when: steps are played in the order of time, as they would have come."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from heapq import heappop, heappush
from itertools import count

Step = Callable[[datetime], None]


@dataclass
class Timeline:
    """Steps by moment; at one moment they come in the order in which they were added."""

    _waiting: list[tuple[datetime, int, Step]] = field(default_factory=list)
    _order: count[int] = field(default_factory=count)
    played: int = 0

    def add(self, moment: datetime, step: Step) -> None:
        """Have `step` called with its moment. A step may add later ones."""
        heappush(self._waiting, (moment, next(self._order), step))

    def play(self, until: datetime) -> None:
        """Play everything up to `until`; what is left lies in the future and doesn't happen."""
        last = None
        while self._waiting and self._waiting[0][0] <= until:
            moment, _order, step = heappop(self._waiting)
            assert last is None or moment >= last, "a step was added to the past"
            last = moment
            step(moment)
            self.played += 1
