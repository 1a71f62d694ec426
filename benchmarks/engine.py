"""How fast logs become findings: a season of 5,000 games with 30 dead balls each.

    python -m benchmarks.engine

The dead balls are different from each other: every situation of a crew of two, with facts seen
and not seen in turn. Times are processor time on one core, the least of several rounds over a
tenth of the season, so that a busy machine doesn't count; the run fails when a season would take
10 seconds or more.

The same rules then work through Django's ORM, dead ball by dead ball: the facts of each are
fetched from a table, and so is the first row of the code that matches them, filtered in the
database; what the rules do with both is the same code. The tables are this module's own, in an
SQLite database in memory, where a query costs least. Both ways have to come to the same findings.
The run fails when the ORM takes less than 10 times as long as reading the logs from JSON and
judging them, which is the same work.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import cycle, islice
from time import process_time
from typing import ClassVar

from django.db import connection, models
from django.db.models import Q

from evaluations.core.documents import from_document, to_document
from evaluations.core.games import CrewPosition
from evaluations.core.log_document import (
    dead_ball_document,
    log_document,
    read_dead_ball,
    read_log,
)
from evaluations.core.mechanics.code import MechanicsCode, Row, situations
from evaluations.core.mechanics.court import Position, Side
from evaluations.core.mechanics.engine import Engine, Finding
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
from evaluations.core.mechanics.table import Case, CodeTable, case_of
from evaluations.services.shipped_codes import shipped_code
from tests.databases import as_default

GAMES = 5_000
DEAD_BALLS = 30
MOST_SECONDS = 10
PART = 10
ROUNDS = 5
GAMES_BY_ORM = 20
LEAST_RATIO = 10

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


class CodeRow(models.Model):
    """A row of a code. Empty matches all; whistles and resumptions stand between commas."""

    place = models.PositiveSmallIntegerField(primary_key=True)
    whistles = models.CharField(max_length=200)
    resumes = models.CharField(max_length=200)
    court = models.CharField(max_length=10)
    flip = models.BooleanField(null=True)
    caller = models.CharField(max_length=10)
    side = models.CharField(max_length=10)
    content = models.JSONField()

    objects: ClassVar[models.Manager[CodeRow]] = models.Manager()

    class Meta:
        app_label = "benchmarks"
        managed = False

    def __str__(self) -> str:
        return f"row {self.place}"


class LoggedBall(models.Model):
    """A dead ball of a game, with its facts as the site keeps them."""

    game = models.PositiveIntegerField()
    number = models.PositiveSmallIntegerField()
    facts = models.JSONField()

    objects: ClassVar[models.Manager[LoggedBall]] = models.Manager()

    class Meta:
        app_label = "benchmarks"
        managed = False
        constraints = [models.UniqueConstraint(fields=["game", "number"], name="number_once")]

    def __str__(self) -> str:
        return f"{self.game}: {self.number}"


def store(code: MechanicsCode, logs: list[Log]) -> None:
    """Make both tables and fill them."""
    with connection.schema_editor() as editor:
        editor.create_model(CodeRow)
        editor.create_model(LoggedBall)
    CodeRow.objects.bulk_create(
        CodeRow(
            place=place,
            whistles="".join(f",{whistle}," for whistle in row.whistles),
            resumes="".join(f",{way}," for way in row.resumes),
            court=row.court or "",
            flip=row.flip,
            caller=row.caller or "",
            side=row.side or "",
            content=to_document(row),
        )
        for place, row in enumerate(code.rows)
    )
    LoggedBall.objects.bulk_create(
        LoggedBall(game=game, number=ball.number, facts=dead_ball_document(ball))
        for game, log in enumerate(logs)
        for ball in log.dead_balls
    )


class TableByOrm(CodeTable):
    """Asks the database for the row of each dead ball. Only for callers who were fully seen."""

    def cases(self, ball: DeadBall) -> tuple[Case, ...]:
        assert ball.caller is not None and ball.flip is not None
        stood = ball.before[ball.caller]
        assert stood.position is not None
        row = (
            CodeRow.objects.filter(
                Q(whistles="") | Q(whistles__contains=f",{ball.whistle},"),
                Q(resumes="") | Q(resumes__contains=f",{ball.resumes},"),
                Q(flip=None) | Q(flip=ball.flip),
                court__in=("", ball.court),
                caller__in=("", stood.position),
                side__in=("", stood.side),
            )
            .order_by("place")
            .first()
        )
        if row is None:
            return ()
        (partner,) = set(self.members) - {ball.caller}
        (other,) = {Position.LEAD, Position.TRAIL} - {stood.position}
        standing = {ball.caller: stood.position, partner: other}
        code_row = from_document(Row, row.content)
        return (case_of(code_row, row.place, ball.flip, ball.caller, standing),)


def found_by_orm(engine: Engine, number: int) -> Iterator[tuple[Finding, ...]]:
    """The findings of so many games, with both queries for every dead ball."""
    for game in range(number):
        rows = [LoggedBall.objects.get(game=game, number=n + 1) for n in range(DEAD_BALLS)]
        yield engine.findings(Log(2, tuple(read_dead_ball(row.facts, row.number) for row in rows)))


def seconds_by_orm(code: MechanicsCode, logs: list[Log]) -> float:
    """The least time of a dead ball by the ORM, after both ways came to the same findings."""
    by_orm = Engine(code, 2)
    by_orm.table = TableByOrm(code, 2)
    expected = [Engine(code, 2).findings(log) for log in logs]
    times = []
    with as_default("sqlite://:memory:"):
        store(code, logs)
        for _round in range(ROUNDS):
            start = process_time()
            found = list(found_by_orm(by_orm, len(logs)))
            times.append(process_time() - start)
            if found != expected:
                raise SystemExit("the two ways come to different findings")
    return min(times) / (len(logs) * DEAD_BALLS)


def seconds_from_json(code: MechanicsCode, logs: list[Log]) -> float:
    """The least time of a dead ball when the logs are read from JSON first."""
    documents = [json.dumps(log_document(log)).encode() for log in logs]
    times = []
    for _round in range(ROUNDS):
        start = process_time()
        engine = Engine(code, 2)
        for document in documents:
            engine.findings(read_log(document))
        times.append(process_time() - start)
    return min(times) / (len(logs) * DEAD_BALLS)


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
    judged = best / (len(logs) * DEAD_BALLS)
    read, by_orm = seconds_from_json(code, logs), seconds_by_orm(code, logs[:GAMES_BY_ORM])
    ratio = by_orm / read
    print(
        f"a dead ball: {judged * 1e6:.0f} µs judged, {read * 1e6:.0f} µs read from JSON and judged"
    )
    print(f"{by_orm * 1e6:.0f} µs through the ORM, {ratio:.0f} times as long as from JSON")
    if season >= MOST_SECONDS:
        raise SystemExit(f"a season takes {season:.1f} s, not below {MOST_SECONDS} s")
    if ratio < LEAST_RATIO:
        raise SystemExit(f"the ORM takes {ratio:.1f} times as long, not {LEAST_RATIO} times")


if __name__ == "__main__":
    main()
