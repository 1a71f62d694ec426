"""What of sketches and ledgers a letter shows: one official's own duty, and nobody else.

A drawing holds the own official alone, with the players: what is in view is what he or she sees,
whatever a partner sees. Seconds are those in which the official faced the players during the own
duty, from the whistle until the partner's report ended; nothing that was marked later, or about
the partner, changes them. At a live ball the players are the crew's, and nothing of that is in a
letter.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from evaluations.core.floor.eyes import DeadTime, Facing, Stretch, ledger, on_duty
from evaluations.core.floor.measures import Measures, measure
from evaluations.core.floor.sketch import Instant, Sketch
from evaluations.core.floor_rules import Seen
from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.court import Whistle
from evaluations.core.mechanics.facts import DeadBall, Log, Source


@dataclass(frozen=True, slots=True)
class When:
    """Which dead ball it was."""

    dead_ball: int
    period: int | None
    clock: str
    whistle: Whistle | None


@dataclass(frozen=True, slots=True)
class OwnSketch:
    """The own official among the players while the foul was reported. With a `reporter` the sketch
    is of the own way to report, without one of the own view."""

    when: When
    sketch: Sketch

    @property
    def measures(self) -> Measures:
        """Who reports isn't asked whom he or she sees."""
        found = measure(self.sketch)
        if self.sketch.reporter is None:
            return found
        return replace(found, watchers=(), seen=(), coverage=None, unseen=())

    @property
    def missed(self) -> float:
        """The share of players out of the own view, or of the own way among them; 0 to 1."""
        found = self.measures
        if found.route is None:
            return len(found.unseen) / len(self.sketch.players)
        return 0.0 if found.route.around else found.route.inside / found.route.length


@dataclass(frozen=True, slots=True)
class OwnLedger:
    """Whether the official faced the players during the own duty.

    The states of `band` are those of `Facing`, its times milliseconds from the whistle on.
    """

    when: When
    band: tuple[Stretch, ...]

    def total(self, facing: Facing) -> int:
        """The milliseconds of this state."""
        return sum(stretch.length for stretch in self.band if stretch.state == facing)

    @property
    def longest(self) -> Stretch | None:
        """The longest gap, the earlier one of two of one length."""
        gaps = [stretch for stretch in self.band if stretch.state == Facing.NOT_FACING]
        return max(gaps, key=lambda gap: gap.length, default=None)


def most_telling_sketch(
    log: Log, seen: Mapping[int, Seen], member: CrewPosition
) -> OwnSketch | None:
    """The own sketch that says most, None where none was drawn.

    One that shows something to change comes first, then one from film, then the one that shows
    more of it; of several the first.
    """
    found = [
        own
        for ball in log.dead_balls
        if (one := seen.get(ball.number)) and (own := _own_sketch(log.crew, ball, one, member))
    ]
    return min(found, key=_order, default=None)


def _order(own: OwnSketch) -> tuple[bool, bool, float, int]:
    film = own.sketch.source is Source.FILM
    return own.missed == 0, not film, -own.missed, own.when.dead_ball


def _own_sketch(crew: int, ball: DeadBall, seen: Seen, member: CrewPosition) -> OwnSketch | None:
    sketch = seen.sketches.get(Instant.REPORT)
    if sketch is None or not _is_reported(ball):
        return None
    own = tuple(official for official in sketch.officials if official.member is member)
    reports = member is ball.caller
    route = sketch.route if reports else ()
    if not (own and sketch.players) or (reports and len(route) < 2):
        return None
    drawn = replace(sketch, officials=own, route=route, reporter=member if reports else None)
    return OwnSketch(_when(ball), drawn)


def most_telling_ledger(
    log: Log, seen: Mapping[int, Seen], member: CrewPosition
) -> OwnLedger | None:
    """The ledger of the own duty with the longest gap, then with the longest time that is known;
    of several the first."""
    found = [
        own
        for ball in log.dead_balls
        if (one := seen.get(ball.number))
        and one.time
        and (own := _own_ledger(log.crew, ball, one.time, member))
    ]
    return min(found, key=_gap_order, default=None)


def _gap_order(own: OwnLedger) -> tuple[int, int, int]:
    gap = own.longest.length if own.longest else 0
    known = own.total(Facing.FACING) + own.total(Facing.NOT_FACING)
    return -gap, -known, own.when.dead_ball


def _own_ledger(
    crew: int, ball: DeadBall, time: DeadTime, member: CrewPosition
) -> OwnLedger | None:
    """None unless the duty was this official's alone, and something of it is known."""
    others = tuple(m for m in POSITIONS[crew] if m is not ball.caller)
    duty = on_duty(time)
    if duty is None or others != (member,) or not _is_reported(ball):
        return None
    found = ledger(duty)
    band = tuple(
        s._replace(start=s.start - found.start, end=s.end - found.start)
        for s in found.officials[member]
    )
    if all(stretch.state == Facing.CANT_TELL for stretch in band):
        return None
    return OwnLedger(_when(ball), band)


def _is_reported(ball: DeadBall) -> bool:
    return ball.caller is not None and (ball.whistle is None or ball.whistle.is_foul)


def _when(ball: DeadBall) -> When:
    return When(ball.number, ball.period, ball.clock, ball.whistle)
