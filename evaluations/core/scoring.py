"""From ratings to a weighted score, exactly.

All arithmetic is in `fractions.Fraction`; only `printing` rounds. The `ScoreCard` holds every
figure on the way, so that a letter and a page can show the arithmetic.

A criterion's value q is in [0, 1]; not seen is no value, never zero. With W the weights of areas
and w those of criteria within an area,

    area value  A = sum(w q) / sum(w)            over its observed criteria
    total       T = 100 sum(W A) / sum(W)        over the areas that count
    points of c   = 100 (W_a / sum W) (w_c / sum w) q_c
    room of c     = 100 (W_a / sum W) (w_c / sum w) (1 - q_c)

so that points sum to T and room to 100 - T, both before ceilings.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction

from evaluations.core.printing import band, between_bands, largest_remainder, printed
from evaluations.core.ratings import Rating, by_area, level_reached, value
from evaluations.core.rubric import HUNDRED, AreaSpec, Ceiling, CriterionSpec, RubricSpec

ZERO = Fraction(0)
ONE = Fraction(1)


class Withheld(StrEnum):
    """Why a score card has no total."""

    NOT_ENOUGH_SEEN = "not_enough_seen"
    COACHING = "coaching"
    UNDER_18 = "under_18"


@dataclass(frozen=True, slots=True)
class CriterionScore:
    """One criterion: `value` in [0, 1] (None: not seen), `points` and `room` on 0 to 100.

    `points` and `room` are None unless the criterion was seen, its area counts and there is a
    total. `form_share` is its part (0 to 1) of a form in which everything was seen.
    """

    key: str
    area: str
    level: int | None
    value: Fraction | None
    form_share: Fraction
    points: Fraction | None = None
    room: Fraction | None = None


@dataclass(frozen=True, slots=True)
class AreaScore:
    """One area on 0 to 1: `value` before ceilings and `capped` after them (None: nothing seen).

    `form_share` is the area's part of the form, `share` its part of the total (None: does not
    count), `seen` the observed part of its criteria's weight, each 0 to 1.
    """

    key: str
    form_share: Fraction
    seen: Fraction
    counts: bool
    value: Fraction | None
    capped: Fraction | None
    share: Fraction | None


@dataclass(frozen=True, slots=True)
class Bite:
    """A ceiling that bit, on 0 to 100. `rise` is what the total gains if its criterion tops out."""

    ceiling: Ceiling
    before: Fraction
    after: Fraction
    rise: Fraction


@dataclass(frozen=True, slots=True)
class ScoreCard:
    """A score with all its arithmetic, unrounded, on 0 to 100.

    `uncapped` is the total before ceilings, `total` after. Both are None, and `withheld` says
    why, when there is none. `needed_missing` lists needed areas that do not count.
    """

    criteria: tuple[CriterionScore, ...]
    areas: tuple[AreaScore, ...]
    share_seen: Fraction
    needed_missing: tuple[str, ...]
    withheld: Withheld | None
    uncapped: Fraction | None
    total: Fraction | None
    band: str | None
    between: tuple[str, str] | None
    bites: tuple[Bite, ...]


def score(
    rubric: RubricSpec, ratings: Iterable[Rating], *, withhold: Withheld | None = None
) -> ScoreCard:
    """Score one evaluation. `withhold` says that there is to be no total whatever was seen.

    Raises:
        RubricError: ratings that do not fit the rubric.
    """
    answers = [r for area in by_area(rubric, ratings) for r in area.ratings]
    values = {r.criterion: q for r in answers if (q := value(rubric, r)) is not None}
    levels = {r.criterion: level for r in answers if (level := level_reached(rubric, r))}
    areas = _area_scores(rubric, values)
    counted = {a.key for a in areas if a.counts}
    share_seen = sum((a.form_share * a.seen for a in areas if a.counts), ZERO)
    missing = tuple(a.key for a in rubric.areas if a.needed and a.key not in counted)
    reason = withhold
    if reason is None and (missing or not counted or share_seen < rubric.minimum_seen):
        reason = Withheld.NOT_ENOUGH_SEEN
    if reason is not None:
        areas = tuple(replace(a, share=None) for a in areas)
    criteria = _criterion_scores(rubric, values, levels, areas)
    card = ScoreCard(criteria, areas, share_seen, missing, reason, None, None, None, None, ())
    return card if reason is not None else _with_total(rubric, card, values, levels)


def _area_scores(rubric: RubricSpec, values: Mapping[str, Fraction]) -> tuple[AreaScore, ...]:
    observed = {a.key: _observed_weight(a, values) for a in rubric.areas}
    seen = {a.key: observed[a.key] / a.criteria_weight for a in rubric.areas}
    counting = {a.key for a in rubric.areas if seen[a.key] >= a.minimum_share}
    counted_weight = sum((a.weight for a in rubric.areas if a.key in counting), ZERO)

    def one(area: AreaSpec) -> AreaScore:
        counts = area.key in counting
        mean = None
        if observed[area.key]:
            mean = _weighted_sum(area.criteria, values) / observed[area.key]
        share = area.weight / counted_weight if counts else None
        form_share = rubric.area_share(area)
        return AreaScore(area.key, form_share, seen[area.key], counts, mean, mean, share)

    return tuple(one(a) for a in rubric.areas)


def _observed_weight(area: AreaSpec, values: Mapping[str, Fraction]) -> Fraction:
    return sum((c.weight for c in area.criteria if c.key in values), ZERO)


def _weighted_sum(criteria: Sequence[CriterionSpec], values: Mapping[str, Fraction]) -> Fraction:
    return sum((c.weight * values[c.key] for c in criteria if c.key in values), ZERO)


def _criterion_scores(
    rubric: RubricSpec,
    values: Mapping[str, Fraction],
    levels: Mapping[str, int],
    areas: Iterable[AreaScore],
) -> tuple[CriterionScore, ...]:
    shares = {a.key: a.share for a in areas}

    def one(area: AreaSpec, criterion: CriterionSpec) -> CriterionScore:
        key = criterion.key
        q = values.get(key)
        points = room = None
        area_share = shares[area.key]
        if q is not None and area_share is not None:
            part = area_share * criterion.weight / _observed_weight(area, values)
            points, room = part * q * HUNDRED, part * (ONE - q) * HUNDRED
        form_share = rubric.criterion_share(key)
        return CriterionScore(key, area.key, levels.get(key), q, form_share, points, room)

    return tuple(one(a, c) for a in rubric.areas for c in a.criteria)


def _with_total(
    rubric: RubricSpec,
    card: ScoreCard,
    values: Mapping[str, Fraction],
    levels: Mapping[str, int],
) -> ScoreCard:
    held = _hold(rubric, card.areas, levels)
    return replace(
        card,
        areas=held.areas,
        uncapped=_total(card.areas),
        total=held.total,
        band=band(rubric, held.total),
        between=between_bands(rubric, held.total, level_step(rubric, card)),
        bites=tuple(_bites(rubric, held, values, levels)),
    )


def _total(areas: Iterable[AreaScore]) -> Fraction:
    parts = ((a.share, a.capped) for a in areas)
    return HUNDRED * sum((s * v for s, v in parts if s is not None and v is not None), ZERO)


@dataclass(frozen=True, slots=True)
class _Held:
    """Areas and total (0 to 100) under the ceilings that act; `recomputed` is the total between
    area ceilings and total ceilings."""

    areas: tuple[AreaScore, ...]
    acting: tuple[Ceiling, ...]
    recomputed: Fraction
    total: Fraction


def _hold(rubric: RubricSpec, areas: Sequence[AreaScore], levels: Mapping[str, int]) -> _Held:
    acting = _acting_ceilings(rubric, areas, levels)
    capped = tuple(_cap(a, acting) for a in areas)
    recomputed = _total(capped)
    total = min([recomputed, *(c.at_most for c in acting if c.area is None)])
    return _Held(capped, acting, recomputed, total)


def _acting_ceilings(
    rubric: RubricSpec, areas: Iterable[AreaScore], levels: Mapping[str, int]
) -> tuple[Ceiling, ...]:
    counted = {a.key for a in areas if a.counts}
    return tuple(
        c
        for c in rubric.ceilings
        if levels.get(c.criterion) == 1
        and rubric.area_of[c.criterion].key in counted
        and (c.area is None or c.area in counted)
    )


def _cap(area: AreaScore, acting: Iterable[Ceiling]) -> AreaScore:
    if area.value is None:
        return area
    limits = [c.at_most / HUNDRED for c in acting if c.area == area.key]
    return replace(area, capped=min([area.value, *limits]))


def _bites(
    rubric: RubricSpec, held: _Held, values: Mapping[str, Fraction], levels: Mapping[str, int]
) -> Iterable[Bite]:
    before = {a.key: a.value * HUNDRED for a in held.areas if a.counts and a.value is not None}
    for ceiling in held.acting:
        was = held.recomputed if ceiling.area is None else before[ceiling.area]
        if was > ceiling.at_most:
            topped = _total_if_topped(rubric, values, levels, ceiling.criterion)
            yield Bite(ceiling, was, ceiling.at_most, topped - held.total)


def _total_if_topped(
    rubric: RubricSpec, values: Mapping[str, Fraction], levels: Mapping[str, int], key: str
) -> Fraction:
    areas = _area_scores(rubric, {**values, key: ONE})
    return _hold(rubric, areas, {**levels, key: rubric.levels}).total


def level_step(rubric: RubricSpec, card: ScoreCard) -> Fraction:
    """The most that one level of one criterion moves this total, on 0 to 100."""
    parts = (
        c.points + c.room for c in card.criteria if c.points is not None and c.room is not None
    )
    return max(parts) / (rubric.levels - 1)


@dataclass(frozen=True, slots=True)
class PrintedScore:
    """The figures of a card as they are printed, one decimal, on 0 to 100.

    `points` (by criterion) sum to `uncapped`; `uncapped` minus `ceiling` is `total`.
    """

    points: Mapping[str, Fraction]
    room: Mapping[str, Fraction]
    uncapped: Fraction
    ceiling: Fraction
    total: Fraction


def print_score(card: ScoreCard) -> PrintedScore | None:
    """The printed figures, or None when there is no total."""
    if card.total is None or card.uncapped is None:
        return None
    exact = {c.key: c.points for c in card.criteria if c.points is not None}
    uncapped, total = printed(card.uncapped), printed(card.total)
    return PrintedScore(
        points=largest_remainder(exact, uncapped),
        room={c.key: printed(c.room) for c in card.criteria if c.room is not None},
        uncapped=uncapped,
        ceiling=uncapped - total,
        total=total,
    )
