"""Text into lines.

Lines are filled greedily and ragged right; nothing is hyphenated. A line that goes on keeps the
space it was broken at, so that a reader who joins the lines finds the words apart.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evaluations.letters.characters import printable
from evaluations.letters.fonts import Face, covering
from evaluations.letters.ink import Piece


@dataclass(frozen=True, slots=True)
class Look:
    """A face at a size (points) in a colour."""

    face: Face
    size: float
    colour: str

    def run(self, text: str) -> Piece:
        """Text in this look, cleaned, its face exchanged if it lacks a character."""
        shown = printable(text)
        return Piece(covering(self.face, shown), self.size, self.colour, shown)


Line = tuple[Piece, ...]

_BETWEEN_RUNS = "  "


def runs(*looks_and_texts: tuple[Look, str]) -> tuple[Piece, ...]:
    """The runs of a paragraph; empty texts are left out."""
    return tuple(look.run(text) for look, text in looks_and_texts if text)


def wrap(
    paragraph: Sequence[Piece], measure: float, *, beside: int = 0, narrow: float = 0.0
) -> list[Line]:
    """The paragraph's runs, a wide space between any two, in lines of at most `measure` points.

    The first `beside` lines are at most `narrow` points long: they stand beside a picture.
    """
    limit = narrow if beside else measure
    if len(paragraph) == 1 and width_of(paragraph) <= limit:
        return [tuple(paragraph)]
    lines: list[Line] = []
    line: list[Piece] = []
    reached = 0.0
    for face, size, colour, text in paragraph:
        scale = size / 1000
        space = face.space * scale
        words: list[str] = []
        for word in text.split(" "):
            width = face.width(word) * scale
            parts = [(word, width)] if width <= limit else _parts(word, face, scale, limit)
            for part, width in parts:
                if reached and reached + width > limit:
                    if words:
                        line.append(Piece(face, size, colour, " ".join(words) + " "))
                    lines.append(tuple(line))
                    line, words, reached = [], [], 0.0
                    limit = narrow if len(lines) < beside else measure
                words.append(part)
                reached += width + space
        line.append(Piece(face, size, colour, " ".join(words) + _BETWEEN_RUNS))
        reached += space * (len(_BETWEEN_RUNS) - 1)
    if line:
        last = line.pop()
        line.append(last._replace(text=last.text.rstrip(" ")))
        lines.append(tuple(line))
    return lines


def _parts(word: str, face: Face, scale: float, measure: float) -> list[tuple[str, float]]:
    """A word that is wider than a line, in parts that fill one each, and their widths."""
    parts = []
    start, reached = 0, 0.0
    for place, character in enumerate(word):
        width = face.width(character) * scale
        if reached + width > measure and place > start:
            parts.append((word[start:place], reached))
            start, reached = place, 0.0
        reached += width
    return [*parts, (word[start:], reached)]


def width_of(line: Sequence[Piece]) -> float:
    """The width of a line in points, without a space at its end."""
    full = sum(face.width(text) * size / 1000 for face, size, _, text in line)
    if line and line[-1].text.endswith(" "):
        full -= line[-1].face.space * line[-1].size / 1000
    return full
