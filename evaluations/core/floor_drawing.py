"""A floor sketch and an eyes ledger as drawings, for pages, letters and files alike.

What a mark means is told by its shape: an official is a wedge that points where he or she faces,
with the edges of the field of view; a player of one team is a ring, of the other a dot; whoever
nobody sees is crossed out, and named so where the word has room.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from evaluations.core.court_drawing import COURT_HEIGHT, USUAL, Paper, Room, court_lines
from evaluations.core.drawing import Anchor, Box, Dot, Drawing, Label, Ring, Shape, Stroke, Style
from evaluations.core.floor.eyes import Cover, Facing, Ledger, Stretch
from evaluations.core.floor.frames import FRAMES
from evaluations.core.floor.measures import Measures
from evaluations.core.floor.sketch import OfficialAt, Point, Sketch, Team, direction
from evaluations.core.games import CrewPosition
from evaluations.core.letter_pictures import BandPicture, SketchPicture
from evaluations.core.sheet import Area, Sheet, Spot

HEIGHT = 160.0
"""Points of a sketch, margins and table included."""

# Points.
_PLAYER, _CROSS = 2.8, 4.6
_WEDGE, _WEDGE_WIDE = 6.5, 3.2

_VIEW = 5.0
"""Metres: how far the edges of a field of view are drawn."""

_MARGIN = 1.3
"""Metres around everybody: as much as an official's wedge takes on the smallest drawing."""

At = Callable[[Point], Spot]
"""Metres on the court to points on the drawing."""

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
    `unseen` beside those whom nobody sees as far as there is room ("": the cross alone), `table`
    on the table. Nothing reaches over the drawing's edge.
    """
    court, room = FRAMES[sketch.frame], _room(sketch)
    paper = Paper(height, court, room)

    def at(point: Point) -> Spot:
        return paper.point((point.x, court.width - point.y))

    base = court_lines(height, court, room)
    x, y = at(Point(court.length / 2, -1.2))
    written = Label(x, y + 2.4, table, Anchor.MIDDLE)
    area = Area(0.0, 0.0, paper.width, height)
    marks = [*_ways(sketch, found, at, area), *_marks(sketch, found, at)]
    sheet = Sheet(area, [*base, *marks])
    words = [sheet.word(at(o.at), names[o.member]) for o in sketch.officials]
    if unseen:
        words += sheet.words([at(sketch.players[n].at) for n in found.unseen], unseen)
    return Drawing(paper.width, height, (*base, written, *marks, *words), alt)


def _room(sketch: Sketch) -> Room:
    """As much as usual, and more where somebody stands far out."""
    court = FRAMES[sketch.frame]
    places = [*(o.at for o in sketch.officials), *(p.at for p in sketch.players), *sketch.route]
    deep = max((max(-p.x, p.x - court.length) for p in places), default=0.0)
    far = max((p.y - court.width for p in places), default=0.0)
    near = max((-p.y for p in places), default=0.0)
    return Room(
        behind=max(USUAL.behind, deep + _MARGIN),
        beyond=max(USUAL.beyond, far + _MARGIN),
        at_table=max(USUAL.at_table, near + _MARGIN),
    )


def _ways(sketch: Sketch, found: Measures, at: At, area: Area) -> Iterable[Shape]:
    """The way to report, and the edges of each view as far as the area reaches."""
    if len(sketch.route) > 1:
        yield Stroke(tuple(at(point) for point in sketch.route), Style.WAY)
    for official in sketch.officials:
        if official.member not in found.watchers:
            continue
        for side in (-1, 1):
            edge = direction(official.facing + side * sketch.field_of_view / 2)
            end = Point(official.at.x + edge.x * _VIEW, official.at.y + edge.y * _VIEW)
            if part := area.part(at(official.at), at(end)):
                yield Stroke(part, Style.VIEW)


def _marks(sketch: Sketch, found: Measures, at: At) -> Iterable[Shape]:
    for player in sketch.players:
        x, y = at(player.at)
        light = player.team is Team.LIGHT
        yield Ring(x, y, _PLAYER, Style.LIGHT) if light else Dot(x, y, _PLAYER, Style.DARK)
    for number in found.unseen:
        yield from _cross(at(sketch.players[number].at))
    for official in sketch.officials:
        yield _wedge(official, at(official.at))


def _cross(spot: Spot) -> Iterable[Shape]:
    x, y = spot
    for turn in (-1, 1):
        ends = ((x - _CROSS, y - turn * _CROSS), (x + _CROSS, y + turn * _CROSS))
        yield Stroke(ends, Style.WAY)


def _wedge(official: OfficialAt, spot: Spot) -> Shape:
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
    return Stroke((tip, foot[0], foot[1], tip), Style.DUE)


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
