"""Sketches and eyes ledgers of a log, as core values and as their pages show them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from fractions import Fraction
from typing import Any

from evaluations.core import words
from evaluations.core.drawing import Drawing
from evaluations.core.floor.frames import FRAMES, Frame
from evaluations.core.floor.measures import measure
from evaluations.core.floor.presets import Shape, preset
from evaluations.core.floor.sketch import (
    BEYOND,
    FIELD_OF_VIEW,
    PLAYERS_AT_MOST,
    ROUTE_POINTS_AT_MOST,
    WIDEST_FIELD,
    Instant,
    Sketch,
)
from evaluations.core.floor_drawing import sketch_drawing
from evaluations.core.floor_lines import Line, phrases, sketch_lines
from evaluations.core.floor_words import sketch_sentence
from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.court import End
from evaluations.core.mechanics.facts import Source
from evaluations.core.sketch_document import sketch_document
from evaluations.core.voice import Voice
from evaluations.models import DeadBall, DeadBallLog, FloorSketch
from evaluations.queries.film import places_key
from evaluations.queries.floor_values import sketch_value
from evaluations.queries.log_pages import is_writable, names_of


@dataclass(frozen=True, slots=True)
class SketchSheet:
    """One moment of a dead ball on the floor. `row`, `picture` and `sentence` are there once it is
    drawn; `lines` always are, without a sketch "not judged"."""

    log: DeadBallLog
    ball: DeadBall
    instant: Instant
    frame: Frame
    names: Mapping[CrewPosition, str]
    writable: bool
    row: FloorSketch | None
    sketch: Sketch | None
    picture: Drawing | None
    sentence: str
    lines: tuple[Line, ...]

    @property
    def places_key(self) -> str:
        return places_key(self.ball)

    @property
    def to_scale(self) -> bool:
        return self.sketch is not None and self.sketch.source is Source.FILM


def sketch_sheet(log: DeadBallLog, ball: DeadBall, instant: Instant, voice: Voice) -> SketchSheet:
    """Read what the page of a sketch shows."""
    observation = log.observation
    row = FloorSketch.objects.filter(dead_ball=ball, instant=instant).first()
    sketch = None if row is None else sketch_value(row)
    frame = Frame(observation.game.season.association.court) if sketch is None else sketch.frame
    names = names_of(observation)
    shown = sketch or Sketch(observation.game.crew_size, (), (), frame)
    found = measure(shown)
    sentence = sketch_sentence(voice, shown, found)
    picture = sketch_drawing(
        shown,
        found,
        sentence,
        names=_positions(voice, names),
        unseen=voice.text("unseen"),
        table=voice.text("table"),
    )
    return SketchSheet(
        log=log,
        ball=ball,
        instant=instant,
        frame=frame,
        names=names,
        writable=is_writable(observation),
        row=row,
        sketch=sketch,
        picture=None if sketch is None else picture,
        sentence=sentence,
        lines=tuple(sketch_lines(voice, shown, found, names)),
    )


def _positions(voice: Voice, crew: Mapping[CrewPosition, str]) -> dict[CrewPosition, str]:
    return {member: words.position(voice, member) for member in crew}


def starting_shapes(crew: int, frame: Frame) -> dict[str, dict[str, Any]]:
    """Sketch documents of every shape at each end."""
    return {
        shape: {end: sketch_document(preset(shape, crew, frame, end)) for end in End}
        for shape in Shape
    }


def pad_data(sheet: SketchSheet, voice: Voice) -> dict[str, Any]:
    """What the page's script has to know: the floor, the crew, the shapes, and its words."""
    court, _ = FRAMES[sheet.frame], voice.text
    positions = _positions(voice, sheet.names)
    return {
        "court": {**asdict(court), "arc_meets_corner": court.arc_meets_corner, "beyond": BEYOND},
        "crew": [
            {"member": member, "name": name, "position": positions[member]}
            for member, name in sheet.names.items()
        ],
        "route_points": ROUTE_POINTS_AT_MOST,
        "players": PLAYERS_AT_MOST,
        "field_of_view": FIELD_OF_VIEW,
        "widest": WIDEST_FIELD,
        "shapes": starting_shapes(len(sheet.names), sheet.frame),
        "decimal": voice.number(Fraction(1, 2))[1],
        "said": {
            **phrases(voice),
            "player": _("Player %(n)s, %(team)s"),
            "light": _("light"),
            "dark": _("dark"),
            "at": _("%(who)s: %(x)s m from the left, %(y)s m from the table"),
            "facing": _("facing %(n)s degrees"),
            "nowhere": _("%(who)s, not on the floor"),
            "unseen_mark": _("unseen"),
            "in_view": _("in view"),
            "table": _("table"),
            "too_little": _("Too little is drawn to measure anything."),
            "undone": _("Undone."),
            "redone": _("Done again."),
            "started": _("The shape is on the floor; move everybody from there."),
        },
    }
