"""Which dead balls are drawn and looked at on film, whose film that is, and what it is judged by.

What is drawn live is drawn at once; film is looked at when the game is over, before the forms are
written.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from functools import partial
from typing import Final

from evaluations.core.floor.sketch import Instant
from evaluations.core.mechanics.facts import Source
from evaluations.core.rubric import FloorRule
from seed_demo.demo import Demo
from seed_demo.logs import LogPlan
from seed_demo.moments import MINUTE
from seed_demo.notebook import QUARTERS
from seed_demo.rows import FilmStatement
from seed_demo.whistles import FACES, OPPOSITE, ROUTE

THRESHOLDS: Final[Mapping[str, Mapping[FloorRule, Decimal]]] = {
    ROUTE: {FloorRule.ROUTE_CLEAR: Decimal(1)},
    FACES: {FloorRule.VIEW_KEPT: Decimal("0.5"), FloorRule.FACED: Decimal(2000)},
    OPPOSITE: {FloorRule.BOXED_IN: Decimal("0.6"), FloorRule.APART: Decimal(120)},
}
"""What the demo's rubric asks of film: metres, shares, milliseconds, degrees."""


@dataclass(frozen=True)
class FilmOf:
    """Whose film of a game it is, and with what permission it is looked at."""

    owner: FilmStatement.Owner
    permission: str


@dataclass(frozen=True)
class FloorPlan:
    """What of one game is drawn, by the dead ball's number and from what: while the foul is
    reported, and when the ball becomes live. `eyes` are the dead balls marked on film; at those
    of `lost` the film shows that the players were lost, of which the log has nothing.
    """

    report: Mapping[int, Source]
    live: Mapping[int, Source] = field(default_factory=dict)
    eyes: tuple[int, ...] = ()
    lost: frozenset[int] = frozenset()
    film: FilmOf | None = None

    def drawings(self) -> list[tuple[int, Instant, Source]]:
        """Dead ball, moment and source of each sketch, in the order of play."""
        report = [(number, Instant.REPORT, source) for number, source in self.report.items()]
        live = [(number, Instant.LIVE, source) for number, source in self.live.items()]
        return sorted([*report, *live], key=lambda drawing: drawing[0])


LIVE, FILM, MEMORY = Source.LIVE, Source.FILM, Source.MEMORY
Owner: Final = FilmStatement.Owner
PER_DRAWING: Final = 3 * MINUTE

FLOORS: Final[Mapping[str, FloorPlan]] = {
    # Round the group the players are boxed in; the way to the table leads through them.
    "1002a": FloorPlan(
        report={2: FILM, 14: FILM, 16: LIVE},
        eyes=(14,),
        film=FilmOf(
            Owner.LEAGUE, "The league lets observers look at its own recording until 31 March"
        ),
    ),
    # Turned away while a partner reports, here and again two weeks later.
    "1008c": FloorPlan(
        report={2: FILM, 13: FILM},
        eyes=(2,),
        film=FilmOf(
            Owner.SCHOOL, "Yarrow's athletic office, in writing on 7 October; for observers only"
        ),
    ),
    "1010b": FloorPlan(
        report={8: FILM, 15: MEMORY},
        live={8: FILM},
        eyes=(8, 22),
        film=FilmOf(Owner.OWN, "Both teams and the site manager agreed before the game"),
    ),
    "1013a": FloorPlan(
        report={2: FILM, 9: FILM, 16: LIVE},
        live={2: FILM},
        eyes=(2, 9),
        film=FilmOf(
            Owner.ASSOCIATION, "The association's consent forms of this season, both teams"
        ),
    ),
    "1013b": FloorPlan(
        report={10: LIVE, 14: FILM},
        eyes=(14,),
        film=FilmOf(Owner.OWN, "Filmed from the stand; both coaches were asked and agreed"),
    ),
    "1023a": FloorPlan(
        report={8: FILM, 12: FILM},
        live={12: FILM},
        eyes=(8, 12),
        film=FilmOf(Owner.SCHOOL, "The home team's film, lent by the school until Sunday"),
    ),
    "1029b": FloorPlan(
        report={3: LIVE, 8: FILM},
        live={22: MEMORY},
        eyes=(8,),
        film=FilmOf(Owner.ASSOCIATION, "Filmed for training night; both schools agreed by letter"),
    ),
    "1113b": FloorPlan(report={10: LIVE}, live={10: LIVE}),
    "1119a": FloorPlan(report={10: MEMORY}),
    "1120b": FloorPlan(
        report={4: FILM, 8: FILM},
        live={4: FILM},
        eyes=(8,),
        film=FilmOf(Owner.SCHOOL, "The school's own recording, lent for this observation alone"),
    ),
    "1120c": FloorPlan(report={12: LIVE}, live={12: LIVE}),
    "1124b": FloorPlan(
        report={6: MEMORY, 9: FILM},
        live={9: LIVE},
        eyes=(9,),
        lost=frozenset({9}),
        film=FilmOf(Owner.OWN, "Filmed with the leave of the gym's manager and of both teams"),
    ),
}
"""Of crews of two and of three; most are released, some wait for that, one is in work."""


def schedule_floor(demo: Demo, game: str, log: LogPlan, now: datetime) -> None:
    """Put what is drawn and marked of a game that is played now on the timeline."""
    plan = FLOORS.get(game)
    if plan is None:
        return
    over = now + 2 * QUARTERS * log.whistles * MINUTE + 2 * MINUTE
    if plan.film is not None:
        said = partial(demo.state_film, game, plan.film.owner, plan.film.permission)
        demo.timeline.add(over, said)
    for number, instant, source in plan.drawings():
        lost = number in plan.lost
        draw = partial(demo.draw, game, number, instant, source, lost)
        if source is LIVE:
            demo.timeline.add(now + (2 * number + 1) * MINUTE, draw)
        else:
            over += PER_DRAWING
            demo.timeline.add(over, draw)
    for number in plan.eyes:
        over += PER_DRAWING
        demo.timeline.add(over, partial(demo.mark_eyes, game, number, number in plan.lost))
