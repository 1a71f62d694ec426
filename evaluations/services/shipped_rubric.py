"""The rubric that Crewmark ships, as the first draft of a season."""

from __future__ import annotations

import tomllib
from datetime import datetime
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from django.db import transaction

from accounts.models import Membership
from evaluations.core.rubric import CriterionWording
from evaluations.core.rubric_content import (
    AreaContent,
    BandContent,
    CriterionContent,
    RubricContent,
)
from evaluations.models import Rubric, Season
from evaluations.models.rubric import default_cut_points
from evaluations.queries.codes import newest_code
from evaluations.services.rubric_drafts import record_step, require_admin
from evaluations.services.rubric_rows import add_draft

SHIPPED = Path(__file__).resolve().parent.parent / "shipped" / "default_rubric.toml"
LANGUAGES = ("en", "es")


@transaction.atomic
def add_shipped_rubric(*, season: Season, by: Membership, now: datetime) -> Rubric:
    """Put the shipped rubric into a season as a draft that admins edit and publish.

    Raises:
        django.core.exceptions.ValidationError: the season has a rubric in work already.
        evaluations.services.errors.Refused: not an admin of the association.
    """
    require_admin(by, season)
    rubric = add_draft(season, shipped_content(season.association.language))
    rubric.code_of_two = newest_code(season.association, 2)
    rubric.code_of_three = newest_code(season.association, 3)
    rubric.save(update_fields=["code_of_two", "code_of_three"])
    record_step(rubric, by, "rubric.drafted", now)
    return rubric


@cache
def shipped_content(language: str) -> RubricContent:
    """The shipped rubric; its note for readers is in one language."""
    data = tomllib.loads(SHIPPED.read_text(encoding="utf-8"))
    return RubricContent(
        note=data["edition_note"][language],
        mechanics="",
        levels=data["levels"],
        target_level=data["target_level"],
        minimum_seen=Decimal(data["minimum_seen"]),
        cut_points=tuple(map(Decimal, default_cut_points())),
        level_words={
            tongue: tuple(row[tongue] for row in data["level_words"]) for tongue in LANGUAGES
        },
        bands=tuple(
            BandContent(row["key"], Decimal(row["lower"]), _by_language(row))
            for row in data["bands"]
        ),
        areas=tuple(_area(row) for row in data["areas"]),
    )


def _area(row: dict[str, Any]) -> AreaContent:
    return AreaContent(
        key=row["key"],
        weight=Decimal(row["weight"]),
        minimum_share=Decimal(row["minimum_share"]),
        needed=row["needed"],
        labels=_by_language(row),
        criteria=tuple(
            CriterionContent(
                key=c["key"],
                weight=Decimal(c["weight"]),
                texts={t: _wording(c[t]) for t in LANGUAGES},
                findings=tuple(c.get("findings", ())),
            )
            for c in row["criteria"]
        ),
    )


def _by_language(row: dict[str, Any]) -> dict[str, str]:
    return {tongue: row[tongue] for tongue in LANGUAGES}


def _wording(row: dict[str, Any]) -> CriterionWording:
    return CriterionWording(**{**row, "levels": tuple(row["levels"])})
