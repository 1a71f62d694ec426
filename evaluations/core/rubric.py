"""The rubric: areas weigh against each other, criteria within an area, levels have wording.

Two kinds of value live here. A `RubricSpec` is what the arithmetic needs: weights, thresholds,
ceilings, bands. A `RubricWording` is the same rubric in one language, for the form and the letter.
Keys (short slugs) join the two.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cached_property

HUNDRED = Fraction(100)
MAX_LEVELS = 7


class RubricError(ValueError):
    """A rubric that can't be used, or a rating that does not fit it; `str()` says what to do.

    `field` names the value: by key as in `area[signals].weight`, a ceiling by its place from 0.
    """

    def __init__(self, field: str, message: str) -> None:
        super().__init__(f"{field}: {message}")
        self.field = field
        self.message = message


def _need(holds: bool, field: str, message: str) -> None:
    if not holds:
        raise RubricError(field, message)


def _need_different(what: str, keys: Iterable[str]) -> None:
    for key, count in Counter(keys).items():
        _need(count == 1, f"{what}[{key}]", "is there twice")


class FloorRule(StrEnum):
    """What floor sketches and eyes ledgers from film are judged by; see `floor_rules`."""

    VIEW_KEPT = "view_kept"
    BOXED_IN = "boxed_in"
    APART = "apart"
    ROUTE_CLEAR = "route_clear"
    FACED = "faced"

    @property
    def is_limit(self) -> bool:
        """Whether the threshold is the most that is still met, not the least."""
        return self in (FloorRule.ROUTE_CLEAR, FloorRule.FACED)


HIGHEST: Mapping[FloorRule, int] = {
    FloorRule.VIEW_KEPT: 1,
    FloorRule.BOXED_IN: 1,
    FloorRule.APART: 180,
    FloorRule.ROUTE_CLEAR: 30,
    FloorRule.FACED: 60_000,
}
"""The highest threshold: shares, degrees, metres, milliseconds."""


@dataclass(frozen=True, slots=True)
class Threshold:
    """From where on a rule is met, in the rule's own unit as in `HIGHEST`."""

    rule: FloorRule
    at: Fraction


@dataclass(frozen=True, slots=True)
class CriterionSpec:
    """One observable thing. `weight` is positive and counts within its area only.

    `findings` are the keys of the rules of mechanics whose findings are counted for it, and
    `thresholds` has the rules that film is judged by; none of both: it is judged by eye alone.
    """

    key: str
    weight: Fraction = Fraction(1)
    findings: tuple[str, ...] = ()
    thresholds: tuple[Threshold, ...] = ()

    def __post_init__(self) -> None:
        _need(bool(self.key), "criterion.key", "a criterion needs a key")
        _need(self.weight > 0, f"criterion[{self.key}].weight", "must be above 0")
        field = f"criterion[{self.key}].thresholds"
        _need_different(f"{field}.rule", (t.rule for t in self.thresholds))
        for threshold in self.thresholds:
            rule, at = threshold.rule, threshold.at
            highest, low = HIGHEST[rule], "from 0" if rule.is_limit else "above 0"
            fits = (at >= 0 if rule.is_limit else at > 0) and at <= highest
            _need(fits, field, f"{rule} must be {low} to {highest}")

    @property
    def counted(self) -> tuple[str, ...]:
        """The keys of all rules whose findings are counted for it."""
        return (*self.findings, *(t.rule for t in self.thresholds))


@dataclass(frozen=True, slots=True)
class AreaSpec:
    """A part of the total.

    `weight` is positive and counts against the other areas. The area counts when the observed
    weight of its criteria is at least `minimum_share` (0 to 1) of all their weight. Without a
    `needed` area that counts there is no total.
    """

    key: str
    weight: Fraction
    criteria: tuple[CriterionSpec, ...]
    minimum_share: Fraction = Fraction(1, 2)
    needed: bool = False

    def __post_init__(self) -> None:
        _need(bool(self.key), "area.key", "an area needs a key")
        _need(self.weight > 0, f"area[{self.key}].weight", "must be above 0")
        _need(bool(self.criteria), f"area[{self.key}].criteria", "needs at least one criterion")
        _need(
            0 < self.minimum_share <= 1,
            f"area[{self.key}].minimum_share",
            "must be above 0 and at most 1",
        )

    @property
    def criteria_weight(self) -> Fraction:
        return sum((c.weight for c in self.criteria), Fraction(0))


@dataclass(frozen=True, slots=True)
class Ceiling:
    """With `criterion` at its lowest level, `area` is at most `at_most`; None is the total.

    `at_most` is on 0 to 100, for an area as for the total.
    """

    criterion: str
    at_most: Fraction
    area: str | None = None


@dataclass(frozen=True, slots=True)
class Band:
    """A named stretch of the total, from `lower` (inclusive, 0 to 100) to the next band's."""

    key: str
    lower: Fraction


