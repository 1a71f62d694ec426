"""A crew's evaluations side by side, with the log that they share."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from accounts.models import Membership
from evaluations.core.counting import count_line
from evaluations.core.games import CrewPosition
from evaluations.core.mechanics import words
from evaluations.core.rubric import RubricWording
from evaluations.core.voice import Voice
from evaluations.models import CrewMember, DeadBall, DeadBallLog, Evaluation, Observation
from evaluations.queries.evaluations import evaluations_for
from evaluations.queries.log_pages import crew_of, is_writable
from evaluations.queries.logs import dead_ball_value, judged, log_of
from evaluations.queries.misses import Miss, miss_at, misses_in
from evaluations.queries.observations import names_in
from evaluations.queries.rating_sheets import RatingSheet, rating_sheets


@dataclass(frozen=True, slots=True)
class Column:
    """One of the crew. `evaluation` None: the reader may not read the form (yet)."""

    member: CrewMember
    evaluation: Evaluation | None


@dataclass(frozen=True, slots=True)
class Cell:
    """What is said of one official by one criterion. `level` None: not seen, or not answered.

    `counted` is the log's count in words ("": none), `reason` why the level departs from it.
    """

    member: CrewMember
    level: int | None
    word: str
    not_seen: bool
    counted: str
    reason: str


@dataclass(frozen=True, slots=True)
class CriterionRow:
    label: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class AreaRows:
    label: str
    rows: tuple[CriterionRow, ...]


@dataclass(frozen=True, slots=True)
class ShownMiss:
    """A miss in words. `whose` and `by_code` None: nobody's in particular."""

    rule: str
    duty: str
    whose: CrewMember | None
    by_code: CrewMember | None
    moved: bool
    reason: str
    movable: bool


@dataclass(frozen=True, slots=True)
class MissedBall:
    """A dead ball with a miss. `called` says what was called and how play resumes."""

    number: int
    period: int | None
    clock: str
    called: str
    misses: tuple[ShownMiss, ...]


@dataclass(frozen=True, slots=True)
class SharedLog:
    """The log as far as it matters here: dead balls with a miss, each miss once.

    `judged`: a code holds for the crew. `belonging` counts the misses by whose they are, nobody's
    last. `names` are words in the reasons that look like a full name.
    """

    log: DeadBallLog
    judged: bool
    dead_balls: int
    balls: tuple[MissedBall, ...]
    belonging: tuple[tuple[CrewMember | None, int], ...]
    names: tuple[str, ...]

    @property
    def misses(self) -> int:
        return sum(number for _member, number in self.belonging)


@dataclass(frozen=True, slots=True)
class CrewView:
    """`mine`: the reader is the observer; `open`: whose a miss was can still be changed."""

    columns: tuple[Column, ...]
    areas: tuple[AreaRows, ...]
    log: SharedLog | None
    mine: bool
    open: bool

    @property
    def readable(self) -> int:
        """How many of the forms the reader may read."""
        return sum(column.evaluation is not None for column in self.columns)


def crew_view(observation: Observation, reader: Membership, voice: Voice) -> CrewView:
    """What the reader may see of a crew, in a bounded number of queries.

    An admin reads no form that was never submitted.
    """
    crew = crew_of(observation)
    readable = evaluations_for(reader).filter(observation=observation)
    forms = {form.position: form for form in readable}
    columns = tuple(Column(member, forms.get(member.position)) for member in crew)
    mine = observation.observer_id == reader.pk
    return CrewView(
        columns=columns,
        areas=_areas(columns, voice),
        log=_shared_log(observation, crew, voice),
        mine=mine,
        open=mine and is_writable(observation),
    )


