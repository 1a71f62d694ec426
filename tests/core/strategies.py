"""What hypothesis draws: rubrics of every shape, and ratings that fit them."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import strategies as st

from evaluations.core.ratings import Rating
from evaluations.core.rubric import (
    MAX_LEVELS,
    AreaSpec,
    Band,
    Ceiling,
    CriterionSpec,
    RubricSpec,
)

weights = st.builds(Fraction, st.integers(1, 1000), st.integers(1, 40))
shares = st.builds(lambda part, whole: Fraction(min(part, whole), whole), *[st.integers(1, 40)] * 2)
"""Above 0 and at most 1."""
shares_or_none_met = st.one_of(st.just(Fraction(0)), shares)
points = st.builds(Fraction, st.integers(0, 1000), st.just(10))
"""0 to 100, to one decimal."""


@st.composite
def _areas(draw: st.DrawFn) -> tuple[AreaSpec, ...]:
    sizes = draw(st.lists(st.integers(1, 4), min_size=1, max_size=4))
    return tuple(
        AreaSpec(
            key=f"area{n}",
            weight=draw(weights),
            criteria=tuple(CriterionSpec(f"c{n}-{m}", draw(weights)) for m in range(size)),
            minimum_share=draw(shares),
            needed=draw(st.booleans()),
        )
        for n, size in enumerate(sizes)
    )


@st.composite
def _ceilings(draw: st.DrawFn, areas: tuple[AreaSpec, ...]) -> tuple[Ceiling, ...]:
    criterion = st.sampled_from([c.key for a in areas for c in a.criteria])
    area = st.one_of(st.none(), st.sampled_from([a.key for a in areas]))
    return tuple(draw(st.lists(st.builds(Ceiling, criterion, points, area), max_size=4)))


@st.composite
def _bands(draw: st.DrawFn) -> tuple[Band, ...]:
    cuts = draw(st.sets(points.filter(lambda p: 0 < p < 100), max_size=4))
    return tuple(Band(f"band{n}", low) for n, low in enumerate([Fraction(0), *sorted(cuts)]))


@st.composite
def rubrics(draw: st.DrawFn) -> RubricSpec:
    """Rubrics of one to four areas of one to four criteria, with up to four ceilings."""
    areas = draw(_areas())
    levels = draw(st.integers(2, MAX_LEVELS))
    cuts = st.sets(shares, min_size=levels - 1, max_size=levels - 1)
    return RubricSpec(
        areas=areas,
        levels=levels,
        target_level=draw(st.integers(2, levels)),
        minimum_seen=draw(shares_or_none_met),
        bands=draw(_bands()),
        ceilings=draw(_ceilings(areas)),
        cut_points=tuple(sorted(draw(cuts))),
    )


@st.composite
def rating_of(draw: st.DrawFn, rubric: RubricSpec, criterion: str) -> Rating:
    """A level, a share met, or not seen."""
    kind = draw(st.sampled_from(("level", "level", "share", "not seen")))
    if kind == "level":
        return Rating(criterion, level=draw(st.integers(1, rubric.levels)))
    if kind == "share":
        return Rating(criterion, share=draw(shares_or_none_met))
    return Rating(criterion)


@st.composite
def ratings_for(draw: st.DrawFn, rubric: RubricSpec) -> tuple[Rating, ...]:
    """One rating for each criterion, in rubric order."""
    return tuple(draw(rating_of(rubric, c.key)) for c in rubric.criteria)


@st.composite
def forms(draw: st.DrawFn) -> tuple[RubricSpec, tuple[Rating, ...]]:
    """A rubric and its ratings, whether there is a total or not."""
    rubric = draw(rubrics())
    return rubric, draw(ratings_for(rubric))
