"""How core speaks to people: a translation and number formats that are handed in.

Core builds sentences but knows no language of its own. Every function that does takes a `Voice`;
a site hands in one that uses its catalogue, tests hand in `PlainEnglish`.
"""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Protocol


class Voice(Protocol):
    """A language: its words, and how it writes figures and days."""

    @property
    def language(self) -> str:
        """The language's code, such as "es"."""
        ...

    def text(self, message: str) -> str:
        """The message in this language; placeholders `%(name)s` are kept."""
        ...

    def number(self, figure: Fraction, decimals: int = 1) -> str:
        """A figure that is already rounded, with this language's decimal sign."""
        ...

    def day(self, day: date) -> str:
        """A day in words, such as 10 November 2026."""
        ...


class PlainEnglish:
    """English without a catalogue.

    >>> voice = PlainEnglish()
    >>> voice.number(Fraction(129, 2)), voice.day(date(2026, 11, 10))
    ('64.5', '10 November 2026')
    """

    language = "en"

    def text(self, message: str) -> str:
        return message

    def number(self, figure: Fraction, decimals: int = 1) -> str:
        return f"{float(figure):.{decimals}f}"

    def day(self, day: date) -> str:
        return f"{day.day} {day:%B %Y}"
