"""A season's findings as a page and as a file: the same figures, in words and pictures."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from io import StringIO
from typing import Final

from evaluations.core.drawing import Drawing
from evaluations.core.figures import share_line
from evaluations.core.mechanics import words
from evaluations.core.mechanics.training import Tally, percent, percents, weakest
from evaluations.core.rubric import RubricWording
from evaluations.core.voice import Voice
from evaluations.models import Season
from evaluations.queries.findings import SeasonFindings
from evaluations.queries.rubrics import published_rubric, rubric_content


@dataclass(frozen=True, slots=True)
class RuleLine:
    """One rule's figures, in words and drawn."""

    rule: str
    label: str
    tally: Tally
    share: str
    interval: str
    picture: Drawing


@dataclass(frozen=True, slots=True)
class Exercise:
    """What to practise, by a criterion of the season's rubric that counts the rule."""

    criterion: str
    try_this: str


@dataclass(frozen=True, slots=True)
class Topic:
    """A training topic: the rule's line, and exercises."""

    line: RuleLine
    exercises: tuple[Exercise, ...]


@dataclass(frozen=True, slots=True)
class FindingsPage:
    """`lines` have figures; `few` are the labels of rules with too few findings for any."""

    topics: tuple[Topic, ...]
    lines: tuple[RuleLine, ...]
    few: tuple[str, ...]


def findings_page(found: SeasonFindings, voice: Voice) -> FindingsPage:
    """Everything that the page says of the rules."""
    lines = {tally.rule: _line(tally, voice) for tally in found.tallies if tally.shown}
    named = [lines[tally.rule] for tally in weakest(found.tallies)]
    exercises = _exercises(found.asked.season, voice.language) if named else {}
    return FindingsPage(
        topics=tuple(Topic(line, exercises.get(line.rule, ())) for line in named),
        lines=tuple(lines.values()),
        few=tuple(words.rule(voice, t.rule) for t in found.tallies if not t.shown),
    )


def _line(tally: Tally, voice: Voice) -> RuleLine:
    _ = voice.text
    share, interval = tally.share, tally.interval
    assert share is not None and interval is not None  # of rules with figures only
    low, high = percents(interval)
    limits = {"low": _figure(low, voice), "high": _figure(high, voice)}
    return RuleLine(
        rule=tally.rule,
        label=words.rule(voice, tally.rule),
        tally=tally,
        share=_("%(share)s %%") % {"share": _figure(percent(share), voice)},
        interval=_("%(low)s to %(high)s %%") % limits,
        picture=share_line(float(share), *interval),
    )


def _figure(number: int, voice: Voice) -> str:
    return voice.number(Fraction(number), 0)


def _exercises(season: Season, language: str) -> dict[str, tuple[Exercise, ...]]:
    """The "try this" of each criterion of the rubric in force, by the rules that it counts."""
    rubric = published_rubric(season)
    if rubric is None:
        return {}
    content = rubric_content(rubric)
    wording = content.wording(language, season.association.language, str(rubric))
    found: dict[str, tuple[Exercise, ...]] = {}
    for area in content.areas:
        for criterion in area.criteria:
            exercise = _exercise(wording, criterion.key)
            for rule in (*criterion.findings, *criterion.thresholds):
                found[rule] = (*found.get(rule, ()), exercise)
    return found


def _exercise(wording: RubricWording, criterion: str) -> Exercise:
    said = wording.criteria[criterion]
    return Exercise(said.label, said.try_this)


COLUMNS: Final = (
    "season",
    "crew_size",
    "level_of_play",
    "kept",
    "rule",
    "rule_in_words",
    "observations",
    "officials",
    "met",
    "judged",
    "not_judged",
    "share_met",
    "interval_low",
    "interval_high",
    "training_topic",
)
"""Of the file, in every language. Shares and limits lie between 0 and 1."""


def file_name(found: SeasonFindings) -> str:
    """The name of the file: it names nobody, not even the association."""
    season = found.asked.season
    return f"findings-{season.starts_on}-{season.ends_on}.csv"


def findings_csv(found: SeasonFindings, voice: Voice) -> str:
    """The page's figures as a file: one line a rule, empty cells where there are no figures."""
    written = StringIO(newline="")
    rows = csv.writer(written)
    rows.writerow(COLUMNS)
    rows.writerows(_rows(found, voice))
    return written.getvalue()


def _rows(found: SeasonFindings, voice: Voice) -> Iterator[list[str | int]]:
    asked = found.asked
    topics = {tally.rule: place for place, tally in enumerate(weakest(found.tallies), start=1)}
    where = [
        _text(asked.season.name),
        asked.crew_size or "",
        _text(asked.level_of_play),
        asked.kept.value if asked.kept else "",
    ]
    for tally in found.tallies:
        label = _text(words.rule(voice, tally.rule))
        figures = _figures(tally) if tally.shown else [""] * 8
        yield [*where, tally.rule, label, *figures, topics.get(tally.rule, "")]


def _figures(tally: Tally) -> list[str | int]:
    share, interval = tally.share, tally.interval
    assert share is not None and interval is not None  # of rules with figures only
    return [
        tally.observations,
        tally.officials,
        tally.met,
        tally.judged,
        tally.not_judged,
        *(f"{figure:.6f}" for figure in (float(share), *interval)),
    ]


def _text(words_of_people: str) -> str:
    """A text that no spreadsheet takes for a formula: an apostrophe goes before such a one."""
    text = words_of_people.strip()
    return f"'{text}" if text.startswith(("=", "+", "-", "@")) else text
