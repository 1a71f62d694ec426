"""An official's season as pictures with their text: the line of totals, and each area over time."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from evaluations.core.drawing import Drawing
from evaluations.core.figures import SeasonDot, area_trend, season_line
from evaluations.core.printing import printed, whole
from evaluations.core.season import shown
from evaluations.core.voice import Voice
from evaluations.queries.seasons import OwnSeason


@dataclass(frozen=True, slots=True)
class AreaOverTime:
    """One area: its label, a value as printed for each game ("" where it did not count)."""

    label: str
    values: tuple[str, ...]
    picture: Drawing


@dataclass(frozen=True, slots=True)
class SeasonPicture:
    """The season in words and lines. `sentence` is empty before the third scored observation."""

    line: Drawing
    sentence: str
    days: tuple[str, ...]
    totals: tuple[str, ...]
    areas: tuple[AreaOverTime, ...]


def season_picture(season: OwnSeason, voice: Voice) -> SeasonPicture:
    """Draw a season with at least one scored evaluation."""
    points, value = season.points, season.value
    days = tuple(voice.day(p.day) for p in points)
    totals = tuple(str(whole(printed(p.total))) for p in points)
    mean, margin = (value.mean, value.margin) if shown(value) else (None, None)
    dots = [
        SeasonDot(float(p.total), total, day)
        for p, total, day in zip(points, totals, days, strict=True)
    ]
    return SeasonPicture(
        line=season_line(
            dots, None if mean is None else float(mean), margin, _alt(totals, days, voice)
        ),
        sentence=_sentence(season, voice),
        days=days,
        totals=totals,
        areas=tuple(_area(season, key, label) for key, label in season.area_labels.items()),
    )


def _alt(totals: tuple[str, ...], days: tuple[str, ...], voice: Voice) -> str:
    _ = voice.text
    return _("Totals of your season: %(list)s.") % {
        "list": "; ".join(f"{day}: {total}" for day, total in zip(days, totals, strict=True))
    }


def _sentence(season: OwnSeason, voice: Voice) -> str:
    value = season.value
    if not shown(value) or value.mean is None or value.margin is None:
        return ""
    _ = voice.text
    return _(
        "%(mean)s, give or take %(margin)s: the mean of %(n)s scored observations with its 95 %% "
        "t interval. Uncorrected: differences between observers are still in it."
    ) % {
        "mean": voice.number(printed(value.mean)),
        "margin": voice.number(printed(Fraction(value.margin))),
        "n": value.observations,
    }


def _area(season: OwnSeason, key: str, label: str) -> AreaOverTime:
    values = [p.areas.get(key) for p in season.points]
    return AreaOverTime(
        label,
        tuple("" if v is None else str(whole(printed(v * 100))) for v in values),
        area_trend([None if v is None else float(v * 100) for v in values]),
    )
