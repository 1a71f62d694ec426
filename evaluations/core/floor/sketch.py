"""A floor sketch: officials and players placed on a drawn court at one moment."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import cos, fsum, isfinite, radians, sin
from typing import NamedTuple

from evaluations.core.floor.frames import FRAMES, CourtFrame, Frame
from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.facts import Source

FIELD_OF_VIEW = 120.0
"""Degrees: the binocular field in the CIE international lighting vocabulary's note on the visual
field."""

WIDEST_FIELD = 190.0
"""Degrees: the field of both eyes together, from the same note."""

PLAYERS_AT_MOST = 10
ROUTE_POINTS_AT_MOST = 200
BEYOND = 3.0
"""Metres that somebody may stand outside the lines: an official behind an end line does."""

SAME_SPOT = 1e-9
"""Metres: nearer than this two places are one."""


class SketchError(ValueError):
    """A sketch that can't be measured. `field` names the value, as in `players[3].x`."""

    def __init__(self, field: str, message: str) -> None:
        super().__init__(f"{field}: {message}")
        self.field = field
        self.message = message


class Team(StrEnum):
    """By jersey colour only: players have no names here, and no numbers."""

    LIGHT = "light"
    DARK = "dark"


class Instant(StrEnum):
    """The moments of a dead ball that are sketched."""

    REPORT = "report"
    LIVE = "live"


class Point(NamedTuple):
    """Metres on the court's frame."""

    x: float
    y: float


@dataclass(frozen=True, slots=True)
class OfficialAt:
    """`facing` in degrees: 0 to the right end, 90 away from the table."""

    member: CrewPosition
    at: Point
    facing: float


@dataclass(frozen=True, slots=True)
class PlayerAt:
    at: Point
    team: Team


@dataclass(frozen=True, slots=True)
class Sketch:
    """`reporter` is the official who reports at this moment, `route` the caller's way there.

    Raises:
        SketchError: somebody off the floor, a member twice or not of this crew, too many players,
            or a field of view beyond what two eyes have.
    """

    crew: int
    officials: tuple[OfficialAt, ...]
    players: tuple[PlayerAt, ...]
    frame: Frame = Frame.FIBA
    field_of_view: float = FIELD_OF_VIEW
    reporter: CrewPosition | None = None
    route: tuple[Point, ...] = ()
    instant: Instant = Instant.REPORT
    source: Source = Source.LIVE

    def __post_init__(self) -> None:
        self._check_crew()
        if len(self.players) > PLAYERS_AT_MOST:
            raise SketchError("players", f"are at most {PLAYERS_AT_MOST}")
        if len(self.route) > ROUTE_POINTS_AT_MOST:
            raise SketchError("route", f"has at most {ROUTE_POINTS_AT_MOST} points")
        if not 0 < self.field_of_view <= WIDEST_FIELD:
            raise SketchError("field_of_view", f"must be above 0 and at most {WIDEST_FIELD:g}")
        places = {
            **{f"officials[{n}]": o.at for n, o in enumerate(self.officials)},
            **{f"players[{n}]": p.at for n, p in enumerate(self.players)},
            **{f"route[{n}]": point for n, point in enumerate(self.route)},
        }
        for name, point in places.items():
            _check_on_floor(name, point, FRAMES[self.frame])

    def _check_crew(self) -> None:
        if self.crew not in POSITIONS:
            raise SketchError("crew", "must be 2 or 3")
        members = [official.member for official in self.officials]
        allowed = ", ".join(POSITIONS[self.crew])
        for n, member in enumerate(members):
            if member not in POSITIONS[self.crew]:
                raise SketchError(f"officials[{n}].member", f"must be one of {allowed}")
            if member in members[:n]:
                raise SketchError(f"officials[{n}].member", "is there twice")
            if not isfinite(self.officials[n].facing):
                raise SketchError(f"officials[{n}].facing", "must be a number of degrees")
        if self.reporter is not None and self.reporter not in POSITIONS[self.crew]:
            raise SketchError("reporter", f"must be one of {allowed}")

    @property
    def watchers(self) -> tuple[OfficialAt, ...]:
        """Those whose places and fields are measured: in a crew of three the two who don't report,
        else everybody drawn."""
        if self.crew == 3 and self.reporter is not None:
            return tuple(o for o in self.officials if o.member is not self.reporter)
        return self.officials


def _check_on_floor(name: str, point: Point, court: CourtFrame) -> None:
    for axis, value, size in (("x", point.x, court.length), ("y", point.y, court.width)):
        if not -BEYOND <= value <= size + BEYOND:
            raise SketchError(f"{name}.{axis}", f"must be {-BEYOND:g} to {size + BEYOND:g} metres")


def centre(places: Sequence[Point]) -> Point:
    """The mean of one place or more.

    >>> centre([Point(1.0, 2.0), Point(3.0, 4.0)])
    Point(x=2.0, y=3.0)
    """
    return Point(fsum(p.x for p in places) / len(places), fsum(p.y for p in places) / len(places))


_QUARTERS = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))


def direction(degrees: float) -> Point:
    """The unit vector of a facing; quarter turns give exact ones.

    >>> direction(90.0)
    Point(x=0.0, y=1.0)
    """
    quarter, rest = divmod(degrees, 90.0)
    turn_x, turn_y = _QUARTERS[int(quarter) % 4]
    c, s = cos(radians(rest)), sin(radians(rest))
    return Point(c * turn_x - s * turn_y, c * turn_y + s * turn_x)
