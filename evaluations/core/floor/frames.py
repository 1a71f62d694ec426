"""Courts by their published dimensions, in metres.

The origin is the corner of the left end line and the table's side line, as seen from the table; x
runs to the right end, y away from the table.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import acos, sin

FOOT = 0.3048
"""Metres; the international foot, exact by definition."""


class Frame(StrEnum):
    """Which court."""

    FIBA = "fiba"
    FEET_84 = "feet_84"
    FEET_94 = "feet_94"


@dataclass(frozen=True, slots=True)
class CourtFrame:
    """Lengths in metres. `arc_radius` is the three-point line's; its straight part runs
    `corner_inset` from the side line. A lane is as long as its free-throw line is far."""

    length: float
    width: float
    basket_inset: float
    lane_length: float
    lane_width: float
    arc_radius: float
    corner_inset: float
    circle_radius: float

    @property
    def arc_meets_corner(self) -> float:
        """How far from the end line the straight part of the three-point line ends.

        >>> round(FRAMES[Frame.FIBA].arc_meets_corner, 4)
        2.9901
        """
        across = self.width / 2 - self.corner_inset
        return self.basket_inset + self.arc_radius * sin(acos(across / self.arc_radius))


FRAMES: dict[Frame, CourtFrame] = {
    # FIBA Official Basketball Rules, Art. 2.
    Frame.FIBA: CourtFrame(28.0, 15.0, 1.575, 5.8, 4.9, 6.75, 0.9, 1.8),
    # Common practice, from memory: 84 ft x 50 ft and 94 ft x 50 ft, baskets 5 ft 3 in from the end
    # line, free-throw lane 19 ft x 12 ft, three-point arc 19 ft 9 in.
    Frame.FEET_84: CourtFrame(
        84 * FOOT, 50 * FOOT, 5.25 * FOOT, 19 * FOOT, 12 * FOOT, 19.75 * FOOT, 5.25 * FOOT, 6 * FOOT
    ),
    Frame.FEET_94: CourtFrame(
        94 * FOOT, 50 * FOOT, 5.25 * FOOT, 19 * FOOT, 12 * FOOT, 19.75 * FOOT, 5.25 * FOOT, 6 * FOOT
    ),
}


def court_points(court: CourtFrame) -> dict[str, tuple[float, float]]:
    """Points that a film shows well: corners, ends of the division line, corners of the lanes.

    A key names the end (left, right), what it is, and the side: near is the table's.

    >>> court_points(FRAMES[Frame.FIBA])["right-free-throw-far"]
    (22.2, 9.95)
    """
    middle, half, long = court.width / 2, court.lane_width / 2, court.lane_length
    points = {
        "division-near": (court.length / 2, 0.0),
        "division-far": (court.length / 2, court.width),
    }
    for end, deep, turn in (("left", 0.0, 1), ("right", court.length, -1)):
        for side, across in (("near", 0.0), ("far", court.width)):
            points[f"{end}-corner-{side}"] = (deep, across)
        for side, across in (("near", middle - half), ("far", middle + half)):
            points[f"{end}-lane-{side}"] = (deep, across)
            points[f"{end}-free-throw-{side}"] = (deep + turn * long, across)
    return points
