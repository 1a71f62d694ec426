"""Who is seen: within an official's field of view, and not behind another player's body."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from evaluations.core.floor.sketch import SAME_SPOT, OfficialAt, PlayerAt, direction

BODY_RADIUS = 0.3
"""Metres: half a player's breadth, as this site draws it."""

ON_THE_EDGE = 1e-9
"""Degrees: a player on the edge of the field is within it, whatever the rounding."""


def seen_by(
    official: OfficialAt, players: Sequence[PlayerAt], field_of_view: float
) -> tuple[bool, ...]:
    """For each player, whether the official can see him or her.

    The angle between facing and the line to the player must be within half the field (degrees).
    A nearer player whose body the line passes through hides the farther one. Whoever stands on
    the official's spot is seen, and a body that the official stands in hides nobody.
    """
    if not players:
        return ()
    to = np.array([p.at for p in players]) - np.array(official.at)
    distance = np.hypot(to[:, 0], to[:, 1])
    facing = direction(official.facing)
    along = to[:, 0] * facing.x + to[:, 1] * facing.y
    across = to[:, 1] * facing.x - to[:, 0] * facing.y
    angle = np.degrees(np.arctan2(np.abs(across), along))
    within = angle <= field_of_view / 2 + ON_THE_EDGE
    on_spot = distance < SAME_SPOT
    seen = on_spot | (within & ~_hidden(to, distance))
    return tuple(seen.tolist())


def _hidden(to: np.ndarray, distance: np.ndarray) -> np.ndarray:
    """For each player, whether another's body is on the line; `to` has the vectors from the
    official, `distance` their lengths."""
    far = np.maximum(distance, SAME_SPOT)[:, None]
    along = (to @ to.T) / far
    across = np.abs(to[:, None, 0] * to[None, :, 1] - to[:, None, 1] * to[None, :, 0]) / far
    nearer = distance[None, :] < distance[:, None] - SAME_SPOT
    outside = distance[None, :] >= BODY_RADIUS
    hides = nearer & outside & (along > 0) & (across < BODY_RADIUS)
    hidden: np.ndarray = hides.any(axis=1)
    return hidden
