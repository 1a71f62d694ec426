"""Releases to write letters from, about an invented game."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from fractions import Fraction
from typing import Any

from evaluations.core.games import (
    CrewPosition,
    Difficulty,
    GameFacts,
    Kind,
    ObservationFacts,
    Seen,
    Talk,
)
from evaluations.core.mechanics.counts import Count, suggested
from evaluations.core.mechanics.court import Court, End, Place, Position, Resumes, Side, Whistle
from evaluations.core.mechanics.facts import Kept, Source
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.mechanics.movement import Movement
from evaluations.core.next_steps import NextStep, Strength
from evaluations.core.ratings import Rating
from evaluations.core.release import (
    CountedCriterion,
    LogEvidence,
    ReleaseSnapshot,
    SeasonValue,
)
from evaluations.core.rubric import CriterionWording, RubricSpec, RubricWording
from evaluations.core.scoring import Withheld, score

NO_SEASON = SeasonValue(observations=0, mean=None, margin=None, areas={})


def wording_of(rubric: RubricSpec) -> RubricWording:
    """Texts that name their key, so that a test finds them again."""
    levels = tuple(f"word {level}" for level in range(1, rubric.levels + 1))
    return RubricWording(
        language="en",
        name="Rubric 2026–27",
        areas={a.key: f"Area {a.key}" for a in rubric.areas},
        criteria={
            c.key: CriterionWording(
                label=f"Criterion {c.key}",
                hint=f"Hint of {c.key}.",
                standard=f"Standard of {c.key}.",
                why=f"Why of {c.key}.",
                try_this=f"Exercise of {c.key}.",
                check=f"Check of {c.key}.",
                levels=levels,
            )
            for c in rubric.criteria
        },
        bands={b.key: f"band {b.key}" for b in rubric.bands},
        level_words=levels,
    )


def next_step(criterion: str, seen: str = "Seen twice.", **fields: Any) -> NextStep:
    return NextStep(
        criterion,
        seen,
        f"Standard of {criterion}.",
        f"Why of {criterion}.",
        f"Exercise of {criterion}.",
        f"Check of {criterion}.",
        **fields,
    )


def observed(**fields: Any) -> ObservationFacts:
    """A scored observation of a whole, ordinary game with a talk, except as told."""
    facts: dict[str, Any] = {
        "kind": Kind.SCORED,
        "seen": Seen.WHOLE,
        "part": "",
        "difficulty": Difficulty.ORDINARY,
        "talk": Talk.HELD,
        "observer": "Rowan Ashdown",
    }
    return ObservationFacts(**{**facts, **fields})


def snapshot_of(
    rubric: RubricSpec,
    ratings: Sequence[Rating],
    *,
    withhold: Withheld | None = None,
    strengths: Sequence[Strength] = (),
    next_steps: Sequence[NextStep] = (),
    **fields: Any,
) -> ReleaseSnapshot:
    """The release of an evaluation with these ratings, everything else as it mostly is."""
    facts: dict[str, Any] = {
        "association": "Lakeside Officials",
        "official": "Marlow Penhale",
        "observer": "Rowan Ashdown",
        "position": CrewPosition.UMPIRE_1,
        "game": GameFacts(date(2027, 1, 12), "varsity", "Herons", "Millstone", "North Gym", 3),
        "observation": observed(),
        "rubric_name": "Rubric 2026–27",
        "mechanics_code": "Mechanics 3",
        "wording": wording_of(rubric),
        "summary": "Calm in the reporting area. Switches begin late.",
        "season": NO_SEASON,
        "new_official": False,
        "under_18": False,
        "issued_on": date(2027, 1, 14),
        "respond_until": date(2027, 1, 28),
        "paragraph": "Thank you for a good January.",
        "serial": 1,
        "code": "K7QM-2XPA-9RTC",
        "address": "https://crewmark.example/verify/K7QM-2XPA-9RTC",
        "paper": "a4",
    }
    return ReleaseSnapshot(
        rubric=rubric,
        ratings=tuple(ratings),
        card=score(rubric, ratings, withhold=withhold),
        strengths=tuple(strengths),
        next_steps=tuple(next_steps),
        **{**facts, **fields},
    )


def season(mean: int | str, margin: float, observations: int, **areas: int) -> SeasonValue:
    return SeasonValue(
        observations=observations,
        mean=Fraction(mean),
        margin=margin,
        areas={key: Fraction(value) for key, value in areas.items()},
    )


def counted(met: int, not_met: int, not_judged: int = 0, **fields: Any) -> Count:
    """A count of a log of every foul; the dead balls not met are 1, 2 and so on."""
    values: dict[str, Any] = {
        "by_option": 0,
        "dead_balls": tuple(range(1, not_met + 1)),
        "kept": Kept.EVERY_FOUL,
    }
    return Count(met, not_met, not_judged, **(values | fields))


def log_of(
    rubric: RubricSpec, counts: Mapping[str, Count], movement: Movement | None = None, **fields: Any
) -> LogEvidence:
    """What a live log of 18 whistles says, by the criteria counted."""
    values: dict[str, Any] = {
        "kept": next((c.kept for c in counts.values()), Kept.EVERY_FOUL),
        "source": Source.LIVE,
        "dead_balls": 18,
        "code": "Two-person mechanics, edition 3",
    }
    found = {key: CountedCriterion(c, suggested(rubric, c)) for key, c in counts.items()}
    return LogEvidence(counted=found, movement=movement, **(values | fields))


def moved(**fields: Any) -> Movement:
    """A lead on the table side who stayed, when the code sent to trail, table side."""
    values: dict[str, Any] = {
        "dead_ball": 9,
        "period": 2,
        "clock": "4:10",
        "whistle": Whistle.SHOOTING,
        "resumes": Resumes.FREE_THROWS,
        "court": Court.FRONT,
        "basket": End.LEFT,
        "flip": False,
        "long_switch": False,
        "before": Place(Position.LEAD, Side.TABLE),
        "expected": Place(Position.TRAIL, Side.TABLE),
        "actual": Place(Position.LEAD, Side.TABLE),
        "verdict": Verdict.NOT_MET,
        "option": None,
    }
    return Movement(**(values | fields))
