"""One way in for text: what may be printed, and which characters the typefaces lack.

Nothing here reads markup, and neither does what comes after: text is text. A character that the
faces lack is never left out and never printed as an empty box: it stands as `[U+1F3C0]`, and
`missing_characters` reports it, so that a release can be held back until the text is changed.
"""

from __future__ import annotations

import re
import unicodedata

from evaluations.core.letter import Annex, LetterContent, reading_order
from evaluations.letters.fonts import PRINTABLE

# Latin letters and a fixed space but no soft hyphen, dashes, quotation marks, dots.
_USUAL = r"!-~\u00a0-¬®-ÿ\u2013\u2014\u2018\u2019\u201c\u201d\u2026\u2022"
_CLEAN = re.compile(f"[{_USUAL}]+(?: [{_USUAL}]+)*")
_SPACES = re.compile(" {2,}")

_NO_BREAK = "\N{NO-BREAK SPACE}"
_ALIKE = {
    "\N{HYPHEN}": "-",
    "\N{NON-BREAKING HYPHEN}": "-",
    "\N{NARROW NO-BREAK SPACE}": _NO_BREAK,
    "\N{FIGURE SPACE}": _NO_BREAK,
    _NO_BREAK: _NO_BREAK,
}


def cleaned(text: str) -> str:
    """Composed characters, single spaces, no controls, no invisible marks.

    >>> cleaned("Z\\u030cizka\\r\\n said\\u202e")
    'Žizka said'
    """
    if _CLEAN.fullmatch(text):
        return text
    composed = unicodedata.normalize("NFC", text)
    return _SPACES.sub(" ", "".join(map(_cleaned_character, composed))).strip(" ")


def _cleaned_character(character: str) -> str:
    if character in _ALIKE:
        return _ALIKE[character]
    if character.isspace():
        return " "
    invisible = unicodedata.category(character) in ("Cc", "Cf") or "\ufe00" <= character <= "\ufe0f"
    return "" if invisible else character


def printable(text: str) -> str:
    """The text as it is printed.

    >>> printable("well \\U0001f3c0 done")
    'well [U+1F3C0] done'
    """
    clean = cleaned(text)
    if PRINTABLE.issuperset(clean):
        return clean
    return "".join(c if c in PRINTABLE else f"[U+{ord(c):04X}]" for c in clean)


def missing_characters(content: LetterContent, annex: Annex | None = None) -> tuple[str, ...]:
    """The characters of a letter that its typefaces lack, in code point order."""
    texts = [*reading_order(content), content.footer, content.page_label]
    if annex is not None:
        texts.append(annex.heading)
        texts += [text for item in annex.items for text in (item.heading, *item.paragraphs)]
    return lacking(*texts)


def lacking(*texts: str) -> tuple[str, ...]:
    """The characters of some texts that a letter's typefaces lack, in code point order.

    >>> lacking("well \U0001f3c0 done", "Žižka")
    ('🏀',)
    """
    return tuple(sorted({c for text in texts for c in cleaned(text) if c not in PRINTABLE}))
