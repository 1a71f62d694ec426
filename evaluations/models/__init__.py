"""The stages of the work as rows, one module a stage."""

from evaluations.models.answer import Response, ResponseLine, Review, ReviewLine
from evaluations.models.evaluation import Evaluation, NextStep, Rating, Strength
from evaluations.models.floor import EyesMarks, FilmStatement, FloorSketch
from evaluations.models.game import CrewMember, Game
from evaluations.models.log import DeadBall, DeadBallLog, FindingCount, MissMoved
from evaluations.models.mail import Mail
from evaluations.models.mechanics import CodeEdition
from evaluations.models.observation import Observation
from evaluations.models.release import Release, ReleaseEvent
from evaluations.models.rubric import (
    Area,
    AreaText,
    Band,
    BandText,
    Ceiling,
    Criterion,
    CriterionText,
    LevelWord,
    Rubric,
)
from evaluations.models.season import Season

__all__ = [
    "Area",
    "AreaText",
    "Band",
    "BandText",
    "Ceiling",
    "CodeEdition",
    "CrewMember",
    "Criterion",
    "CriterionText",
    "DeadBall",
    "DeadBallLog",
    "Evaluation",
    "EyesMarks",
    "FilmStatement",
    "FindingCount",
    "FloorSketch",
    "Game",
    "LevelWord",
    "Mail",
    "MissMoved",
    "NextStep",
    "Observation",
    "Rating",
    "Release",
    "ReleaseEvent",
    "Response",
    "ResponseLine",
    "Review",
    "ReviewLine",
    "Rubric",
    "Season",
    "Strength",
]
