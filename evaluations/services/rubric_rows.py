"""A rubric's content into rows: for the shipped rubric, a copy, and an undo."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from evaluations.core.rubric import CriterionWording, FloorRule
from evaluations.core.rubric_content import (
    AreaContent,
    BandContent,
    CeilingContent,
    CriterionContent,
    RubricContent,
)
from evaluations.models import (
    Area,
    AreaText,
    Band,
    BandText,
    Ceiling,
    Criterion,
    CriterionText,
    LevelWord,
    Rubric,
    Season,
)


def add_draft(season: Season, content: RubricContent) -> Rubric:
    """A new draft with this content, as the season's next edition.

    Raises:
        django.core.exceptions.ValidationError: the season has a rubric in work already.
    """
    # The season's row is the lock: two admins who start at the same moment wait for each other.
    Season.objects.select_for_update().get(pk=season.pk)
    newest = season.rubrics.order_by("-edition").first()
    rubric = Rubric(season=season, edition=newest.edition + 1 if newest else 1)
    write_content(rubric, content)
    return rubric


def write_content(rubric: Rubric, content: RubricContent) -> None:
    """Put `content` in place of whatever the rubric holds. Saves the rubric, new or not."""
    rubric.note = content.note
    rubric.mechanics = content.mechanics
    rubric.levels = content.levels
    rubric.target_level = content.target_level
    rubric.minimum_seen = content.minimum_seen
    rubric.cut_points = [str(c) for c in content.cut_points]
    rubric.minimum_count = content.minimum_count
    rubric.full_clean()
    rubric.save()
    write_level_words(rubric, content.level_words)
    write_bands(rubric, content.bands)
    rubric.ceilings.all().delete()
    rubric.areas.all().delete()
    for order, area in enumerate(content.areas, start=1):
        write_area(rubric, order, area)
    _write_ceilings(rubric, content.ceilings)


def write_level_words(rubric: Rubric, words: Mapping[str, Sequence[str]]) -> None:
    """Words by language, from the lowest level up, in place of those there were."""
    rubric.level_words.all().delete()
    for language, by_level in words.items():
        for level, word in enumerate(by_level, start=1):
            if word:
                row = LevelWord(rubric=rubric, level=level, language=language, word=word)
                row.full_clean(validate_constraints=False)
                row.save()


def write_bands(rubric: Rubric, bands: Iterable[BandContent]) -> None:
    """Bands in place of those there were."""
    rubric.bands.all().delete()
    for band in bands:
        row = Band(rubric=rubric, key=band.key, lower=band.lower)
        row.full_clean()
        row.save()
        for language, name in band.names.items():
            if name:
                text = BandText(band=row, language=language, name=name)
                text.full_clean(validate_constraints=False)
                text.save()


def write_area(rubric: Rubric, order: int, content: AreaContent) -> None:
    area = Area(
        rubric=rubric,
        key=content.key,
        order=order,
        weight=content.weight,
        minimum_share=content.minimum_share,
        needed=content.needed,
    )
    area.full_clean()
    area.save()
    write_area_labels(area, content.labels)
    for place, criterion in enumerate(content.criteria, start=1):
        write_criterion(area, place, criterion)


def write_area_labels(area: Area, labels: Mapping[str, str]) -> None:
    """An area's names in the given languages; an empty one is taken away."""
    area.texts.filter(language__in=labels).delete()
    for language, label in labels.items():
        if label:
            text = AreaText(area=area, language=language, label=label)
            text.full_clean(validate_constraints=False)
            text.save()


def write_criterion(area: Area, order: int, content: CriterionContent) -> Criterion:
    """A new criterion of an area, with its texts."""
    criterion = Criterion(
        area=area,
        key=content.key,
        order=order,
        weight=content.weight,
        findings=list(content.findings),
        thresholds=stored_thresholds(content.thresholds),
    )
    criterion.full_clean()
    criterion.save()
    write_criterion_texts(criterion, content.texts)
    return criterion


def stored_thresholds(thresholds: Mapping[FloorRule, Decimal]) -> dict[str, str]:
    """Thresholds as their column has them, exact."""
    return {rule.value: str(at) for rule, at in thresholds.items()}


def write_criterion_texts(criterion: Criterion, texts: Mapping[str, CriterionWording]) -> None:
    """A criterion's texts in the given languages; one without a word in it is taken away."""
    criterion.texts.filter(language__in=texts).delete()
    for language, wording in texts.items():
        row = CriterionText(
            criterion=criterion,
            language=language,
            label=wording.label,
            hint=wording.hint,
            standard=wording.standard,
            why=wording.why,
            try_this=wording.try_this,
            how_we_check=wording.check,
            levels=list(wording.levels),
        )
        row.full_clean(validate_constraints=False)
        if any((row.label, row.hint, row.standard, row.why, row.try_this, row.how_we_check)) or any(
            row.levels
        ):
            row.save()


def _write_ceilings(rubric: Rubric, ceilings: Iterable[CeilingContent]) -> None:
    criteria = {c.key: c for c in Criterion.objects.filter(area__rubric=rubric)}
    areas = {a.key: a for a in rubric.areas.all()}
    for content in ceilings:
        ceiling = Ceiling(
            rubric=rubric,
            criterion=criteria[content.criterion],
            area=areas[content.area] if content.area else None,
            at_most=content.at_most,
        )
        ceiling.full_clean()
        ceiling.save()
