"""The letter's typefaces, and how text becomes codes in a PDF.

Source Sans Pro and Source Serif Pro (SIL Open Font License) come as Python packages. Their figures
are tabular. ReportLab reads the font files and cuts the subsets; which characters go into which
subset is fixed here, so that a subset is made and compressed once in a process, under a lock (the
cutting keeps its place in the file object), and is the same in every letter.

A PDF text string holds one byte a character. The characters of a face are therefore laid out in
planes of at most 224: the first holds what English, Spanish and most names need, the others hold
the rest in code point order. A letter embeds the planes that it uses.
"""

from __future__ import annotations

import zlib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from threading import Lock

from reportlab.pdfbase.ttfonts import TTFontFace

_FIRST_CODE = 32
_PLANE_SIZE = 256 - _FIRST_CODE
_LATIN_1 = [*range(0x20, 0x7F), *range(0xA0, 0xAD), *range(0xAE, 0x100)]
_PUNCTUATION = [*range(0x2013, 0x2015), *range(0x2018, 0x201A), *range(0x201C, 0x201F)]
_SIGNS = [ord(c) for c in "…•€≥≤→−"]
_NAMES = [ord(c) for c in "ŁłŽžŠšĐđČčĆćİıĞğŞşęą"]
_FIRST_PLANE = [*_LATIN_1, *_PUNCTUATION, *_SIGNS, *_NAMES]

_CACHED_WORDS = 20_000
_CACHED_LENGTH = 40

_SYMBOLIC = 4
_NONSYMBOLIC = 32

_cutting = Lock()


@dataclass(frozen=True, slots=True)
class Program:
    """A plane's parts of a PDF font, ready to embed; `descriptor` and `font` are dictionary bodies
    that lack only the references to the streams."""

    font_file: bytes
    to_unicode: bytes
    descriptor: str
    font: str


class Face:
    """One typeface: its characters, their widths, and their codes by plane."""

    def __init__(self, key: str, package: str, filename: str) -> None:
        self.key = key
        self._file = TTFontFace(str(files(package) / "files" / filename))
        self.characters = frozenset(map(chr, self._file.charToGlyph))
        self._widths = {
            character: self._file.getCharWidth(ord(character)) for character in self.characters
        }
        self.space = self._widths[" "]
        self.planes = self._lay_out_planes()
        self._codes = {
            chr(point): (plane, _escaped(code))
            for plane, points in enumerate(self.planes)
            for code, point in enumerate(points, _FIRST_CODE)
        }
        self._first = frozenset(map(chr, self.planes[0]))
        self._to_first = {ord(c): self._codes[c][1] for c in self._first}
        self._word_widths: dict[str, float] = {}
        self.program = cache(self._cut)

    def _lay_out_planes(self) -> list[list[int]]:
        first = [point for point in _FIRST_PLANE if chr(point) in self.characters]
        rest = sorted(set(map(ord, self.characters)) - set(first))
        chunks = range(0, len(rest), _PLANE_SIZE)
        return [first, *(rest[start : start + _PLANE_SIZE] for start in chunks)]

    def width(self, word: str) -> float:
        """The width of a word whose characters all are in this face, in thousandths of its size."""
        known = self._word_widths.get(word)
        if known is not None:
            return known
        width = float(sum(map(self._widths.__getitem__, word)))
        if len(word) <= _CACHED_LENGTH:
            if len(self._word_widths) > _CACHED_WORDS:
                self._word_widths.clear()
            self._word_widths[word] = width
        return width

    def encode(self, text: str) -> list[tuple[int, str]]:
        """The text as strings of a content stream, each with its plane."""
        if self._first.issuperset(text):
            return [(0, text.translate(self._to_first))]
        chunks: list[tuple[int, str]] = []
        for character in text:
            plane, code = self._codes[character]
            if chunks and chunks[-1][0] == plane:
                chunks[-1] = (plane, chunks[-1][1] + code)
            else:
                chunks.append((plane, code))
        return chunks

    def _cut(self, plane: int) -> Program:
        points = self.planes[plane]
        tag = "CRWM" + chr(ord("A") + plane // 26) + chr(ord("A") + plane % 26)
        name = f"{tag}+{self._file.name.decode('ascii')}"
        with _cutting:
            subset = self._file.makeSubset([0] * _FIRST_CODE + points)
        widths = " ".join(str(round(self._widths[chr(point)])) for point in points)
        last = _FIRST_CODE + len(points) - 1
        return Program(
            font_file=stream(subset, f"/Length1 {len(subset)}"),
            to_unicode=stream(_unicode_map(points).encode("ascii")),
            descriptor=self._descriptor(name),
            font=(
                f"/Type /Font /Subtype /TrueType /BaseFont /{name} /FirstChar {_FIRST_CODE}"
                f" /LastChar {last} /Widths [{widths}]"
            ),
        )

    def _descriptor(self, name: str) -> str:
        face = self._file
        box = " ".join(str(round(edge)) for edge in face.bbox)
        flags = face.flags & ~_NONSYMBOLIC | _SYMBOLIC
        return (
            f"/Type /FontDescriptor /FontName /{name} /Flags {flags} /FontBBox [{box}]"
            f" /ItalicAngle {round(face.italicAngle)} /Ascent {round(face.ascent)}"
            f" /Descent {round(face.descent)} /CapHeight {round(face.capHeight)}"
            f" /StemV {round(face.stemV)}"
        )


def stream(content: bytes, entries: str = "") -> bytes:
    """A compressed PDF stream object."""
    packed = zlib.compress(content)
    head = f"<< {entries} /Filter /FlateDecode /Length {len(packed)} >>\nstream\n"
    return head.encode("ascii") + packed + b"\nendstream\n"


def _escaped(code: int) -> str:
    character = chr(code)
    return "\\" + character if character in "()\\" else character


def _unicode_map(points: list[int]) -> str:
    """The CMap that gives a reader the text back (ISO 32000-1, 9.10.3); 100 entries a block."""
    entries = [
        f"<{code:02X}> <{chr(point).encode('utf-16-be').hex()}>"
        for code, point in enumerate(points, _FIRST_CODE)
    ]
    blocks = [entries[start : start + 100] for start in range(0, len(entries), 100)]
    mapping = "\n".join(
        f"{len(block)} beginbfchar\n" + "\n".join(block) + "\nendbfchar" for block in blocks
    )
    return (
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
        "/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n"
        "1 begincodespacerange\n<00> <FF>\nendcodespacerange\n"
        f"{mapping}\nendcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"
    )


SANS = Face("Sa", "font_source_sans_pro", "SourceSansPro-Regular.ttf")
SANS_BOLD = Face("Sb", "font_source_sans_pro", "SourceSansPro-Semibold.ttf")
SERIF = Face("Ra", "font_source_serif_pro", "SourceSerifPro-Regular.ttf")
SERIF_BOLD = Face("Rb", "font_source_serif_pro", "SourceSerifPro-Semibold.ttf")

PRINTABLE = SANS.characters & SANS_BOLD.characters
_STAND_INS = {SERIF: SANS, SERIF_BOLD: SANS_BOLD}


def covering(face: Face, text: str) -> Face:
    """The face, or the sans in its place when the serif lacks a character of the text."""
    if face in _STAND_INS and not face.characters.issuperset(text):
        return _STAND_INS[face]
    return face
