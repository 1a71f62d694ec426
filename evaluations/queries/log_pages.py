"""What the pages of a log show: its dead balls in words, its counts, the card for the talk."""

from __future__ import annotations

import hashlib
import json
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db.models import QuerySet

from accounts.models import Membership
from evaluations.core.counting import interval, met_of
from evaluations.core.games import CrewPosition
from evaluations.core.log_document import read_dead_ball
from evaluations.core.mechanics import words
from evaluations.core.mechanics.code import Needs
from evaluations.core.mechanics.counts import Count, count
from evaluations.core.mechanics.engine import Finding
from evaluations.core.mechanics.facts import DeadBall as DeadBallFacts
from evaluations.core.mechanics.facts import Kept
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.mechanics.rules import RULE_KEYS
from evaluations.core.mechanics.talk import Example, Point, TalkCard, talk_card
from evaluations.core.names import looks_like_full_name
from evaluations.core.telling import Told, tell
from evaluations.core.voice import Voice
from evaluations.models import CodeEdition, CrewMember, DeadBall, DeadBallLog, Observation
from evaluations.queries.codes import code_of, mechanics_code
from evaluations.queries.logs import dead_ball_value, judged, logs_for, rubric_of
from evaluations.queries.observations import IN_WORK, known_names


def own_logs(member: Membership) -> QuerySet[DeadBallLog]:
    """The logs that `member` keeps as an observer."""
    return logs_for(member).filter(observation__observer=member)


def is_writable(observation: Observation) -> bool:
    """Whether its log may be begun or changed: open, and a form is still to be handed in."""
    unfinished = observation.evaluations.filter(state__in=IN_WORK)
    return observation.closed_at is None and unfinished.exists()


def facts_mark(row: DeadBall) -> str:
    """Stands for the facts of a dead ball as they were read, to see whether they still are."""
    written = json.dumps(row.facts, sort_keys=True).encode()
    return hashlib.sha256(written).hexdigest()[:16]


def crew_of(observation: Observation) -> tuple[CrewMember, ...]:
    """The crew by position, with names."""
    return tuple(observation.game.crew.select_related("official__user"))


def names_of(observation: Observation) -> dict[CrewPosition, str]:
    """The crew's names by position."""
    return {CrewPosition(member.position): str(member.official) for member in crew_of(observation)}


def ball_facts(row: DeadBall) -> DeadBallFacts:
    """The facts of a row as they were logged, without what was moved since."""
    return read_dead_ball(row.facts, row.number)


def last_period(log: DeadBallLog) -> int | None:
    """The period of the last dead ball."""
    last = log.dead_balls.filter(removed_at__isnull=True).order_by("number").last()
    return None if last is None else ball_facts(last).period


def options_to_agree(observation: Observation, *, agreed: Iterable[str] = ()) -> tuple[str, ...]:
    """The keys of the options, in the code that holds, which a crew has to agree on before.

    Those that it has `agreed` on are among them, also where a corrected code has them no longer.
    """
    code = code_of(observation)
    rows = () if code is None else mechanics_code(code).rows
    options = (option for row in rows for option in row.options)
    asked = {option.key for option in options if Needs.AGREED in option.needs}
    return tuple(sorted(asked | set(agreed)))


@dataclass(frozen=True, slots=True)
class MovedMiss:
    """The observer's word on whose a miss was: by rule and position, with the reason."""

    rule: str
    whose: str
    reason: str


@dataclass(frozen=True, slots=True)
class BallRow:
    """A dead ball told in words; `name` are words of its note that look like a full name."""

    number: int
    period: int | None
    clock: str
    told: Told
    moved: tuple[MovedMiss, ...]
    note: str
    name: str


@dataclass(frozen=True, slots=True)
class TallyCell:
    """One official by one rule, such as "4 of 6"; `aside` holds what else there is to say."""

    figure: str
    not_judged: int
    by_option: int
    aside: str
    missed_at: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class TallyRow:
    """One rule: a cell for each of the crew, and where a miss was nobody's in particular."""

    rule: str
    of_crew: tuple[tuple[CrewMember, TallyCell | None], ...]
    nobodys: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class LogSheet:
    """A log with all that its page shows. `code` None: findings need one, and there is none."""

    log: DeadBallLog
    mine: bool
    writable: bool
    crew: tuple[CrewMember, ...]
    code: CodeEdition | None
    agreed: tuple[str, ...] | None
    focus: tuple[str, ...]
    rows: tuple[BallRow, ...]
    removed: tuple[BallRow, ...]
    tally: tuple[TallyRow, ...]

    @property
    def changeable(self) -> bool:
        return self.mine and self.writable

    @property
    def some_are_nobodys(self) -> bool:
        return any(row.nobodys for row in self.tally)


