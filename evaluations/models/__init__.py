"""The stages of the work as rows, one module a stage."""

from evaluations.models.answer import Response, ResponseLine, Review, ReviewLine
from evaluations.models.evaluation import Evaluation, NextStep, Rating, Strength
from evaluations.models.game import CrewMember, Game
from evaluations.models.mail import Mail
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
    "CrewMember",
    "Criterion",
    "CriterionText",
    "Evaluation",
    "Game",
    "LevelWord",
    "Mail",
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
