"""Rubrics as their pages show them. Figures are printed: percent, half-up to one decimal."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from django.db.models import Prefetch, QuerySet
from django.utils.translation import gettext as _

from accounts.models import Membership
from evaluations.core.mechanics.counts import SURE_COUNT
from evaluations.core.mechanics.words import duty_of, threshold
from evaluations.core.printing import printed
from evaluations.core.rubric import CriterionSpec, CriterionWording, RubricSpec, RubricWording
from evaluations.core.rubric_content import AreaContent, RubricContent
from evaluations.core.voice import Voice
from evaluations.models import Rubric, Season
from evaluations.queries.rubrics import (
    rubric_content,
    rubric_spec,
    rubrics_for,
)
from evaluations.queries.seasons import seasons_for
from evaluations.voice import SiteVoice


@dataclass(frozen=True, slots=True)
class SeasonShelf:
    """A season with the editions that the asker may see, and the one that isn't published yet."""

    season: Season
    rubrics: tuple[Rubric, ...]
    in_work: Rubric | None
    to_copy: Rubric | None


def shelves(member: Membership) -> list[SeasonShelf]:
    """The association's seasons, newest first. `to_copy` is the last one published anywhere."""
    seen = rubrics_for(member).order_by("-edition")
    seasons = seasons_for(member).prefetch_related(
        Prefetch("rubrics", queryset=seen, to_attr="seen")
    )
    newest = rubrics_for(member).filter(state=Rubric.State.PUBLISHED).first()
    return [
        SeasonShelf(
            season=season,
            rubrics=tuple(season.seen),
            in_work=next((r for r in season.seen if r.state != Rubric.State.PUBLISHED), None),
            to_copy=newest,
        )
        for season in seasons
    ]


def seasons_to_begin(member: Membership) -> QuerySet[Season]:
    """The association's seasons without a rubric in work."""
    in_work = [Rubric.State.DRAFT, Rubric.State.PROPOSED]
    return seasons_for(member).exclude(rubrics__state__in=in_work)


@dataclass(frozen=True, slots=True)
class LevelLine:
    """`lower` and `upper` are the shares between which a count reaches the level."""

    number: int
    word: str
    lower: Decimal | None
    upper: Decimal | None


@dataclass(frozen=True, slots=True)
class CriterionLine:
    """`levels` pairs each level with its wording; `counted` are the duties whose findings are
    counted.
    """

    key: str
    wording: CriterionWording
    share: Decimal
    share_of_area: Decimal
    levels: tuple[tuple[LevelLine, str], ...]
    counted: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AreaLines:
    key: str
    label: str
    needed: bool
    minimum_share: Decimal
    share: Decimal
    criteria: tuple[CriterionLine, ...]


@dataclass(frozen=True, slots=True)
class BandLine:
    name: str
    lower: Decimal


@dataclass(frozen=True, slots=True)
class CeilingLine:
    """`area` is empty for a ceiling on the total."""

    pk: int
    criterion: str
    area: str
    at_most: Decimal


@dataclass(frozen=True, slots=True)
class RubricSheet:
    """A rubric in one language, with the share of the total that everything has.

    Below `minimum_count` judged findings nothing is suggested, below `sure_count` a range.
    """

    language: str
    areas: tuple[AreaLines, ...]
    levels: tuple[LevelLine, ...]
    bands: tuple[BandLine, ...]
    ceilings: tuple[CeilingLine, ...]
    target: str
    minimum_seen: Decimal
    minimum_count: int
    sure_count: int = SURE_COUNT

    def area(self, key: str) -> AreaLines | None:
        return next((a for a in self.areas if a.key == key), None)

    def criterion(self, key: str) -> tuple[AreaLines, CriterionLine] | None:
        """The criterion with its area."""
        lines = ((a, c) for a in self.areas for c in a.criteria)
        return next(((a, c) for a, c in lines if c.key == key), None)


def rubric_sheet(rubric: Rubric, language: str) -> RubricSheet:
    """Everything that a rubric's pages print; what the language lacks is the association's."""
    content = rubric_content(rubric)
    spec = rubric_spec(rubric)
    wording = content.wording(language, rubric.season.association.language, str(rubric))
    levels = _level_lines(content, wording)
    return RubricSheet(
        language=language,
        areas=tuple(_area_lines(a, spec, wording, levels) for a in content.areas),
        minimum_count=content.minimum_count,
        levels=levels,
        bands=tuple(BandLine(wording.bands[b.key], b.lower) for b in content.bands),
        ceilings=_ceiling_lines(rubric, wording),
        target=wording.level_words[content.target_level - 1],
        minimum_seen=percent(Fraction(content.minimum_seen)),
    )


def percent(share: Fraction) -> Decimal:
    """A share from 0 to 1 as it is printed, without the sign."""
    figure = printed(share * 100)
    return Decimal(figure.numerator) / figure.denominator


def _area_lines(
    content: AreaContent, spec: RubricSpec, wording: RubricWording, levels: tuple[LevelLine, ...]
) -> AreaLines:
    area = next(a for a in spec.areas if a.key == content.key)
    voice = SiteVoice(wording.language)
    return AreaLines(
        key=content.key,
        label=wording.areas[content.key],
        needed=content.needed,
        minimum_share=percent(Fraction(content.minimum_share)),
        share=percent(spec.area_share(area)),
        criteria=tuple(
            CriterionLine(
                key=c.key,
                wording=wording.criteria[c.key],
                share=percent(spec.criterion_share(c.key)),
                share_of_area=percent(c.weight / area.criteria_weight),
                levels=tuple(zip(levels, wording.criteria[c.key].levels, strict=True)),
                counted=tuple(_counted(c, voice)),
            )
            for c in area.criteria
        ),
    )


def _counted(criterion: CriterionSpec, voice: Voice) -> Iterable[str]:
    yield from (duty_of(voice, rule) for rule in criterion.findings)
    for film in criterion.thresholds:
        duty, least = duty_of(voice, film.rule), threshold(voice, film.rule, film.at)
        yield _("%(duty)s From film: %(threshold)s.") % {"duty": duty, "threshold": least}


def _level_lines(content: RubricContent, wording: RubricWording) -> tuple[LevelLine, ...]:
    cuts = [percent(Fraction(c)) for c in content.cut_points]
    return tuple(
        LevelLine(number, word, lower, upper)
        for number, word, lower, upper in zip(
            range(1, content.levels + 1),
            wording.level_words,
            [None, *cuts],
            [*cuts, None],
            strict=True,
        )
    )


def _ceiling_lines(rubric: Rubric, wording: RubricWording) -> tuple[CeilingLine, ...]:
    return tuple(
        CeilingLine(
            c.pk,
            wording.criteria[c.criterion.key].label,
            wording.areas[c.area.key] if c.area else "",
            c.at_most,
        )
        for c in rubric.ceilings.select_related("criterion", "area")
    )