def log_sheet(log: DeadBallLog, asker: Membership, voice: Voice) -> LogSheet:
    """Read what the page shows to `asker`, in a bounded number of queries."""
    observation, mine = log.observation, log.observation.observer_id == asker.pk
    found = judged(log)
    crew = crew_of(observation)
    removed = log.dead_balls.filter(removed_at__isnull=False).prefetch_related("moved")
    agreed = None if log.agreed is None else tuple(words.option(voice, key) for key in log.agreed)
    return LogSheet(
        log=log,
        mine=mine,
        writable=is_writable(observation),
        crew=crew,
        code=found.code,
        agreed=agreed,
        focus=tuple(words.rule(voice, key) for key in log.focus),
        rows=tuple(_told(log, found.rows, found.findings, voice)),
        removed=tuple(_told(log, removed, (), voice)) if mine else (),
        tally=tuple(_tally(log, crew, found.findings, voice)),
    )


def _told(
    log: DeadBallLog, rows: Iterable[DeadBall], findings: Iterable[Finding], voice: Voice
) -> Iterable[BallRow]:
    by_number: dict[int, list[Finding]] = defaultdict(list)
    for finding in findings:
        by_number[finding.dead_ball].append(finding)
    crew, known = log.observation.game.crew_size, known_names(log.observation)
    for row in rows:
        ball = dead_ball_value(row)
        yield BallRow(
            number=row.number,
            period=ball.period,
            clock=ball.clock,
            told=tell(voice, ball, crew, by_number[row.number]),
            moved=tuple(_moved(row, by_number[row.number], voice)),
            note=ball.note,
            name=looks_like_full_name(ball.note, known) or "",
        )


def _moved(row: DeadBall, findings: Iterable[Finding], voice: Voice) -> Iterable[MovedMiss]:
    """Of those moved the ones that are a miss as the facts are now."""
    missed = {finding.rule for finding in findings if finding.verdict is Verdict.NOT_MET}
    for moved in row.moved.all():
        if moved.rule in missed:
            rule = words.rule(voice, moved.rule)
            yield MovedMiss(rule, moved.get_position_display(), moved.reason)


def _tally(
    log: DeadBallLog, crew: Sequence[CrewMember], findings: Sequence[Finding], voice: Voice
) -> Iterable[TallyRow]:
    minimum, kept = _minimum(log), Kept(log.kept)
    for rule in RULE_KEYS:
        own = [finding for finding in findings if finding.rule == rule]
        if not any(finding.verdict is not Verdict.NOT_JUDGED for finding in own):
            continue
        counts = (
            (member, count(own, CrewPosition(member.position), {rule}, kept, minimum))
            for member in crew
        )
        missed = (f for f in own if f.member is None and f.verdict is Verdict.NOT_MET)
        yield TallyRow(
            rule=words.rule(voice, rule),
            of_crew=tuple((member, _cell(found, voice)) for member, found in counts),
            nobodys=tuple(finding.dead_ball for finding in missed),
        )


def _minimum(log: DeadBallLog) -> int:
    return rubric_of(log).minimum_count


def _cell(found: Count, voice: Voice) -> TallyCell | None:
    if not (found.judged or found.not_judged):
        return None
    shown = found.kept.is_sample and found.interval is not None
    return TallyCell(
        figure=met_of(found, voice) if found.judged and found.kept.gives_shares else "",
        not_judged=found.not_judged,
        by_option=found.by_option,
        aside=interval(found.interval, voice) if shown and found.interval else "",
        missed_at=found.dead_balls,
    )


@dataclass(frozen=True, slots=True)
class TalkExample:
    """Whose a duty was, by name and position; `who` None is the crew's."""

    who: CrewMember | None
    dead_balls: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class TalkPoint:
    """A strength or a change: what it is about, the duty as a sentence, and where it was seen."""

    rule: str
    duty: str
    met: int
    judged: int
    examples: tuple[TalkExample, ...]


@dataclass(frozen=True, slots=True)
class TalkSheet:
    """What the observer takes into the talk; see `core.mechanics.talk` for how it is chosen."""

    card: TalkCard
    strength: TalkPoint | None
    changes: tuple[TalkPoint, ...]
    young: tuple[str, ...]
    ended_at: datetime | None


def talk_sheet(log: DeadBallLog, voice: Voice) -> TalkSheet:
    """The card of a log as it is now, ended or not."""
    crew = {CrewPosition(member.position): member for member in crew_of(log.observation)}
    card = talk_card(judged(log).findings, Kept(log.kept), _minimum(log))

    def point(chosen: Point) -> TalkPoint:
        return TalkPoint(
            rule=words.rule(voice, chosen.rule),
            duty=words.duty_of(voice, chosen.rule),
            met=chosen.met,
            judged=chosen.judged,
            examples=tuple(example(seen) for seen in chosen.examples),
        )

    def example(seen: Example) -> TalkExample:
        who = None if seen.member is None else crew[seen.member]
        return TalkExample(who, seen.dead_balls)

    return TalkSheet(
        card=card,
        strength=None if card.strength is None else point(card.strength),
        changes=tuple(point(change) for change in card.changes),
        young=tuple(str(m.official) for m in crew.values() if m.official.under_18),
        ended_at=log.ended_at,
    )
