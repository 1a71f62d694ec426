"""A whole rubric as one value: what a draft holds, what a copy takes along, what it still lacks.

Texts stand by language and may be missing; a reader then gets the association's language.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields
from decimal import Decimal
from enum import StrEnum

from evaluations.core.rubric import CriterionWording, FloorRule, RubricWording

LABEL_BUDGET = 60
HINT_BUDGET = 90
LEVEL_BUDGET = 120
STEP_TEXTS_BUDGET = 330
"""Characters. Standard, why, try this and check share theirs: a next step of a letter has 450."""

CRITERIA_AT_MOST = 20
"""A letter has room for so many on its two pages."""

STEP_TEXTS = ("standard", "why", "try_this", "check")
NO_TEXTS = CriterionWording("", "", "", "", "", "", ())


@dataclass(frozen=True, slots=True)
class CriterionContent:
    """`findings` and `thresholds` are as in `CriterionSpec`."""

    key: str
    weight: Decimal
    texts: Mapping[str, CriterionWording]
    findings: tuple[str, ...] = ()
    thresholds: Mapping[FloorRule, Decimal] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class AreaContent:
    key: str
    weight: Decimal
    minimum_share: Decimal
    needed: bool
    labels: Mapping[str, str]
    criteria: tuple[CriterionContent, ...]


@dataclass(frozen=True, slots=True)
class BandContent:
    """`key` is empty for a band that has none yet."""

    key: str
    lower: Decimal
    names: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class CeilingContent:
    criterion: str
    at_most: Decimal
    area: str | None = None


@dataclass(frozen=True, slots=True)
class RubricContent:
    """`level_words` has, by language, a word for each level from the lowest up; "" if none."""

    note: str
    mechanics: str
    levels: int
    target_level: int
    minimum_seen: Decimal
    cut_points: tuple[Decimal, ...]
    level_words: Mapping[str, tuple[str, ...]]
    bands: tuple[BandContent, ...]
    areas: tuple[AreaContent, ...]
    ceilings: tuple[CeilingContent, ...] = ()
    minimum_count: int = 5

    @property
    def criteria(self) -> Iterator[CriterionContent]:
        """All criteria in rubric order."""
        return (c for a in self.areas for c in a.criteria)

    def area(self, key: str) -> AreaContent | None:
        return next((a for a in self.areas if a.key == key), None)

    def criterion(self, key: str) -> CriterionContent | None:
        return next((c for c in self.criteria if c.key == key), None)

    def wording(self, language: str, fallback: str, name: str) -> RubricWording:
        """The texts in `language`; each that is missing in `fallback`, names at last by key."""
        tongues = (language, fallback)
        words = [self.level_words.get(tongue, ()) for tongue in tongues]
        return RubricWording(
            language=language,
            name=name,
            areas={a.key: _first(a.labels, tongues) or a.key for a in self.areas},
            criteria={c.key: _criterion_wording(c, tongues, self.levels) for c in self.criteria},
            bands={b.key: _first(b.names, tongues) or b.key for b in self.bands},
            level_words=tuple(
                next((w[n] for w in words if n < len(w) and w[n]), str(n + 1))
                for n in range(self.levels)
            ),
        )


def _first(texts: Mapping[str, str], tongues: tuple[str, str]) -> str:
    return next((texts[t] for t in tongues if texts.get(t)), "")


def _criterion_wording(
    criterion: CriterionContent, tongues: tuple[str, str], levels: int
) -> CriterionWording:
    texts = [criterion.texts.get(t, NO_TEXTS) for t in tongues]

    def text(name: str) -> str:
        return next((value for t in texts if (value := str(getattr(t, name)))), "")

    return CriterionWording(
        label=text("label") or criterion.key,
        hint=text("hint"),
        standard=text("standard"),
        why=text("why"),
        try_this=text("try_this"),
        check=text("check"),
        levels=tuple(
            next((t.levels[n] for t in texts if n < len(t.levels) and t.levels[n]), "")
            for n in range(levels)
        ),
    )


def too_long(texts: CriterionWording) -> Mapping[str, int]:
    """What is over its budget, and by how many characters; "step" is what four texts share.

    >>> dict(too_long(CriterionWording("Holds each sign", "", "s" * 300, "w" * 40, "", "", ())))
    {'step': 10}
    """
    lengths = {
        "label": len(texts.label) - LABEL_BUDGET,
        "hint": len(texts.hint) - HINT_BUDGET,
        "levels": max(map(len, texts.levels), default=0) - LEVEL_BUDGET,
        "step": sum(len(getattr(texts, name)) for name in STEP_TEXTS) - STEP_TEXTS_BUDGET,
    }
    return {name: over for name, over in lengths.items() if over > 0}


class Where(StrEnum):
    """The part of a rubric that lacks a text."""

    LEVELS = "levels"
    BANDS = "bands"
    AREA = "area"
    CRITERION = "criterion"


@dataclass(frozen=True, slots=True)
class Lack:
    """Texts missing in one place. `key` is the area's or criterion's, else empty."""

    where: Where
    texts: tuple[str, ...]
    key: str = ""


def lacking(content: RubricContent, language: str) -> tuple[Lack, ...]:
    """The texts that a rubric lacks in a language, in rubric order. A hint may be left out."""
    words = content.level_words.get(language, ())[: content.levels]
    found = []
    if len(words) < content.levels or not all(words):
        found.append(Lack(Where.LEVELS, ("word",)))
    if not all(band.names.get(language) for band in content.bands):
        found.append(Lack(Where.BANDS, ("name",)))
    for area in content.areas:
        if not area.labels.get(language):
            found.append(Lack(Where.AREA, ("label",), area.key))
        for criterion in area.criteria:
            texts = criterion.texts.get(language, NO_TEXTS)
            if missing := _missing(texts, content.levels):
                found.append(Lack(Where.CRITERION, missing, criterion.key))
    return tuple(found)


def _missing(texts: CriterionWording, levels: int) -> tuple[str, ...]:
    written = texts.levels[:levels]
    complete = {"levels": len(written) == levels and all(written)}
    return tuple(
        text.name
        for text in fields(texts)
        if text.name != "hint" and not complete.get(text.name, getattr(texts, text.name))
    )
