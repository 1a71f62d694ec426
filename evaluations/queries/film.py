"""What was marked on film of a dead ball, as its pages and the log's file show it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from fractions import Fraction
from typing import Any

from evaluations.core import words
from evaluations.core.drawing import Drawing
from evaluations.core.floor.eyes import DeadTime, Facing, Ledger, ledger
from evaluations.core.floor.frames import FRAMES, Frame, court_points
from evaluations.core.floor_drawing import ledger_drawing
from evaluations.core.floor_words import (
    court_point,
    film_time,
    gap_line,
    ledger_sentence,
    seconds,
)
from evaluations.core.games import CrewPosition
from evaluations.core.voice import Voice
from evaluations.models import DeadBall, DeadBallLog, EyesMarks, FilmStatement, FloorSketch
from evaluations.queries.floor_values import dead_time
from evaluations.queries.log_pages import is_writable, names_of

SPANS_AT_MOST = 60
"""Of one official at one dead ball."""


@dataclass(frozen=True, slots=True)
class FilmSheet:
    """A dead ball and what was marked on film of it. `time`, `picture` and what follows are there
    once something is."""

    log: DeadBallLog
    ball: DeadBall
    names: Mapping[CrewPosition, str]
    writable: bool
    statement: FilmStatement | None
    time: DeadTime | None
    picture: Drawing | None
    sentence: str
    officials: tuple[tuple[str, str], ...]
    gaps: tuple[str, ...]


def places_key(ball: DeadBall) -> str:
    """Under what a browser's tab keeps the places clicked on film of a dead ball."""
    return f"crewmark.sketch.{ball.log.observation_id}.{ball.number}"


def statement_of(log: DeadBallLog) -> FilmStatement | None:
    """Whose film the observer said it was, if that was said."""
    return FilmStatement.objects.filter(log=log).first()


def film_sheet(log: DeadBallLog, ball: DeadBall, voice: Voice) -> FilmSheet:
    """Read what the pages show."""
    observation = log.observation
    names = names_of(observation)
    row = EyesMarks.objects.select_related("dead_ball__log__observation__game").filter(
        dead_ball=ball
    )
    stored = row.first()
    time = None if stored is None else dead_time(stored)
    found = None if time is None else ledger(time)
    return FilmSheet(
        log=log,
        ball=ball,
        names=names,
        writable=is_writable(observation),
        statement=statement_of(log),
        time=time,
        picture=None if found is None else _picture(voice, found),
        sentence="" if found is None else ledger_sentence(voice, found),
        officials=() if found is None else tuple(_each(voice, found, names)),
        gaps=() if found is None else tuple(gap_line(voice, found, g, names) for g in found.gaps),
    )


def _picture(voice: Voice, found: Ledger) -> Drawing:
    """The sentence and the lines beside it say the same, so that the drawing itself is silent."""
    times = (film_time(found.start), film_time(found.end))
    positions = {member: words.position(voice, member) for member in found.officials}
    return ledger_drawing(found, "", names=positions, crew=voice.text("crew"), times=times)


def _each(
    voice: Voice, found: Ledger, names: Mapping[CrewPosition, str]
) -> Iterable[tuple[str, str]]:
    """Each official's seconds."""
    _ = voice.text
    text = _("facing %(facing)s s, not facing %(not_facing)s s, can't tell %(cant_tell)s s")
    for member, band in found.officials.items():
        sums = {state.value: sum(s.length for s in band if s.state == state) for state in Facing}
        yield names[member], text % {state: seconds(voice, sums[state]) for state in sums}


def _drawn(sheet: FilmSheet, voice: Voice) -> dict[str, list[dict[str, Any]]]:
    """Who stands where in the sketches of a dead ball, by moment."""

    def people(content: dict[str, Any]) -> Iterable[dict[str, Any]]:
        for one in content["officials"]:
            name = words.position(voice, CrewPosition(one["member"]))
            yield {"x": one["x"], "y": one["y"], "name": name}
        for n, one in enumerate(content["players"], start=1):
            yield {"x": one["x"], "y": one["y"], "name": str(n), "team": one["team"]}

    rows = FloorSketch.objects.filter(dead_ball=sheet.ball)
    return {row.instant: list(people(row.content)) for row in rows}


