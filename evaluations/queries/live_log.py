"""What the live page shows: where a log stands, and its last whistle in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics import facts, words
from evaluations.core.mechanics.answer import answer_to
from evaluations.core.mechanics.court import Court
from evaluations.core.mechanics.engine import Finding
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.mechanics.taps import Mark, carries, ends_carried, marks_for
from evaluations.core.mechanics.zones import Ends
from evaluations.core.names import looks_like_full_name
from evaluations.core.telling import stood
from evaluations.core.voice import Voice
from evaluations.models import CodeEdition, DeadBall, DeadBallLog
from evaluations.queries.log_pages import is_writable, names_of
from evaluations.queries.logs import JudgedLog, judged
from evaluations.queries.observations import known_names

Names = Mapping[CrewPosition, str]


@dataclass(frozen=True, slots=True)
class Told:
    """What the code asked for. `row` counts from 1; None, and "", where the facts leave it open.

    `verdict` is the value of a `Verdict`, `said` the same in words. The duties say whose they were;
    of those not judged there are only the switch and tonight's focus.
    """

    switch: str
    due: tuple[str, ...]
    verdict: str
    said: str
    option: str
    row: int | None
    note: str
    met: tuple[str, ...]
    not_met: tuple[str, ...]
    not_judged: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LastWhistle:
    """The dead ball logged last. `told` is None without a code; `name` are words of its note that
    look like somebody's full name.
    """

    row: DeadBall
    period: int | None
    seen: str
    told: Told | None
    note: str
    name: str


@dataclass(frozen=True, slots=True)
class LiveSheet:
    """Where a log stands. `undone` is the whistle that was taken back last, while none followed."""

    log: DeadBallLog
    names: Names
    writable: bool
    code: CodeEdition | None
    count: int
    last: LastWhistle | None
    undone: DeadBall | None
    ends: Ends | None

    @property
    def crew_size(self) -> int:
        return len(self.names)

    @property
    def marks(self) -> tuple[tuple[str, tuple[Mark, ...]], ...]:
        """Tonight's quick marks with their answers."""
        found = ((rule, marks_for(rule, self.crew_size)) for rule in self.log.focus)
        return tuple((rule, answers) for rule, answers in found if answers)

    def ends_in(self, period: int | None) -> Ends | None:
        """The ends at the next whistle, if that is in this period."""
        holds = self.last is None or carries(self.last.period, period)
        return self.ends if holds else None


def live_sheet(log: DeadBallLog, voice: Voice) -> LiveSheet:
    """Read what the page shows, in a bounded number of queries."""
    names, found = names_of(log.observation), judged(log)
    rows = found.rows
    left = CrewPosition(log.left_end) if log.left_end else None
    after = rows[-1].number if rows else 0
    removed = log.dead_balls.filter(removed_at__isnull=False, number__gt=after)
    return LiveSheet(
        log=log,
        names=names,
        writable=is_writable(log.observation),
        code=found.code,
        count=len(rows),
        last=_last(log, rows[-1], found, names, voice) if rows else None,
        undone=removed.order_by("-removed_at", "number").first(),
        ends=ends_carried(found.value, left),
    )


def _last(
    log: DeadBallLog, row: DeadBall, found: JudgedLog, names: Names, voice: Voice
) -> LastWhistle:
    ball = found.value.dead_balls[-1]
    return LastWhistle(
        row=row,
        period=ball.period,
        seen=_seen(ball, names, voice),
        told=_told(ball, found, log.focus, names, voice),
        note=ball.note,
        name=looks_like_full_name(ball.note, known_names(log.observation)) or "",
    )


def _seen(ball: facts.DeadBall, names: Names, voice: Voice) -> str:
    """What was logged, in one line, such as "Nico Vale, lead, table side; free throws"."""
    _ = voice.text
    caller, before, after = ball.caller, facts.NOT_SEEN, facts.NOT_SEEN
    if caller is not None:
        before, after = (places.get(caller, facts.NOT_SEEN) for places in (ball.before, ball.after))
    turned = {None: "", True: _("direction turned"), False: ""}[ball.flip]
    switched = {None: "", True: _("switched"), False: _("stayed")}[ball.switched]
    parts = (
        _("caller not seen") if caller is None else names[caller],
        "" if before == facts.NOT_SEEN else stood(voice, before),
        words.court_part(voice, Court.BACK) if ball.court is Court.BACK else "",
        "" if ball.whistle is None else words.whistle(voice, ball.whistle),
        "" if ball.resumes is None else words.resumes(voice, ball.resumes),
        turned,
        switched,
        "" if after == facts.NOT_SEEN else _("ended %(place)s") % {"place": stood(voice, after)},
    )
    return "; ".join(part for part in parts if part)


def _told(
    ball: facts.DeadBall, log: JudgedLog, focus: Sequence[str], names: Names, voice: Voice
) -> Told | None:
    if log.engine is None:
        return None
    answer = answer_to(ball, log.engine, log.value, log.findings)
    asked = {"force_switch", *focus}
    own = [
        finding
        for finding in log.findings
        if finding.dead_ball == ball.number
        and (finding.rule in asked or finding.verdict is not Verdict.NOT_JUDGED)
    ]
    duties = {verdict: tuple(_duties(own, verdict, names, voice)) for verdict in Verdict}
    due = ((names[member], place) for member, place in answer.due.items() if place is not None)
    notes = {} if answer.row is None else log.engine.table.code.rows[answer.row].note
    return Told(
        switch=words.switch(voice, answer.switch),
        due=tuple(f"{name}: {words.place(voice, place)}" for name, place in due),
        verdict=answer.verdict.value,
        said=words.verdict(voice, answer.verdict),
        option="" if answer.option is None else words.option(voice, answer.option),
        row=None if answer.row is None else answer.row + 1,
        note=notes.get(voice.language, notes.get("en", "")),
        met=duties[Verdict.MET],
        not_met=duties[Verdict.NOT_MET],
        not_judged=duties[Verdict.NOT_JUDGED],
    )


def _duties(
    findings: Sequence[Finding], verdict: Verdict, names: Names, voice: Voice
) -> Iterator[str]:
    for finding in findings:
        if finding.verdict is verdict:
            rule = words.rule(voice, finding.rule)
            yield rule if finding.member is None else f"{rule} ({names[finding.member]})"
