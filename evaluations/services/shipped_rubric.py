"""The rubric that Crewmark ships, as the first draft of a season."""

from __future__ import annotations

import tomllib
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from django.db import transaction

from accounts.models import Membership
from accounts.services.audit import record
from evaluations.models import (
    Area,
    AreaText,
    Band,
    BandText,
    Criterion,
    CriterionText,
    LevelWord,
    Rubric,
    Season,
)

SHIPPED = Path(__file__).resolve().parent.parent / "shipped" / "default_rubric.toml"
LANGUAGES = ("en", "es")


@transaction.atomic
def add_shipped_rubric(*, season: Season, by: Membership, now: datetime) -> Rubric:
    """Put the shipped rubric into a season as a draft that admins edit and publish.

    Raises:
        django.core.exceptions.ValidationError: the season has a rubric in work already.
    """
    data = tomllib.loads(SHIPPED.read_text(encoding="utf-8"))
    newest = season.rubrics.order_by("-edition").first()
    rubric = Rubric(
        season=season,
        edition=newest.edition + 1 if newest else 1,
        note=data["edition_note"][season.association.language],
        levels=data["levels"],
        target_level=data["target_level"],
        minimum_seen=Decimal(data["minimum_seen"]),
    )
    rubric.full_clean()
    rubric.save()
    _add_words(rubric, data)
    for order, area in enumerate(data["areas"], start=1):
        _add_area(rubric, order, area)
    record(
        actor=by.user,
        association=by.association,
        action="rubric.drafted",
        target=rubric,
        now=now,
        details={"edition": rubric.edition},
    )
    return rubric


def _add_words(rubric: Rubric, data: dict[str, Any]) -> None:
    LevelWord.objects.bulk_create(
        LevelWord(rubric=rubric, level=row["level"], language=language, word=row[language])
        for row in data["level_words"]
        for language in LANGUAGES
    )
    for row in data["bands"]:
        band = Band.objects.create(rubric=rubric, key=row["key"], lower=Decimal(row["lower"]))
        BandText.objects.bulk_create(
            BandText(band=band, language=language, name=row[language]) for language in LANGUAGES
        )


def _add_area(rubric: Rubric, order: int, data: dict[str, Any]) -> None:
    area = Area.objects.create(
        rubric=rubric,
        key=data["key"],
        order=order,
        weight=Decimal(data["weight"]),
        minimum_share=Decimal(data["minimum_share"]),
        needed=data["needed"],
    )
    AreaText.objects.bulk_create(
        AreaText(area=area, language=language, label=data[language]) for language in LANGUAGES
    )
    for place, row in enumerate(data["criteria"], start=1):
        criterion = Criterion.objects.create(
            area=area, key=row["key"], order=place, weight=Decimal(row["weight"])
        )
        CriterionText.objects.bulk_create(
            _text(criterion, language, row[language]) for language in LANGUAGES
        )


def _text(criterion: Criterion, language: str, row: dict[str, Any]) -> CriterionText:
    return CriterionText(
        criterion=criterion,
        language=language,
        label=row["label"],
        hint=row["hint"],
        standard=row["standard"],
        why=row["why"],
        try_this=row["try_this"],
        how_we_check=row["check"],
        levels=row["levels"],
    )
