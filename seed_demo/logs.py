"""Which games have a dead-ball log, how each is kept, and what it holds for the forms."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from random import Random
from typing import Final

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.counts import Count, suggested
from evaluations.core.mechanics.engine import Finding
from evaluations.core.mechanics.facts import Kept, Source
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.mechanics.zones import Seat
from evaluations.core.rubric import RubricSpec
from evaluations.queries.logs import JudgedLog, counted
from seed_demo.whistles import FACES, PLACE, SWITCH, Levels, Scene

CALLER_LEAD: Final = "caller_lead_opposite"


@dataclass(frozen=True)
class LogPlan:
    """`whistles` of each quarter; `scenes` by the dead ball's number. `shown` has the levels that
    an official shows in this game, by criterion, whatever is usual.
    """

    whistles: int
    kept: Kept = Kept.EVERY_FOUL
    every_nth: int | None = None
    source: Source = Source.LIVE
    seat: Seat = Seat.TABLE
    agreed: frozenset[str] = frozenset()
    focus: tuple[str, ...] = ()
    scenes: Mapping[int, Scene] = field(default_factory=dict)
    shown: Mapping[str, Mapping[str, int]] = field(default_factory=dict)
    ended: bool = True


LONG_SWITCH: Final = Scene(long_switch_missed=True)
THROUGH: Final = Scene(through=True)
OPTION: Final = Scene(option=True)
GOES: Final[Mapping[str, int]] = {SWITCH: 5}
GOES_RIGHT: Final[Mapping[str, int]] = {SWITCH: 5, PLACE: 5}
"""Switches every time; ends in the code's place besides."""

LOGS: Final[Mapping[str, LogPlan]] = {
    "1002a": LogPlan(
        6,
        focus=("route_around", "full_stop"),
        shown={"wierzba": GOES, "castellano": GOES_RIGHT},
    ),
    "1006b": LogPlan(5, seat=Seat.OPPOSITE),
    "1008b": LogPlan(5),
    "1008c": LogPlan(
        4,
        kept=Kept.EVERY_NTH,
        every_nth=2,
        shown={"haddadin": GOES, "brandvold": GOES_RIGHT},
    ),
    "1010b": LogPlan(
        6,
        seat=Seat.OPPOSITE,
        shown={"arrizabal": GOES, "quintero": {**GOES_RIGHT, FACES: 3}},
    ),
    "1013a": LogPlan(
        5, focus=("eyes_kept",), shown={"raghunath": GOES, "hvammdal": {**GOES_RIGHT, FACES: 2}}
    ),
    "1013b": LogPlan(6, agreed=frozenset({CALLER_LEAD}), scenes={5: OPTION, 18: OPTION}),
    "1023a": LogPlan(7, source=Source.FILM),
    "1024a": LogPlan(6, scenes={9: LONG_SWITCH, 17: LONG_SWITCH}),
    "1029b": LogPlan(6, seat=Seat.OPPOSITE),
    "1029c": LogPlan(6, scenes={4: THROUGH, 13: THROUGH, 20: THROUGH}),
    "1030b": LogPlan(5),
    "1110b": LogPlan(5, kept=Kept.EVERY_NTH, every_nth=3, focus=("eyes_kept", "moved_opposite")),
    "1113b": LogPlan(6, seat=Seat.RIGHT_END),
    "1113c": LogPlan(6, scenes={14: LONG_SWITCH}),
    "1119a": LogPlan(3, kept=Kept.STRIKING, scenes={6: LONG_SWITCH}),
    "1120b": LogPlan(6, source=Source.FILM),
    "1120c": LogPlan(5, seat=Seat.LEFT_END),
    "1121b": LogPlan(7, scenes={11: LONG_SWITCH}),
    "1124b": LogPlan(4, focus=("eyes_kept",), scenes={1: LONG_SWITCH}, ended=False),
}
"""Twenty observations; the last one's log is still being looked through."""


@dataclass(frozen=True)
class Seen:
    """What a log holds about one official and criterion; dead balls by number."""

    met: tuple[int, ...]
    missed: tuple[int, ...]
    count: Count

    def number(self, level: int, chance: Random) -> int | None:
        """A dead ball that shows why somebody rates it so."""
        fitting = self.met if level > 3 else self.missed
        return chance.choice(fitting) if fitting else None


def seen_of(spec: RubricSpec, log: JudgedLog, position: CrewPosition) -> dict[str, Seen]:
    """What a log holds about one of the crew, by criterion."""
    counts = counted(spec, log, position)
    rules = {criterion.key: criterion.findings for criterion in spec.criteria}
    return {
        key: Seen(_met(log.findings, position, rules[key], count), count.dead_balls, count)
        for key, count in counts.items()
    }


def _met(
    findings: Iterable[Finding], position: CrewPosition, rules: tuple[str, ...], count: Count
) -> tuple[int, ...]:
    met = (
        f.dead_ball
        for f in findings
        if f.member is position and f.rule in rules and f.verdict is Verdict.MET
    )
    return tuple(n for n in dict.fromkeys(met) if n not in count.dead_balls)


KEEPS_OWN: Final = 0.15
"""How often an observer rates otherwise than the log suggests, and says why."""


def as_counted(
    spec: RubricSpec, levels: Levels, seen: Mapping[str, Seen], chance: Random
) -> tuple[dict[str, int | None], frozenset[str]]:
    """The levels after a look at the log, and the criteria rated otherwise than it suggests."""
    rated: dict[str, int | None] = {}
    own = set()
    for key, level in levels.items():
        fits = suggested(spec, seen[key].count) if key in seen else None
        if level is None or fits is None or fits.lowest <= level <= fits.highest:
            rated[key] = level
        elif abs(level - fits.lowest) == 1 and chance.random() < KEEPS_OWN:
            rated[key] = level
            own.add(key)
        else:
            rated[key] = min(max(level, fits.lowest), fits.highest)
    return rated, frozenset(own)
