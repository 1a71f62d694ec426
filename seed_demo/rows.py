"""The kinds of row that the demo hands from one service to the next, as names for annotations.

This is the only module here that knows the models: rows are made and changed by services alone.
"""

from evaluations.models import (
    DeadBall,
    DeadBallLog,
    Evaluation,
    FilmStatement,
    Game,
    Observation,
    Release,
    ReviewLine,
    Rubric,
    Season,
)

__all__ = [
    "DeadBall",
    "DeadBallLog",
    "Evaluation",
    "FilmStatement",
    "Game",
    "Observation",
    "Release",
    "ReviewLine",
    "Rubric",
    "Season",
]
