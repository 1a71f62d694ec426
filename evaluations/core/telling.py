"""A dead ball told in words, for the table of a log."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from evaluations.core import words as crew_words
from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics import words
from evaluations.core.mechanics.engine import Finding
from evaluations.core.mechanics.facts import NOT_SEEN, DeadBall, Stood
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.voice import Voice


class Move(NamedTuple):
    """Where one of the crew stood, ended and was due.

    `after` is "" where only "switched" or "stayed" was logged, `due` where the facts leave it open.
    """

    who: str
    before: str
    after: str
    due: str


class Line(NamedTuple):
    """One finding. `whose` is "" where it is nobody's, `option` where none was used."""

    rule: str
    duty: str
    whose: str
    option: str


@dataclass(frozen=True, slots=True)
class Told:
    """`called` says what was called and by whom, `goes_on` how the ball became live again.

    `switched` is "" unless it was logged in that word.
    """

    called: str
    goes_on: str
    switched: str
    moves: tuple[Move, ...]
    met: tuple[Line, ...]
    not_met: tuple[Line, ...]
    not_judged: tuple[Line, ...]

    @property
    def has_findings(self) -> bool:
        """Whether a code has anything to say of it."""
        return bool(self.met or self.not_met or self.not_judged)


def tell(voice: Voice, ball: DeadBall, crew: int, findings: Iterable[Finding]) -> Told:
    """`findings` are those of this dead ball."""
    found = list(findings)
    lines = {verdict: tuple(_lines(voice, found, verdict)) for verdict in Verdict}
    return Told(
        called=_called(voice, ball),
        goes_on=_goes_on(voice, ball),
        switched=_switched(voice, ball.switched),
        moves=tuple(_move(voice, ball, member, found) for member in POSITIONS[crew]),
        met=lines[Verdict.MET],
        not_met=lines[Verdict.NOT_MET],
        not_judged=lines[Verdict.NOT_JUDGED],
    )


def stood(voice: Voice, seen: Stood) -> str:
    """Where somebody was seen, such as "lead, table side"; a part that wasn't is left out."""
    _ = voice.text
    parts = (
        None if seen.position is None else words.position(voice, seen.position),
        None if seen.side is None else words.side(voice, seen.side),
    )
    return ", ".join(part for part in parts if part) or _("not seen")


def _called(voice: Voice, ball: DeadBall) -> str:
    _ = voice.text
    what = _("call not seen") if ball.whistle is None else words.whistle(voice, ball.whistle)
    by = _("caller not seen") if ball.caller is None else crew_words.position(voice, ball.caller)
    return f"{what}, {by}"


def _goes_on(voice: Voice, ball: DeadBall) -> str:
    _ = voice.text
    turns = {None: None, True: _("direction turns"), False: _("same direction")}[ball.flip]
    parts = (
        None if ball.resumes is None else words.resumes(voice, ball.resumes),
        turns,
        None if ball.court is None else words.court_part(voice, ball.court),
    )
    return ", ".join(part for part in parts if part) or _("not seen")


def _switched(voice: Voice, switched: bool | None) -> str:
    _ = voice.text
    return {None: "", True: _("switched"), False: _("stayed")}[switched]


def _move(voice: Voice, ball: DeadBall, member: CrewPosition, found: list[Finding]) -> Move:
    places = [f.expected for f in found if f.rule == "side" and f.member is member]
    due = next((place for place in places if place is not None), None)
    after = ball.after.get(member, NOT_SEEN)
    in_a_word = ball.switched is not None and after == NOT_SEEN
    return Move(
        who=crew_words.position(voice, member),
        before=stood(voice, ball.before.get(member, NOT_SEEN)),
        after="" if in_a_word else stood(voice, after),
        due="" if due is None else words.place(voice, due),
    )


def _lines(voice: Voice, found: list[Finding], verdict: Verdict) -> Iterable[Line]:
    for finding in found:
        if finding.verdict is verdict:
            yield Line(
                rule=words.rule(voice, finding.rule),
                duty=words.duty(voice, finding),
                whose="" if finding.member is None else crew_words.position(voice, finding.member),
                option="" if finding.option is None else words.option(voice, finding.option),
            )
