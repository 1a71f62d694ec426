"""How fast logs become findings: a season of 5,000 games with 30 dead balls each.

    python -m benchmarks.engine

The dead balls are different from each other: every situation of a crew of two, with facts seen
and not seen in turn. Times are processor time on one core, the least of several rounds over a
tenth of the season, so that a busy machine doesn't count; the run fails when a season would take
10 seconds or more.
"""

from __future__ import annotations

from itertools import cycle, islice
from time import process_time

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.code import situations
from evaluations.core.mechanics.court import Position, Side
from evaluations.core.mechanics.engine import Engine
from evaluations.core.mechanics.facts import (
    DeadBall,
    Eyes,
    Log,
    Moment,
    NumberShown,
    Report,
    Route,
    Stood,
    Watching,
)
from evaluations.services.shipped_codes import shipped_code

GAMES = 5_000
DEAD_BALLS = 30
MOST_SECONDS = 10
PART = 10
ROUNDS = 5

REFEREE, UMPIRE = CrewPosition.REFEREE, CrewPosition.UMPIRE
REPORTS = (
    Report(True, True, Route.AROUND, None, True, None, "24", NumberShown.AT_ONCE, True, True, True),
    Report(signal_at_spot=False, route=Route.THROUGH, ended_before_live=False),
    Report(),
)
EYES = (Eyes(kept=True), Eyes(kept=False, lost=Moment.REPORT), Eyes())
AFTER: tuple[dict[CrewPosition, Stood], ...] = (
    {REFEREE: Stood(Position.TRAIL, Side.TABLE), UMPIRE: Stood(Position.LEAD, Side.OPPOSITE)},
    {REFEREE: Stood(Position.LEAD, Side.TABLE), UMPIRE: Stood(Position.TRAIL, Side.TABLE)},
    {REFEREE: Stood(Position.TRAIL)},
    {},
)
WATCHING: tuple[dict[CrewPosition, Watching], ...] = (
    {UMPIRE: Watching(chased_ball=False, moved_opposite=True)},
    {},
)


def games(number: int) -> list[Log]:
    """Logs of a crew of two; a game's dead balls go on where the last game's ended."""
    facts = zip(
        cycle(situations(2)),
        cycle(AFTER),
        cycle(REPORTS),
        cycle(EYES),
        cycle(WATCHING),
        strict=False,
    )
    return [
        Log(
            2,
            tuple(
                DeadBall(
                    number=ball,
                    whistle=situation.whistle,
                    caller=REFEREE,
                    resumes=situation.resumes,
                    court=situation.court,
                    flip=situation.flip,
                    before={REFEREE: Stood(situation.caller, situation.side)},
                    after=after,
                    heated_bench=False,
                    report=report,
                    watching=watching,
                    eyes=eyes,
                )
                for ball, (situation, after, report, eyes, watching) in enumerate(
                    islice(facts, DEAD_BALLS), start=1
                )
            ),
        )
        for _game in range(number)
    ]


def main() -> None:
    logs = games(GAMES // PART)
    code = shipped_code("two_person_every_foul")
    times, found = [], 0
    for _round in range(ROUNDS):
        start = process_time()
        engine = Engine(code, 2)
        found = sum(len(engine.findings(log)) for log in logs)
        times.append(process_time() - start)
    best = min(times)
    season = best * PART
    print(f"{len(logs)} games of {DEAD_BALLS} dead balls: {found} findings in {best:.2f} s")
    print(f"{found / best:,.0f} findings a second; {GAMES} games in {season:.1f} s on one core")
    if season >= MOST_SECONDS:
        raise SystemExit(f"a season takes {season:.1f} s, not below {MOST_SECONDS} s")


if __name__ == "__main__":
    main()
