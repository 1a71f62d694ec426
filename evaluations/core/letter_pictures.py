"""The drawings of a letter's evidence, each with what it shows in words: the own, nobody else's."""

from __future__ import annotations

from dataclasses import dataclass

from evaluations.core.floor.eyes import Stretch
from evaluations.core.floor_evidence import OwnSketch
from evaluations.core.mechanics.movement import Movement


@dataclass(frozen=True, slots=True)
class MovementPicture:
    """The official's own movement at one dead ball, to be drawn on a court.

    `caption` tells it in words and `alt` tells the same; `table` is written on the drawn table.
    """

    movement: Movement
    caption: str
    alt: str
    table: str


@dataclass(frozen=True, slots=True)
class SketchPicture:
    """The own official among the players, in place of a movement.

    `you` stands beside the official, `table` on the drawn table; the rest as in `MovementPicture`.
    """

    sketch: OwnSketch
    caption: str
    alt: str
    you: str
    table: str


@dataclass(frozen=True, slots=True)
class BandPicture:
    """In which parts of the own duty the official faced the players; times in milliseconds from the
    whistle on. `whistle` and `reported` stand at its ends."""

    band: tuple[Stretch, ...]
    caption: str
    alt: str
    whistle: str
    reported: str
