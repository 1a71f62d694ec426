"""Sketches to measure: a row of players along the lane, and any sketch that hypothesis draws."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from hypothesis import strategies as st

from evaluations.core.floor.frames import FRAMES, Frame
from evaluations.core.floor.sketch import OfficialAt, PlayerAt, Point, Sketch, Team
from evaluations.core.games import POSITIONS, CrewPosition

REFEREE, UMPIRE = POSITIONS[2]


def official(member: CrewPosition, x: float, y: float, facing: float) -> OfficialAt:
    return OfficialAt(member, Point(x, y), facing)


def players(*places: tuple[float, float]) -> tuple[PlayerAt, ...]:
    return tuple(PlayerAt(Point(*place), Team.LIGHT) for place in places)


def two(*others: object, facing: tuple[float, float] = (0.0, 180.0), **changes: object) -> Sketch:
    """The referee on the left at (5, 7), the umpire opposite at (15, 7), facing each other."""
    sketch = Sketch(
        crew=2,
        officials=(official(REFEREE, 5, 7, facing[0]), official(UMPIRE, 15, 7, facing[1])),
        players=(),
    )
    return replace(sketch, **changes)  # type: ignore[arg-type]


_COURT = FRAMES[Frame.FIBA]
spots = st.builds(
    Point,
    st.integers(0, int(_COURT.length * 100)).map(lambda cm: cm / 100),
    st.integers(0, int(_COURT.width * 100)).map(lambda cm: cm / 100),
)
"""Places on the floor, to the centimetre."""

facings = st.integers(-720, 720).map(float)


@st.composite
def sketches(draw: st.DrawFn, least_players: int = 0) -> Sketch:
    """Crews of two and three with up to ten players, on a floor measured to the centimetre."""
    crew = draw(st.sampled_from((2, 3)))
    members = POSITIONS[crew]
    return Sketch(
        crew=crew,
        officials=tuple(OfficialAt(m, draw(spots), draw(facings)) for m in members),
        players=tuple(
            PlayerAt(spot, Team.DARK)
            for spot in draw(st.lists(spots, min_size=least_players, max_size=10))
        ),
        field_of_view=draw(st.integers(20, 190).map(float)),
        reporter=draw(st.sampled_from((None, *members))),
        route=tuple(draw(st.lists(spots, max_size=6))),
    )


def moved(
    sketch: Sketch, place: Callable[[Point], Point], turn: Callable[[float], float]
) -> Sketch:
    """The same sketch with every place and every facing changed."""
    return replace(
        sketch,
        officials=tuple(
            OfficialAt(o.member, place(o.at), turn(o.facing)) for o in sketch.officials
        ),
        players=tuple(replace(p, at=place(p.at)) for p in sketch.players),
        route=tuple(place(point) for point in sketch.route),
    )
