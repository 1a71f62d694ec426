"""Frozen values as documents of plain JSON types, and back without loss.

This is how a release is stored: `ReleaseSnapshot` and `LetterContent` become objects, lists,
strings and numbers. Fractions are strings such as "265/6", days are ISO dates; what comes back is
equal to what went in.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any, TypeVar

import msgspec

from evaluations.core.rubric import RubricSpec
from evaluations.core.scoring import ScoreCard, level_step, print_score

Value = TypeVar("Value")

_FIELD = re.compile(r"(\w+)(\[[0-9.]*\])*$")
_FRACTION = re.compile(r"-?[0-9]+(/[1-9][0-9]*)?")


class DocumentError(ValueError):
    """A document that can't be read. `path` names the field, as in `$.areas[0].weight`."""

    def __init__(self, path: str, message: str) -> None:
        super().__init__(f"{path}: {message}")
        self.path = path
        self.message = message

    @classmethod
    def of(
        cls, error: msgspec.ValidationError, allowed: Mapping[str, Iterable[str]] | None = None
    ) -> DocumentError:
        """The same complaint, with its path first. `allowed` has fields' words, to name them."""
        message, _, place = str(error).partition(" - at `")
        path = place.rstrip("`").removeprefix("key` in `") or "$"
        field = _FIELD.search(path)
        words = (allowed or {}).get(field[1]) if field else None
        if words is not None:
            message = f"{message}; allowed: {', '.join(words)}"
        return cls(path, message.replace("`", ""))


def to_document(value: object) -> Any:
    """A dataclass of core as objects, lists, strings, numbers, truth values and None.

    Raises:
        TypeError: it holds something that no document can hold.
    """
    return msgspec.json.decode(msgspec.json.encode(value, enc_hook=_write))


def from_document(kind: type[Value], document: object) -> Value:
    """The value of type `kind` that `to_document` wrote.

    >>> from evaluations.core.rubric import Band
    >>> written = to_document(Band("developing", Fraction(100, 3)))
    >>> written
    {'key': 'developing', 'lower': '100/3'}
    >>> from_document(Band, written)
    Band(key='developing', lower=Fraction(100, 3))

    Raises:
        DocumentError: the document is no such value.
    """
    try:
        return msgspec.convert(document, kind, dec_hook=_read)
    except msgspec.ValidationError as error:
        raise DocumentError.of(error) from None


def card_document(rubric: RubricSpec, card: ScoreCard) -> dict[str, Any]:
    """The whole score card: exact figures as strings such as "265/6", `printed` ones beside them.

    `level_step` is the most that one level of one criterion moves the total. It and `printed` are
    None when there is no total.
    """
    document: dict[str, Any] = to_document(card)
    figures = print_score(card)
    if figures is None:
        return {**document, "level_step": None, "printed": None}
    printed = {
        "points": {key: _decimal(figure) for key, figure in figures.points.items()},
        "room": {key: _decimal(figure) for key, figure in figures.room.items()},
        "uncapped": _decimal(figures.uncapped),
        "ceiling": _decimal(figures.ceiling),
        "total": _decimal(figures.total),
    }
    return {**document, "level_step": str(level_step(rubric, card)), "printed": printed}


def _decimal(tenths: Fraction) -> str:
    return f"{float(tenths):.1f}"


def _write(value: object) -> str:
    if isinstance(value, Fraction):
        return str(value)
    raise TypeError(f"no document holds a {type(value).__name__}")


def _read(_kind: type, value: object) -> Fraction:
    """Called for what msgspec can't read by itself: of core's types, only Fraction."""
    if not isinstance(value, str) or not _FRACTION.fullmatch(value):
        raise ValueError('must be a fraction such as "265/6"')
    return Fraction(value)
