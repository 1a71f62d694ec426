"""A floor sketch and an eyes ledger as drawings, for pages, letters and files alike.

What a mark means is told by its shape: an official is a wedge that points where he or she faces,
with the edges of the field of view; a player of one team is a ring, of the other a dot; whoever
nobody sees is crossed out and named so.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from evaluations.core.court_drawing import COURT_HEIGHT, Paper, court_lines
from evaluations.core.drawing import Anchor, Box, Dot, Drawing, Label, Ring, Shape, Stroke, Style
from evaluations.core.floor.eyes import Cover, Facing, Ledger, Stretch
from evaluations.core.floor.frames import FRAMES
from evaluations.core.floor.measures import Measures
from evaluations.core.floor.sketch import OfficialAt, PlayerAt, Point, Sketch, Team, direction
from evaluations.core.games import CrewPosition
from evaluations.core.letter_pictures import BandPicture, SketchPicture

HEIGHT = 160.0
"""Points of a sketch, margins and table included."""

# Points.
_PLAYER, _CROSS = 2.8, 4.6
_WEDGE, _WEDGE_WIDE = 6.5, 3.2
_LABEL_UP = 7.5

_VIEW = 5.0
"""Metres: how far the edges of a field of view are drawn."""

BAND_WIDTH = 300.0
LETTER_BAND = 210.0
_ROW, _TALL, _THIN, _NAMES = 16.0, 9.0, 2.0, 100.0


def sketch_drawing(
    sketch: Sketch,
    found: Measures,
    alt: str,
    *,
    names: Mapping[CrewPosition, str],
    unseen: str,
    table: str,
    height: float = HEIGHT,
) -> Drawing:
    """A sketch from the table's side, `height` points high. `names` stand beside the officials,
    `unseen` beside whom nobody sees ("": the cross alone), `table` on the table.
    """
    court = FRAMES[sketch.frame]
    paper = Paper(height, court)

    def at(point: Point) -> tuple[float, float]:
        return paper.point((point.x, court.width - point.y))

    shapes: list[Shape] = [*court_lines(height, court)]
    x, y = paper.point((court.length / 2, court.width + 1.2))
    shapes.append(Label(x, y + 2.4, table, Anchor.MIDDLE))
    if len(sketch.route) > 1:
        shapes.append(Stroke(tuple(at(point) for point in sketch.route), Style.WAY))
    for official in sketch.officials:
        if official.member in found.watchers:
            shapes += _view(official, sketch.field_of_view, at(official.at), paper.scale)
    for number, player in enumerate(sketch.players):
        shapes += _player(player, at(player.at))
        if number in found.unseen:
            shapes += _crossed(at(player.at), unseen)
    for official in sketch.officials:
        shapes += _official(official, at(official.at), names[official.member])
    return Drawing(paper.width, height, tuple(shapes), alt)


def _view(
    official: OfficialAt, field: float, spot: tuple[float, float], scale: float
) -> Iterable[Shape]:
    x, y = spot
    for side in (-1, 1):
        edge = direction(official.facing + side * field / 2)
        end = (x + edge.x * _VIEW * scale, y - edge.y * _VIEW * scale)
        yield Stroke((spot, end), Style.VIEW)


def _player(player: PlayerAt, spot: tuple[float, float]) -> Iterable[Shape]:
    x, y = spot
    if player.team is Team.LIGHT:
        yield Ring(x, y, _PLAYER, Style.LIGHT)
    else:
        yield Dot(x, y, _PLAYER, Style.DARK)


def _crossed(spot: tuple[float, float], unseen: str) -> Iterable[Shape]:
    x, y = spot
    for turn in (-1, 1):
        ends = ((x - _CROSS, y - turn * _CROSS), (x + _CROSS, y + turn * _CROSS))
        yield Stroke(ends, Style.WAY)
    if unseen:
        yield Label(x, y - _LABEL_UP, unseen, Anchor.MIDDLE)


def _official(official: OfficialAt, spot: tuple[float, float], name: str) -> Iterable[Shape]:
    (x, y), facing = spot, direction(official.facing)
    ahead, aside = (facing.x, -facing.y), (facing.y, facing.x)
    tip = (x + ahead[0] * _WEDGE, y + ahead[1] * _WEDGE)
    foot = [
        (
            x - ahead[0] * _WEDGE_WIDE + side * aside[0] * _WEDGE_WIDE,
            y - ahead[1] * _WEDGE_WIDE + side * aside[1] * _WEDGE_WIDE,
        )
        for side in (-1, 1)
    ]
    yield Stroke((tip, foot[0], foot[1], tip), Style.DUE)
    yield Label(x, y - _LABEL_UP, name, Anchor.MIDDLE)


def ledger_drawing(
    found: Ledger,
    alt: str,
    *,
    names: Mapping[CrewPosition, str],
    crew: str,
    times: tuple[str, str],
) -> Drawing:
    """A band for each official and one for the crew, from whistle to ball live.

    Facing and covered are a tall bar, not facing and uncovered a thin line between two marks,
    can't tell and unknown nothing. `times` are written at the ends.
    """
    rows = [*((names[m], band) for m, band in found.officials.items()), (crew, found.cover)]
    length = max(found.end - found.start, 1)

    def at(moment: int) -> float:
        return _NAMES + (moment - found.start) / length * BAND_WIDTH

    shapes: list[Shape] = []
    for place, (name, band) in enumerate(rows):
        foot = _ROW * (place + 1)
        shapes.append(Label(0.0, foot - 2.0, name, Anchor.START))
        shapes.append(Stroke(((at(found.start), foot), (at(found.end), foot)), Style.SCALE))
        for stretch in band:
            shapes += _stretch(stretch, at(stretch.start), at(stretch.end), foot)
    foot = _ROW * len(rows) + 12.0
    shapes.append(Label(_NAMES, foot, times[0], Anchor.START))
    shapes.append(Label(_NAMES + BAND_WIDTH, foot, times[1], Anchor.END))
    return Drawing(_NAMES + BAND_WIDTH, foot + 4.0, tuple(shapes), alt)


def own_sketch_drawing(picture: SketchPicture, alt: str) -> Drawing:
    """The own official among the players, as high as a letter's court."""
    own = picture.sketch
    names = {official.member: picture.you for official in own.sketch.officials}
    return sketch_drawing(
        own.sketch,
        own.measures,
        alt,
        names=names,
        unseen="",
        table=picture.table,
        height=COURT_HEIGHT,
    )


