"""Everything that can be tapped of a crew of two."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.taps import Tap
from evaluations.core.mechanics.zones import Follows, Zone
from tests.core.mechanics.crews import REFEREE, UMPIRE

FLAGS = (None, True, False)


def every_tap() -> Iterator[Tap]:
    """Whatever can be tapped in a crew of two, without quick marks."""
    zones = (None, *Zone)
    callers = (None, REFEREE, UMPIRE)
    follows = (None, *Follows)
    for zone, what, caller, back, turned, switched in product(
        zones, follows, callers, (False, True), FLAGS, FLAGS
    ):
        yield Tap(zone, what, caller, back_court=back, turned=turned, switched=switched)


EVERY = list(every_tap())
SEEN = [tap for tap in EVERY if tap.zone and tap.follows and tap.caller]


def other(member: CrewPosition) -> CrewPosition:
    return UMPIRE if member is REFEREE else REFEREE


def mirrored(zone: Zone) -> Zone:
    """The zone at the other end, on the same side."""
    return Zone(zone[0] + str(5 - int(zone[1])))
