"""Letters as PDF: `LetterContent` in, bytes out. No Django, no clock.

Layout is a small module of its own on top of ReportLab's file writer, not Platypus, and not its
canvas. Neither can tag, so the marked content and the structure tree had to be written here in any
case; with them at hand the rest of a page is lines of text, hairlines and a few rectangles. Text is
never parsed as markup on this way, and a letter takes a few milliseconds.

Read `letter`, then `parts` and `form` (what stands where), `strips` (how pages are filled), `ink`
and `pdf` (how they are written).
"""

from evaluations.letters.characters import lacking, missing_characters
from evaluations.letters.letter import LetterTooLong, render
from evaluations.letters.svg import to_svg

__all__ = ["LetterTooLong", "lacking", "missing_characters", "render", "to_svg"]