def _areas(columns: tuple[Column, ...], voice: Voice) -> tuple[AreaRows, ...]:
    there = [(c.member, c.evaluation) for c in columns if c.evaluation is not None]
    sheets = rating_sheets([form for _member, form in there], voice.language)
    if not sheets:
        return ()
    read = [(member, sheet) for (member, _form), sheet in zip(there, sheets, strict=True)]
    spec, wording = sheets[0].spec, sheets[0].wording
    return tuple(
        AreaRows(
            wording.areas[area.key],
            tuple(
                CriterionRow(
                    wording.criteria[criterion.key].label,
                    tuple(_cell(member, sheet, criterion.key, voice) for member, sheet in read),
                )
                for criterion in area.criteria
            ),
        )
        for area in spec.areas
    )


def _cell(member: CrewMember, sheet: RatingSheet, criterion: str, voice: Voice) -> Cell:
    stored = sheet.stored.get(criterion)
    level = stored.level if stored else None
    return Cell(
        member=member,
        level=level,
        word=_level_word(sheet.wording, level),
        not_seen=stored is not None and stored.not_seen,
        counted=_counted(sheet, criterion, voice),
        reason=stored.reason.strip() if stored else "",
    )


def _level_word(wording: RubricWording, level: int | None) -> str:
    return "" if level is None else wording.level_words[level - 1]


def _counted(sheet: RatingSheet, criterion: str, voice: Voice) -> str:
    found = sheet.counts.get(criterion)
    line = None if found is None else count_line(sheet.spec, sheet.wording, found, voice)
    return "" if line is None else str(line)


def _shared_log(
    observation: Observation, crew: Sequence[CrewMember], voice: Voice
) -> SharedLog | None:
    log = log_of(observation)
    if log is None:
        return None
    judged_log = judged(log)
    found = misses_in(judged_log)
    by_position = {CrewPosition(member.position): member for member in crew}
    belonging = Counter(miss.whose for miss in found)
    return SharedLog(
        log=log,
        judged=judged_log.code is not None,
        dead_balls=len(judged_log.rows),
        balls=tuple(
            _ball(row, [shown_miss(miss, by_position, voice) for miss in misses], voice)
            for row, misses in groupby(found, key=lambda miss: miss.row)
        ),
        belonging=tuple(
            (None if whose is None else by_position.get(whose), belonging[whose])
            for whose in (*by_position, None)
            if belonging[whose]
        ),
        names=names_in(observation, *(miss.moved.reason for miss in found if miss.moved)),
    )


def shown_miss(miss: Miss, crew: Mapping[CrewPosition, CrewMember], voice: Voice) -> ShownMiss:
    """A miss in words, its people by position."""
    return ShownMiss(
        rule=miss.rule,
        duty=words.duty(voice, miss.finding),
        whose=None if miss.whose is None else crew.get(miss.whose),
        by_code=None if miss.by_code is None else crew.get(miss.by_code),
        moved=miss.moved is not None,
        reason=miss.moved.reason if miss.moved else "",
        movable=miss.movable,
    )


@dataclass(frozen=True, slots=True)
class MoveSheet:
    """A miss that the observer may move, and `others` of the crew to whom."""

    log: DeadBallLog
    ball: MissedBall
    miss: ShownMiss
    others: tuple[CrewMember, ...]


def move_sheet(observation: Observation, number: int, rule: str, voice: Voice) -> MoveSheet | None:
    """What the page of one miss shows; None where there is no such miss, or it can't be moved."""
    log = log_of(observation)
    miss = None if log is None else miss_at(log, number, rule)
    if log is None or miss is None:
        return None
    crew = {CrewPosition(member.position): member for member in crew_of(observation)}
    taken = {miss.whose, miss.by_code}
    shown = shown_miss(miss, crew, voice)
    others = tuple(member for position, member in crew.items() if position not in taken)
    return MoveSheet(log, _ball(miss.row, [shown], voice), shown, others)


def _ball(row: DeadBall, misses: list[ShownMiss], voice: Voice) -> MissedBall:
    ball = dead_ball_value(row)
    called = [
        *([] if ball.whistle is None else [words.whistle(voice, ball.whistle)]),
        *([] if ball.resumes is None else [words.resumes(voice, ball.resumes)]),
    ]
    return MissedBall(row.number, ball.period, ball.clock, ", ".join(called), tuple(misses))
