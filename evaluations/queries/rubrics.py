"""Rubrics as members may see them, and as the core values that scoring and letters need."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from django.db.models import QuerySet

from accounts.models import Membership, Role
from evaluations.core.rubric import (
    AreaSpec,
    Band,
    Ceiling,
    CriterionSpec,
    CriterionWording,
    FloorRule,
    RubricSpec,
    RubricWording,
    Threshold,
)
from evaluations.core.rubric_content import (
    AreaContent,
    BandContent,
    CeilingContent,
    CriterionContent,
    RubricContent,
)
from evaluations.models import Area, Criterion, CriterionText, Rubric, Season


def rubrics_for(member: Membership) -> QuerySet[Rubric]:
    """Admins see every rubric of their association, everybody else the published ones."""
    rubrics = Rubric.objects.filter(season__association=member.association).select_related(
        "season__association"
    )
    if Role.ADMIN in member.roles:
        return rubrics
    return rubrics.filter(state=Rubric.State.PUBLISHED)


def published_rubric(season: Season) -> Rubric | None:
    """The edition in force: the last one published."""
    published = Rubric.objects.filter(season=season, state=Rubric.State.PUBLISHED)
    return published.select_related("season__association").order_by("-edition").first()


def rubric_spec(rubric: Rubric) -> RubricSpec:
    """What the arithmetic needs of a rubric.

    Raises:
        evaluations.core.rubric.RubricError: a draft that can't be used yet.
    """
    return RubricSpec(
        areas=tuple(_area(a) for a in rubric.areas.prefetch_related("criteria")),
        levels=rubric.levels,
        target_level=rubric.target_level,
        minimum_seen=Fraction(rubric.minimum_seen),
        bands=tuple(Band(b.key, Fraction(b.lower)) for b in rubric.bands.all()),
        ceilings=tuple(
            Ceiling(c.criterion.key, Fraction(c.at_most), c.area.key if c.area else None)
            for c in rubric.ceilings.select_related("criterion", "area")
        ),
        cut_points=tuple(Fraction(c) for c in rubric.cut_points),
        minimum_count=rubric.minimum_count,
    )


def _area(area: Area) -> AreaSpec:
    return AreaSpec(
        key=area.key,
        weight=Fraction(area.weight),
        criteria=tuple(
            CriterionSpec(
                key=c.key,
                weight=Fraction(c.weight),
                findings=tuple(c.findings),
                thresholds=tuple(
                    Threshold(rule, Fraction(at)) for rule, at in _thresholds(c).items()
                ),
            )
            for c in area.criteria.all()
        ),
        minimum_share=Fraction(area.minimum_share),
        needed=area.needed,
    )


def _thresholds(criterion: Criterion) -> dict[FloorRule, Decimal]:
    """In the order of the rules; a database may keep another one."""
    stored = criterion.thresholds
    return {rule: Decimal(stored[rule]) for rule in FloorRule if rule in stored}


def thresholds_of(rubric: Rubric) -> dict[FloorRule, Fraction]:
    """What film is judged by under a rubric; a rule has one threshold in it."""
    asked = Criterion.objects.filter(area__rubric=rubric).exclude(thresholds={})
    found = {rule: Fraction(at) for c in asked for rule, at in _thresholds(c).items()}
    return {rule: found[rule] for rule in FloorRule if rule in found}


def rubric_content(rubric: Rubric) -> RubricContent:
    """The whole rubric as rows hold it, texts in every language; eight queries at any size."""
    areas = rubric.areas.prefetch_related("texts", "criteria__texts")
    bands = rubric.bands.prefetch_related("texts")
    return RubricContent(
        note=rubric.note,
        mechanics=rubric.mechanics,
        levels=rubric.levels,
        target_level=rubric.target_level,
        minimum_seen=rubric.minimum_seen,
        cut_points=tuple(Decimal(c) for c in rubric.cut_points),
        level_words=_level_words(rubric),
        bands=tuple(
            BandContent(b.key, b.lower, {t.language: t.name for t in b.texts.all()}) for b in bands
        ),
        areas=tuple(_area_content(a) for a in areas),
        ceilings=tuple(
            CeilingContent(c.criterion.key, c.at_most, c.area.key if c.area else None)
            for c in rubric.ceilings.select_related("criterion", "area")
        ),
        minimum_count=rubric.minimum_count,
    )


def rubric_wording(rubric: Rubric, language: str) -> RubricWording:
    """A rubric's texts in a language; what that language lacks comes in the association's."""
    fallback = rubric.season.association.language
    return rubric_content(rubric).wording(language, fallback, str(rubric))


def _level_words(rubric: Rubric) -> dict[str, tuple[str, ...]]:
    words: dict[str, dict[int, str]] = {}
    for row in rubric.level_words.all():
        words.setdefault(row.language, {})[row.level] = row.word
    return {
        language: tuple(by_level.get(n, "") for n in range(1, max(by_level) + 1))
        for language, by_level in words.items()
    }


def _area_content(area: Area) -> AreaContent:
    return AreaContent(
        key=area.key,
        weight=area.weight,
        minimum_share=area.minimum_share,
        needed=area.needed,
        labels={t.language: t.label for t in area.texts.all()},
        criteria=tuple(
            CriterionContent(
                key=c.key,
                weight=c.weight,
                texts={t.language: _criterion_wording(t) for t in c.texts.all()},
                findings=tuple(c.findings),
                thresholds=_thresholds(c),
            )
            for c in area.criteria.all()
        ),
    )


def _criterion_wording(text: CriterionText) -> CriterionWording:
    return CriterionWording(
        label=text.label,
        hint=text.hint,
        standard=text.standard,
        why=text.why,
        try_this=text.try_this,
        check=text.how_we_check,
        levels=tuple(text.levels),
    )
