"""An association of 300 officials and 20 observers with as many evaluations as asked for.

Something of every kind that pages show is made through the services. All else are copies of the
first letter made, inserted as rows: a thousand evaluations and as many games a season, the season
of the tests being the last one; each observation has a log of twenty dead balls. People are the
same whatever the size. The mechanics code was corrected before the first game, so that no log is
judged by two editions: what that costs is measured where corrections are tested.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import cycle
from typing import Any, Final

from django.contrib.auth.hashers import make_password
from django.db.models import Model

from accounts.models import Association, Membership, Role, User
from evaluations.core.games import POSITIONS, Kind
from evaluations.core.mechanics.court import Side
from evaluations.models import (
    CrewMember,
    Criterion,
    DeadBall,
    DeadBallLog,
    Evaluation,
    FindingCount,
    Game,
    NextStep,
    Observation,
    Rating,
    Release,
    ReleaseEvent,
    Rubric,
    Season,
    Strength,
)
from evaluations.queries.codes import mechanics_code
from evaluations.services.answers import acknowledge, ask_review, assign_reviewer, respond
from evaluations.services.code_corrections import put_in_force, start_correction
from evaluations.services.codes import copy_code
from evaluations.services.observations import assign_observer
from evaluations.services.releases import release_crew
from evaluations.services.rubrics import approve, copy_rubric, propose
from evaluations.services.seasons import enter_season
from tests.factories.accounts import Cast, make_cast, terms
from tests.factories.corrections import edited, with_first_row
from tests.factories.evaluations import (
    GAME_AT,
    SEASON_END,
    SEASON_START,
    game_with,
    open_observation,
    published_rubric,
    season_of,
)
from tests.factories.logs import lead_calls, log_with
from tests.factories.releases import OPEN_AT, RELEASED_AT, STRONG, hand_in, write

OFFICIALS: Final = 300
OBSERVERS: Final = 20
A_SEASON: Final = 1_000
NOW: Final = OPEN_AT
DAY: Final = timedelta(days=1)
YEAR: Final = 52 * 7 * DAY
CORRECTED_AT: Final = GAME_AT - 20 * 365 * DAY
DEAD_BALLS: Final = 20
BATCH: Final = 100
"""Games whose rows are inserted at once."""


@dataclass(frozen=True)
class Shelf:
    """A season with what is copied into it."""

    season: Season
    rubric: Rubric
    criteria: dict[str, Criterion]
    officials: list[Membership]
    age: timedelta

    @property
    def begins_at(self) -> datetime:
        return GAME_AT - 60 * DAY - self.age


def build(evaluations: int) -> Cast:
    """Fill an empty database. The cast's people have something of every kind."""
    cast = make_cast()
    association = cast.association
    season = season_of(association)
    rubric = published_rubric(season, cast.admin)
    editions_of_every_kind(cast, rubric)
    first = crews_of_every_kind(cast, season, rubric)
    log = logs_in_work(cast, season, rubric)
    copy_rubric(source=rubric, season=season, by=cast.admin, now=NOW)
    left = evaluations - Evaluation.objects.count()
    officials = more_people(association, Role.OFFICIAL, OFFICIALS - 2)
    observers = [cast.observer, cast.other_observer]
    observers += more_people(association, Role.OBSERVER, OBSERVERS - 2)
    # The cast's letters of this season are as many at any size.
    shelves = [shelf(season, rubric, officials, age=0)]
    everybody = [cast.official, cast.other_official, *officials]
    for age in range(1, -(-left // A_SEASON)):
        earlier, its_rubric = earlier_season(cast, rubric, age)
        shelves.append(shelf(earlier, its_rubric, everybody, age))
    copier = Copier(first, log, observers)
    for place in shelves:
        games = min(left, A_SEASON) // 2
        copier.fill(place, games)
        left -= 2 * games
    return cast


def crews_of_every_kind(cast: Cast, season: Season, rubric: Rubric) -> Release:
    """Letters read, answered and under review, a crew that waits, forms in work, a game to come."""
    crew = (cast.official, cast.other_official)
    letters = []
    for days in range(4):
        game = game_with(season, *crew, plays_at=GAME_AT - days * DAY)
        observation = open_observation(game, cast.other_observer, rubric)
        for evaluation in observation.evaluations.all():
            hand_in(evaluation)
        letters += release_crew(observation=observation, by=cast.admin, now=RELEASED_AT)
    own = [letter for letter in letters if letter.evaluation.official == cast.official]
    acknowledge(release=own[0], by=cast.official, now=NOW)
    respond(release=own[1], text="", lines={STRONG: "Not so."}, by=cast.official, now=NOW)
    review = ask_review(release=own[1], reason="Dead ball 7.", by=cast.official, now=NOW)
    assign_reviewer(review=review, reviewer=cast.observer, by=cast.admin, now=NOW)
    waits = open_observation(game_with(season, *crew), cast.other_observer, rubric)
    for evaluation in waits.evaluations.all():
        hand_in(evaluation)
    in_work = open_observation(game_with(season, *crew), cast.observer, rubric)
    for evaluation in in_work.evaluations.all():
        write(evaluation)
    coming = game_with(season, *crew, plays_at=NOW + 7 * DAY)
    assign_observer(game=coming, observer=cast.observer, kind=Kind.SCORED, by=cast.admin, now=NOW)
    return letters[0]


def editions_of_every_kind(cast: Cast, rubric: Rubric) -> None:
    """The code for crews of two: one in use, its correction in force, and a copy in work."""
    code = rubric.code_of_two
    assert code is not None
    draft = start_correction(code=code, by=cast.admin, now=CORRECTED_AT)
    draft = edited(draft, with_first_row(mechanics_code(draft), Side.OPPOSITE))
    put_in_force(
        correction=draft,
        version=draft.version,
        reason="The manual has the other side.",
        by=cast.admin,
        now=CORRECTED_AT,
    )
    copy_code(source=code, by=cast.admin, now=CORRECTED_AT)


def logs_in_work(cast: Cast, season: Season, rubric: Rubric) -> DeadBallLog:
    """Two opened observations of the cast's observer: one without a log, one with."""
    crew = (cast.official, cast.other_official)
    open_observation(game_with(season, *crew), cast.observer, rubric)
    logged = open_observation(game_with(season, *crew), cast.observer, rubric)
    return log_with(logged, [lead_calls(number % 4 > 0) for number in range(DEAD_BALLS)])


def more_people(association: Association, role: Role, count: int) -> list[Membership]:
    names = [f"{role.value} number {number}" for number in range(count)]
    emails = [f"{name.replace(' ', '.')}@example.org" for name in names]
    users = User.objects.bulk_create(
        User(email=email, name=name, password=make_password(None))
        for email, name in zip(emails, names, strict=True)
    )
    people = [Membership(association=association, user=user) for user in users]
    for person in people:
        person.set_terms(terms(role))
    return Membership.objects.bulk_create(people)


def earlier_season(cast: Cast, source: Rubric, age: int) -> tuple[Season, Rubric]:
    """The season `age` years earlier, with a published rubric."""
    started_at = GAME_AT - 90 * DAY - age * YEAR
    season = enter_season(
        association=cast.association,
        name=f"{SEASON_START.year - age}–{SEASON_END.year - age - 2000}",
        starts_on=SEASON_START.replace(year=SEASON_START.year - age),
        ends_on=SEASON_END.replace(year=SEASON_END.year - age),
        by=cast.admin,
        now=started_at,
    )
    draft = copy_rubric(source=source, season=season, by=cast.admin, now=started_at)
    proposed = propose(rubric=draft, version=draft.version, by=cast.admin, now=started_at)
    by = cast.second_admin
    return season, approve(rubric=proposed, version=proposed.version, by=by, now=started_at)


def shelf(season: Season, rubric: Rubric, officials: list[Membership], age: int) -> Shelf:
    criteria = {c.key: c for c in Criterion.objects.filter(area__rubric=rubric)}
    return Shelf(season, rubric, criteria, officials, age * YEAR)


class Copier:
    """Copies a released evaluation, with all its rows, into crews of two of many games, and a log
    into each observation."""

    def __init__(self, first: Release, log: DeadBallLog, observers: Sequence[Membership]) -> None:
        evaluation = first.evaluation
        self.log = log
        self.logged: dict[type[Model], list[Model]] = {
            DeadBall: list(log.dead_balls.all()),
            FindingCount: list(log.counts.all()),
        }
        self.first = Release.objects.get(pk=first.pk)
        self.rows: dict[type[Model], list[Model]] = {
            Rating: list(evaluation.ratings.select_related("criterion")),
            Strength: list(evaluation.strengths.select_related("criterion")),
            NextStep: list(evaluation.next_steps.select_related("criterion")),
        }
        self.observers = cycle(observers)
        self.made = 0

    def fill(self, place: Shelf, games: int) -> None:
        """Add observed games to a season, and as many that nobody watched."""
        crews = pairs(place.officials)
        for begin in range(0, games, BATCH):
            count = min(BATCH, games - begin)
            watched, unwatched = self._games(place, crews, count), self._games(place, crews, count)
            assert len(watched) == len(unwatched)
            self._evaluations(place, watched)

    def _games(
        self, place: Shelf, crews: Iterator[tuple[Membership, Membership]], count: int
    ) -> list[Game]:
        games = Game.objects.bulk_create(
            Game(
                season=place.season,
                plays_at=place.begins_at + (number % 50) * DAY,
                level_of_play="Varsity",
                home=f"Home {number}",
                visitors=f"Visitors {number}",
                site="Harbor Gym",
            )
            for number in range(count)
        )
        CrewMember.objects.bulk_create(
            CrewMember(game=game, official=official, position=position)
            for game, crew in zip(games, crews, strict=False)
            for official, position in zip(crew, POSITIONS[2], strict=True)
        )
        return games

    def _evaluations(self, place: Shelf, games: list[Game]) -> None:
        observations = Observation.objects.bulk_create(
            Observation(
                game=game,
                observer=next(self.observers),
                rubric=place.rubric,
                assigned_at=game.plays_at - 5 * DAY,
                opened_at=game.plays_at,
                due_at=game.plays_at + 2 * DAY,
                talk=Observation.Talk.HELD,
            )
            for game in games
        )
        evaluations = Evaluation.objects.bulk_create(
            Evaluation(
                observation=observation,
                official=member.official,
                position=member.position,
                state=Evaluation.Stage.RELEASED,
                version=5,
                submitted_at=observation.due_at,
                summary=self.first.evaluation.summary,
            )
            for observation in observations
            for member in observation.game.crew.select_related("official")
        )
        for model, rows in self.rows.items():
            model._default_manager.bulk_create(
                copied(row, evaluation, place.criteria)
                for evaluation in evaluations
                for row in rows
            )
        self._logs(observations)
        self._releases(evaluations)

    def _logs(self, observations: list[Observation]) -> None:
        logs = DeadBallLog.objects.bulk_create(
            DeadBallLog(observation=one, began_at=one.game.plays_at, ended_at=one.due_at)
            for one in observations
        )
        for model, rows in self.logged.items():
            model._default_manager.bulk_create(
                model(log=log, **values_of(row, "log", "client_id")) for log in logs for row in rows
            )

    def _releases(self, evaluations: list[Evaluation]) -> None:
        """Their letters, of which one in ten is not read yet."""
        releases = Release.objects.bulk_create(self._release(e) for e in evaluations)
        ReleaseEvent.objects.bulk_create(
            ReleaseEvent(
                release=release,
                kind=ReleaseEvent.Kind.ACKNOWLEDGED,
                by=release.evaluation.official,
                at=release.opens_at + DAY,
            )
            for number, release in enumerate(releases)
            if number % 10
        )

    def _release(self, evaluation: Evaluation) -> Release:
        self.made += 1
        first, played_at = self.first, evaluation.observation.game.plays_at
        game = first.snapshot["game"] | {"played_on": played_at.date().isoformat()}
        return Release(
            evaluation=evaluation,
            serial=1,
            snapshot=first.snapshot | {"game": game},
            content=first.content,
            pdf=first.pdf,
            sha256=first.sha256,
            code=f"COPY-{self.made:08}",
            total=first.total,
            band=first.band,
            released_by=first.released_by,
            released_at=played_at + DAY,
            opens_at=played_at + DAY,
            respond_until=(played_at + 14 * DAY).date(),
        )


def pairs(officials: Sequence[Membership]) -> Iterator[tuple[Membership, Membership]]:
    """Crews of two, everybody in turn."""
    in_turn = cycle(officials)
    while True:
        yield next(in_turn), next(in_turn)


def copied(row: Model, evaluation: Evaluation, criteria: dict[str, Criterion]) -> Model:
    """The same row, of another evaluation and its rubric."""
    key = row.criterion.key  # type: ignore[attr-defined]
    values = values_of(row, "evaluation", "criterion")
    return type(row)(evaluation=evaluation, criterion=criteria[key], **values)


def values_of(row: Model, *without: str) -> dict[str, Any]:
    """A row's values by field, but for its key and what is left out."""
    return {
        field.attname: getattr(row, field.attname)
        for field in row._meta.concrete_fields
        if field.name not in ("id", *without)
    }
