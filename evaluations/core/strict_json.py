"""JSON as it is written: numbers to the last digit, and nothing that would be guessed at.

Ordinary readers turn 0.1 into the nearest binary number, take NaN for a number and let the last
of two equal keys win. Here a number is exact and the rest is refused with its path.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from evaluations.core.documents import DocumentError

MAX_BYTES = 1_000_000
MAX_DIGITS = 15

NUMBER = (
    r"-?[0-9]{1,15}(\.[0-9]{1,15})?([eE][+-]?0?([0-9]|1[0-5]))?"  # 25, 0.1, 1e-07
    r"|-?[0-9]{1,15}/0*[1-9][0-9]{0,14}"  # 2/3
)
NUMBER_WORDS = (
    'a number such as 25, 0.1, "0.1" or "2/3", of at most 15 digits on either side of the point'
)


@dataclass(frozen=True, slots=True)
class DecimalNumber:
    """A number with a point or an exponent, as it was written."""

    text: str


@dataclass(frozen=True, slots=True)
class _Refused:
    """Stands in the tree for what JSON or Python allows and a document must not have."""

    message: str


def read_json(data: bytes) -> object:
    """The tree of a document in UTF-8: dicts, lists, str, int, bool, None and `DecimalNumber`.

    >>> read_json(b'{"weight": 0.1}')
    {'weight': DecimalNumber(text='0.1')}

    Raises:
        DocumentError: no JSON, or a number that is not finite or too long, or a key twice.
    """
    if len(data) > MAX_BYTES:
        raise DocumentError("$", f"is longer than {MAX_BYTES} bytes")
    try:
        tree = json.loads(
            data.decode("utf-8-sig"),
            parse_float=DecimalNumber,
            parse_int=_whole_number,
            parse_constant=lambda name: _Refused(f"must be finite, not {name}"),
            object_pairs_hook=_object,
        )
        for path, found in _refused(tree, "$"):
            raise DocumentError(path, found.message)
    except UnicodeDecodeError:
        raise DocumentError("$", "is no text in UTF-8") from None
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        raise DocumentError("$", f"is no JSON: {error.msg}, {place}") from None
    except RecursionError:
        raise DocumentError("$", "is nested too deeply") from None
    return tree


def exact_number(value: object) -> Fraction:
    """The number that a value of the tree stands for; text counts, truth values don't.

    >>> exact_number("2/3"), exact_number(DecimalNumber("0.1"))
    (Fraction(2, 3), Fraction(1, 10))

    Raises:
        ValueError: it stands for none.
    """
    if isinstance(value, DecimalNumber):
        text = value.text
    elif isinstance(value, str) or (isinstance(value, int) and not isinstance(value, bool)):
        text = str(value)
    else:
        text = ""
    if not re.fullmatch(NUMBER, text):
        raise ValueError(f"must be {NUMBER_WORDS}")
    return Fraction(text)


def _whole_number(text: str) -> int | _Refused:
    if len(text.lstrip("-")) > MAX_DIGITS:
        return _Refused(f"must be {NUMBER_WORDS}")
    return int(text)


def _object(pairs: list[tuple[str, object]]) -> dict[str, object] | _Refused:
    found: dict[str, object] = {}
    for key, value in pairs:
        if key in found:
            return _Refused(f"has {key!r} twice")
        found[key] = value
    return found


def _refused(tree: object, path: str) -> Iterator[tuple[str, _Refused]]:
    if isinstance(tree, _Refused):
        yield path, tree
    elif isinstance(tree, dict):
        for key, value in tree.items():
            yield from _refused(value, f"{path}.{key}")
    elif isinstance(tree, list):
        for place, value in enumerate(tree):
            yield from _refused(value, f"{path}[{place}]")