@dataclass(frozen=True)
class RubricSpec:
    """Everything a score depends on.

    `levels` is the number of levels of every criterion, `target_level` the one below which a
    criterion may become a next step, `minimum_seen` the share of the whole form (0 to 1) that
    must have been seen for a total. `cut_points` turn a share met into a level: level n + 1
    from the n-th cut point on. With 1 as the last one, the top level is for no miss. Below
    `minimum_count` judged findings a counted criterion has no share: not enough was seen.

    Raises:
        RubricError: with the field that is at fault.
    """

    areas: tuple[AreaSpec, ...]
    levels: int = 5
    target_level: int = 4
    minimum_seen: Fraction = Fraction(7, 10)
    bands: tuple[Band, ...] = (Band("all", Fraction(0)),)
    ceilings: tuple[Ceiling, ...] = ()
    cut_points: tuple[Fraction, ...] = (
        Fraction(30, 100),
        Fraction(55, 100),
        Fraction(80, 100),
        Fraction(1),
    )
    minimum_count: int = 5

    def __post_init__(self) -> None:
        self._check_areas()
        self._check_bands()
        self._check_ceilings()
        self._check_thresholds()
        _need(2 <= self.levels <= MAX_LEVELS, "levels", f"must be 2 to {MAX_LEVELS}")
        _need(
            2 <= self.target_level <= self.levels,
            "target_level",
            f"must be 2 to {self.levels}",
        )
        _need(0 <= self.minimum_seen <= 1, "minimum_seen", "must be 0 to 1")
        _need(
            len(self.cut_points) == self.levels - 1
            and all(0 < c <= 1 for c in self.cut_points)
            and list(self.cut_points) == sorted(set(self.cut_points)),
            "cut_points",
            f"needs {self.levels - 1} rising shares above 0 and at most 1",
        )
        _need(self.minimum_count >= 1, "minimum_count", "must be at least 1")

    def _check_areas(self) -> None:
        _need(bool(self.areas), "areas", "a rubric needs at least one area")
        _need_different("area", (a.key for a in self.areas))
        _need_different("criterion", (c.key for c in self.criteria))

    def _check_bands(self) -> None:
        lowers = [b.lower for b in self.bands]
        _need(bool(lowers) and lowers[0] == 0, "bands", "the first band must begin at 0")
        _need(
            all(0 <= low < HUNDRED for low in lowers) and lowers == sorted(set(lowers)),
            "bands",
            "cut points must rise and lie from 0 to below 100",
        )
        _need_different("band", (b.key for b in self.bands))

    def _check_ceilings(self) -> None:
        for place, ceiling in enumerate(self.ceilings):
            field = f"ceiling[{place}]"
            _need(ceiling.criterion in self.area_of, field, "names no criterion of this rubric")
            _need(
                ceiling.area is None or any(a.key == ceiling.area for a in self.areas),
                field,
                "names no area of this rubric",
            )
            _need(0 <= ceiling.at_most <= HUNDRED, f"{field}.at_most", "must be 0 to 100")

    def _check_thresholds(self) -> None:
        asked: dict[FloorRule, Fraction] = {}
        for criterion in self.criteria:
            for threshold in criterion.thresholds:
                rule, at = threshold.rule, threshold.at
                _need(
                    asked.setdefault(rule, at) == at,
                    f"criterion[{criterion.key}].thresholds",
                    f"{rule} has another threshold in this rubric",
                )

    @cached_property
    def area_of(self) -> Mapping[str, AreaSpec]:
        """The area of each criterion, by the criterion's key."""
        return {c.key: a for a in self.areas for c in a.criteria}

    @property
    def criteria(self) -> Iterator[CriterionSpec]:
        """All criteria in rubric order."""
        return (c for a in self.areas for c in a.criteria)

    @property
    def areas_weight(self) -> Fraction:
        return sum((a.weight for a in self.areas), Fraction(0))

    def area_share(self, area: AreaSpec) -> Fraction:
        """The area's part of the total, 0 to 1, when everything was seen."""
        return area.weight / self.areas_weight

    def criterion_share(self, key: str) -> Fraction:
        """The criterion's part of the total, 0 to 1, when everything was seen."""
        area = self.area_of[key]
        weight = next(c.weight for c in area.criteria if c.key == key)
        return self.area_share(area) * weight / area.criteria_weight


@dataclass(frozen=True, slots=True)
class CriterionWording:
    """A criterion in one language. `levels` runs from the lowest level to the highest."""

    label: str
    hint: str
    standard: str
    why: str
    try_this: str
    check: str
    levels: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RubricWording:
    """A rubric in one language, by key. `level_words` runs from the lowest level up."""

    language: str
    name: str
    areas: Mapping[str, str]
    criteria: Mapping[str, CriterionWording]
    bands: Mapping[str, str]
    level_words: tuple[str, ...]