def desk_data(sheet: FilmSheet, voice: Voice) -> dict[str, Any]:
    """What the video desk's script has to know: the crew, the court, and its words."""
    _ = voice.text
    court = FRAMES[Frame(sheet.log.observation.game.season.association.court)]
    caller = sheet.ball.facts.get("caller")
    return {
        "members": list(sheet.names),
        "names": {member: words.position(voice, member) for member in sheet.names},
        "caller": caller,
        "spans": SPANS_AT_MOST,
        "court": asdict(court),
        "points": [
            {"key": key, "x": x, "y": y, "name": court_point(voice, key)}
            for key, (x, y) in court_points(court).items()
        ],
        "drawn": _drawn(sheet, voice),
        "kept": places_key(sheet.ball),
        "decimal": voice.number(Fraction(1, 2))[1],
        "said": {
            "crew": _("crew"),
            "play": _("Play"),
            "pause": _("Pause"),
            "sums": _("Covered %(covered)s s, uncovered %(uncovered)s s, unknown %(unknown)s s."),
            "longest": _("The longest gap is %(n)s s."),
            "open": _("The ball is not live yet, so that nothing is added up."),
            "first": _("Mark the whistle first."),
            "no_gap": _("No gap is marked."),
            "taken_back": _("The mark ended before it began and was taken back."),
            "full": _("There is no line left for this official."),
            "marked": _("%(what)s at %(time)s."),
            "undone": _("Undone."),
            "few": _("%(n)s of 4 court points are clicked."),
            "in_line": _(
                "Three of the points are in a line or on one spot. Choose four that span the "
                "court, such as the corners of a lane."
            ),
            "crossed": _(
                "The clicks are in another order than their court points. Check which is which."
            ),
            "fits": _("The floor is set by %(n)s points."),
            "residual": _("They are off by %(n)s m on average (root mean square)."),
            "four": _("With four points nothing shows a wrong click; a fifth would."),
            "moved": _(
                "The points were clicked at %(time)s. If the camera moved since, click them again."
            ),
            "at": _("%(x)s m from the left end line, %(y)s m from the table's side line"),
            "error": _("off by up to %(n)s m at 95 %% for clicks off by 2 pixels"),
            "horizon": _("Above the floor's horizon"),
            "set_first": _("Click four court points first."),
            "remove": _("Remove %(what)s"),
            "kept": _("Kept for the sketch: %(n)s. Open it once your marks are saved."),
            "nothing": _("Click somebody's place first."),
            "not_kept": _("This browser keeps nothing for the sketch. Copy the figures."),
        },
    }


def film_documents(log: DeadBallLog) -> list[dict[str, Any]]:
    """Sketches and film marks of the dead balls that have some, for the log's file."""
    found: dict[int, dict[str, Any]] = {}

    def of(ball: DeadBall) -> dict[str, Any]:
        return found.setdefault(ball.number, {"number": ball.number, "sketches": [], "film": None})

    standing = {"dead_ball__log": log, "dead_ball__removed_at": None}
    for sketch in FloorSketch.objects.filter(**standing).select_related("dead_ball"):
        of(sketch.dead_ball)["sketches"].append(sketch.content)
    for marks in EyesMarks.objects.filter(**standing).select_related("dead_ball"):
        of(marks.dead_ball)["film"] = _marks_document(marks)
    return [found[number] for number in sorted(found)]


def _marks_document(row: EyesMarks) -> dict[str, Any]:
    return {
        "whistle": row.whistle_at,
        "report_ended": row.report_ended_at,
        "live": row.live_at,
        "marks": [
            {"member": member, "facing": facing, "start": start, "end": end}
            for member, facing, start, end in row.marks
        ],
    }
