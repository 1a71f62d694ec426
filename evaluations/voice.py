"""The site's catalogue as the `Voice` that core speaks with."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from django.utils import formats, translation


@dataclass(frozen=True)
class SiteVoice:
    """One of the site's languages, whatever language the request is in."""

    language: str

    def text(self, message: str) -> str:
        with translation.override(self.language):
            return translation.gettext(message)

    def number(self, figure: Fraction, decimals: int = 1) -> str:
        exact = Decimal(figure.numerator) / Decimal(figure.denominator)
        with translation.override(self.language):
            return formats.number_format(exact, decimals)

    def day(self, day: date) -> str:
        with translation.override(self.language):
            return formats.date_format(day, "DATE_FORMAT")
