"""A score with its whole arithmetic, as lines to read: how the ratings became the total.

The figures are those of the letter. Printed points add up to the printed total, in the areas'
table as in the criteria's.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from evaluations.core import words
from evaluations.core.counting import count_line, misses
from evaluations.core.letter_form import percent
from evaluations.core.mechanics.counts import Count
from evaluations.core.printing import printed, whole
from evaluations.core.ratings import Rating, unanswered
from evaluations.core.rubric import RubricSpec, RubricWording
from evaluations.core.scoring import (
    AreaScore,
    CriterionScore,
    PrintedScore,
    ScoreCard,
    Withheld,
    level_step,
    print_score,
)
from evaluations.core.voice import Voice

NONE = "–"


@dataclass(frozen=True, slots=True)
class CriterionLine:
    """`share` is its part of the total, or of the form when there is no total.

    `value`, `points` and `room` are on 0 to 100. `counted` is what the log says, `reason` why the
    level is another one than that suggests.
    """

    key: str
    label: str
    level: str
    counted: str
    reason: str
    share: str
    value: str
    points: str
    room: str


@dataclass(frozen=True, slots=True)
class AreaLine:
    """`weight` as the rubric has it, `seen` of the area; the rest as in `CriterionLine`."""

    label: str
    weight: str
    seen: str
    share: str
    value: str
    points: str
    note: str
    criteria: tuple[CriterionLine, ...]


@dataclass(frozen=True, slots=True)
class Workings:
    """Everything from the levels to the headline.

    `points` minus `held_back` is `total`. Without a total these are "" and `why_none` says why.
    `ceilings` lists each ceiling that bit; `held_back` is "" when none did.
    """

    areas: tuple[AreaLine, ...]
    points: str
    ceilings: tuple[str, ...]
    held_back: str
    total: str
    headline: str
    seen: str
    step: str
    why_none: tuple[str, ...]


def workings(
    rubric: RubricSpec,
    wording: RubricWording,
    card: ScoreCard,
    ratings: Sequence[Rating],
    voice: Voice,
    *,
    counts: Mapping[str, Count],
) -> Workings:
    """The lines of `card`, which is the score of `ratings`; `counts` are by criterion.

    As long as an answer is open there is no total to see: a score grows by answers, not by looks
    at it on the way.
    """
    still_open = frozenset(unanswered(rubric, ratings))
    figures = None if still_open else print_score(card)
    reasons = {r.criterion: r.reason for r in ratings}
    lines = _Lines(rubric, wording, card, figures, still_open, counts, reasons, voice)
    return Workings(
        areas=tuple(lines.area(a) for a in card.areas),
        points=voice.number(figures.uncapped) if figures else "",
        ceilings=tuple(lines.ceilings()),
        held_back=voice.number(figures.ceiling) if figures and card.bites else "",
        total=voice.number(figures.total) if figures else "",
        headline=lines.headline(),
        seen=lines.seen(),
        step=lines.step(),
        why_none=tuple(lines.why_none()),
    )


@dataclass(frozen=True)
class _Lines:
    rubric: RubricSpec
    wording: RubricWording
    card: ScoreCard
    figures: PrintedScore | None
    still_open: frozenset[str]
    counts: Mapping[str, Count]
    reasons: Mapping[str, str]
    voice: Voice

    def area(self, area: AreaScore) -> AreaLine:
        weight = next(a.weight for a in self.rubric.areas if a.key == area.key)
        inside = [c for c in self.card.criteria if c.area == area.key]
        return AreaLine(
            label=self.wording.areas[area.key],
            weight=self._plain(weight),
            seen=percent(area.seen, self.voice),
            share=self._area_share(area),
            value=NONE if area.value is None else self._of_100(area.value),
            points=self._sum(c.key for c in inside),
            note="" if area.counts else self._does_not_count(area),
            criteria=tuple(self._criterion(c) for c in inside),
        )

    def _area_share(self, area: AreaScore) -> str:
        if self.figures is None:
            return percent(area.form_share, self.voice)
        return NONE if area.share is None else percent(area.share, self.voice)

    def _does_not_count(self, area: AreaScore) -> str:
        _ = self.voice.text
        needed = next(a.minimum_share for a in self.rubric.areas if a.key == area.key)
        return _("does not count: less than %(share)s of it was seen") % {
            "share": percent(needed, self.voice)
        }

    def _criterion(self, criterion: CriterionScore) -> CriterionLine:
        key = criterion.key
        return CriterionLine(
            key=key,
            label=self.wording.criteria[key].label,
            level=self._level(criterion),
            counted=self._counted(key),
            reason=self.reasons.get(key, ""),
            share=self._share(criterion),
            value=NONE if criterion.value is None else self._of_100(criterion.value),
            points=self._printed(self.figures.points if self.figures else {}, key),
            room=self._printed(self.figures.room if self.figures else {}, key),
        )

    def _share(self, criterion: CriterionScore) -> str:
        if self.figures is None:
            return percent(criterion.form_share, self.voice)
        if criterion.points is None or criterion.room is None:
            return NONE
        return percent((criterion.points + criterion.room) / 100, self.voice)

    def _level(self, criterion: CriterionScore) -> str:
        _ = self.voice.text
        if criterion.key in self.still_open:
            return _("not answered")
        if criterion.level is None:
            return _("not seen")
        return f"{criterion.level}, {self.wording.level_words[criterion.level - 1]}"

    def _counted(self, key: str) -> str:
        found = self.counts.get(key)
        line = found and count_line(self.rubric, self.wording, found, self.voice)
        if not (found and line):
            return ""
        return " ".join(part for part in (*line, misses(found, self.voice)) if part)

    def ceilings(self) -> Iterable[str]:
        _ = self.voice.text
        for bite in self.card.bites if self.figures else ():
            area = bite.ceiling.area
            yield _(
                "%(criterion)s is at its lowest level: %(what)s goes from %(before)s to %(after)s."
            ) % {
                "criterion": self.wording.criteria[bite.ceiling.criterion].label,
                "what": self.wording.areas[area] if area else _("the total"),
                "before": self.voice.number(printed(bite.before)),
                "after": self.voice.number(printed(bite.after)),
            }

    def headline(self) -> str:
        _ = self.voice.text
        if self.figures is None or self.card.band is None:
            return ""
        total = whole(self.figures.total)
        bands = self.wording.bands
        if self.card.between is None:
            return _("%(total)s of 100, %(band)s") % {
                "total": total,
                "band": bands[self.card.band],
            }
        below, above = (bands[key] for key in self.card.between)
        return _("%(total)s of 100, between “%(below)s” and “%(above)s”") % {
            "total": total,
            "below": below,
            "above": above,
        }

    def seen(self) -> str:
        _ = self.voice.text
        share = percent(self.card.share_seen, self.voice)
        if self.card.withheld in (Withheld.COACHING, Withheld.UNDER_18):
            return _("%(share)s of the form could be seen and counts.") % {"share": share}
        return _("%(share)s of the form could be seen and counts; a total needs %(needed)s.") % {
            "share": share,
            "needed": percent(self.rubric.minimum_seen, self.voice),
        }

    def step(self) -> str:
        _ = self.voice.text
        if self.figures is None:
            return ""
        step = printed(level_step(self.rubric, self.card))
        return _("One level on one criterion moves the total by up to %(points)s points.") % {
            "points": self.voice.number(step)
        }

    def why_none(self) -> Iterable[str]:
        _ = self.voice.text
        if self.still_open:
            yield _("The score appears when every criterion has an answer; “not seen” is one.")
            return
        if self.card.withheld is None:
            return
        yield words.withheld(self.voice, self.card.withheld)
        if self.card.withheld is not Withheld.NOT_ENOUGH_SEEN:
            return
        for key in self.card.needed_missing:
            yield _("%(area)s is needed for a total and was not seen enough.") % {
                "area": self.wording.areas[key]
            }

    def _sum(self, keys: Iterable[str]) -> str:
        if self.figures is None:
            return ""
        points = self.figures.points
        return self.voice.number(sum((points.get(k, Fraction(0)) for k in keys), Fraction(0)))

    def _printed(self, column: Mapping[str, Fraction], key: str) -> str:
        return self.voice.number(column[key]) if key in column else ""

    def _of_100(self, value: Fraction) -> str:
        return self.voice.number(printed(value * 100))

    def _plain(self, weight: Fraction) -> str:
        return self.voice.number(weight, 0 if weight.denominator == 1 else 2)
