"""What an observer writes down: sentences from the demo's texts, no two alike in one game."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from pathlib import Path
from random import Random
from typing import Any, Final

from seed_demo.logs import Seen

FOLDER: Final = Path(__file__).parent / "texts"
QUARTERS: Final = 4
WHISTLES: Final = 10
"""Dead balls of a quarter."""

# Shares met that a level stands for: from the first on, below the second.
SHARES: Final = {
    1: (Fraction(0), Fraction(30, 100)),
    2: (Fraction(30, 100), Fraction(55, 100)),
    3: (Fraction(55, 100), Fraction(80, 100)),
    4: (Fraction(80, 100), Fraction(1)),
    5: (Fraction(1), Fraction(2)),
}


@dataclass(frozen=True)
class Note:
    """Evidence: a dead ball and what was seen at it. Nothing seen is a blank note."""

    dead_ball: int | None = None
    seen: str = ""


@cache
def texts(language: str) -> Mapping[str, Any]:
    return tomllib.loads((FOLDER / f"{language}.toml").read_text(encoding="utf-8"))


@dataclass
class Notebook:
    """One observation's notes.

    `moments` are quarter and time by dead ball, from 1 up; `numbers` are the dead balls that
    nothing was noted about yet.
    """

    chance: Random
    minutes: int
    first_dead_ball: int = 1
    whistles: int = WHISTLES
    used: set[str] = field(default_factory=set)
    moments: list[tuple[int, str]] = field(init=False)
    numbers: list[int] = field(init=False)
    colours: list[int] = field(init=False)

    def __post_init__(self) -> None:
        self.moments = list(_moments(self.chance, self.minutes, self.whistles))
        self.numbers = list(range(self.first_dead_ball, len(self.moments) + 1))
        self.chance.shuffle(self.numbers)
        self.colours = self.chance.sample(range(len(texts("en")["colours"])), 2)

    def page(self, language: str, seen: Mapping[str, Seen] | None = None) -> Page:
        """The notes about one official, in the language of the letter; `seen` is what the log
        holds by criterion, if there is one.
        """
        return Page(self, texts(language), seen or {})

    def choose(self, sentences: Iterable[str]) -> str:
        """One that isn't in this notebook yet, if there is any."""
        fresh = [sentence for sentence in sentences if sentence not in self.used]
        if not fresh:
            return ""
        chosen = self.chance.choice(fresh)
        self.used.add(chosen)
        return chosen


@dataclass
class Page:
    """The notes about one official."""

    notebook: Notebook
    texts: Mapping[str, Any]
    seen: Mapping[str, Seen]

    def evidence(self, criterion: str, level: int) -> Note:
        """What was seen of a criterion, in a sentence that fits the level."""
        key = "low" if level <= 2 else "mid" if level == 3 else "high"
        number = self._dead_ball(criterion, level)
        patterns = self.texts[criterion][key]
        pattern = self.notebook.choose(patterns) or self.notebook.chance.choice(patterns)
        first, second = (self.texts["colours"][n] for n in self.notebook.colours)
        return Note(number, pattern.format(clock=self._clock(number), a=first, b=second))

    def counted(self, criterion: str, level: int) -> str:
        """The log's count, or one that stands for the level where there is no log."""
        if criterion in self.seen:
            return self._logged(criterion)
        lower, upper = SHARES[level]
        pattern = self.texts[criterion]["counted"]
        return self.notebook.choose(
            pattern.format(met=met, judged=judged)
            for judged in range(6, 13)
            for met in range(judged + 1)
            if lower <= Fraction(met, judged) < upper
        )

    def reason(self) -> str:
        """Why a level is not the one that the log suggests."""
        return self.notebook.choose(self.texts["reasons"])

    def _dead_ball(self, criterion: str, level: int) -> int:
        seen = self.seen.get(criterion)
        number = seen.number(level, self.notebook.chance) if seen else None
        return self.notebook.numbers.pop() if number is None else number

    def _logged(self, criterion: str) -> str:
        count = self.seen[criterion].count
        if not count.enough:
            return ""
        pattern = str(self.texts[criterion]["counted"])
        return pattern.format(met=count.met, judged=count.judged)

    def remark(self, level: int) -> str:
        return self.notebook.choose(self.texts["remarks_high" if level >= 4 else "remarks_low"])

    def opener(self) -> str:
        return self.notebook.choose(self.texts["openers"])

    def _clock(self, dead_ball: int) -> str:
        quarter, time = self.notebook.moments[dead_ball - 1]
        return str(self.texts["clock"]).format(time=time, quarter=self.texts["quarters"][quarter])


def _moments(chance: Random, minutes: int, whistles: int) -> Iterable[tuple[int, str]]:
    """The clock runs down from dead ball to dead ball, and starts anew with each quarter."""
    for quarter in range(QUARTERS):
        for seconds in sorted(chance.sample(range(4, minutes * 60 - 12), whistles), reverse=True):
            yield quarter, f"{seconds // 60}:{seconds % 60:02}"
