"""Rubrics as members may see them, and as the core values that scoring and letters need."""

from __future__ import annotations

from fractions import Fraction

from django.db.models import QuerySet

from accounts.models import Membership, Role
from evaluations.core.rubric import (
    AreaSpec,
    Band,
    Ceiling,
    CriterionSpec,
    CriterionWording,
    RubricSpec,
    RubricWording,
)
from evaluations.models import Area, CriterionText, Rubric, Season


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
    )


def _area(area: Area) -> AreaSpec:
    return AreaSpec(
        key=area.key,
        weight=Fraction(area.weight),
        criteria=tuple(CriterionSpec(c.key, Fraction(c.weight)) for c in area.criteria.all()),
        minimum_share=Fraction(area.minimum_share),
        needed=area.needed,
    )


def rubric_wording(rubric: Rubric, language: str) -> RubricWording:
    """A rubric's texts in a language; what that language lacks comes in the association's."""
    preferred = (rubric.season.association.language, language)  # the later one wins
    texts = {
        text.criterion.key: text
        for tongue in preferred
        for text in CriterionText.objects.filter(
            criterion__area__rubric=rubric, language=tongue
        ).select_related("criterion")
    }
    words = {
        word.level: word.word
        for tongue in preferred
        for word in rubric.level_words.filter(language=tongue)
    }
    return RubricWording(
        language=language,
        name=str(rubric),
        areas={
            area.key: text.label
            for area in rubric.areas.prefetch_related("texts")
            for tongue in preferred
            for text in area.texts.all()
            if text.language == tongue
        },
        criteria={key: _criterion_wording(text) for key, text in texts.items()},
        bands={
            band.key: text.name
            for band in rubric.bands.prefetch_related("texts")
            for tongue in preferred
            for text in band.texts.all()
            if text.language == tongue
        },
        level_words=tuple(words.get(level, str(level)) for level in range(1, rubric.levels + 1)),
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