def own_band(picture: BandPicture, alt: str) -> Drawing:
    """One band from the whistle to the end of the report, drawn as the ledger's bands are."""
    length = max((stretch.end for stretch in picture.band), default=1)
    scale = LETTER_BAND / length
    shapes: list[Shape] = [Stroke(((0.0, _TALL), (LETTER_BAND, _TALL)), Style.SCALE)]
    for stretch in picture.band:
        shapes += _stretch(stretch, stretch.start * scale, stretch.end * scale, _TALL)
    foot = _TALL + 9.0
    shapes.append(Label(0.0, foot, picture.whistle, Anchor.START))
    shapes.append(Label(LETTER_BAND, foot, picture.reported, Anchor.END))
    return Drawing(LETTER_BAND, foot + 2.0, tuple(shapes), alt)


def _stretch(stretch: Stretch, start: float, end: float, foot: float) -> Iterable[Shape]:
    if stretch.state in (Facing.FACING, Cover.COVERED):
        yield Box(start, foot - _TALL, end - start, _TALL, Style.VALUE)
    elif stretch.state in (Facing.NOT_FACING, Cover.UNCOVERED):
        middle = foot - _TALL / 2
        yield Stroke(((start, middle), (end, middle)), Style.WAY)
        for edge in (start, end):
            yield Stroke(((edge, middle - _THIN), (edge, middle + _THIN)), Style.WAY)
