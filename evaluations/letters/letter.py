"""A letter from its content to its file."""

from __future__ import annotations

from collections.abc import Iterator

from evaluations.core.drawing import Drawing
from evaluations.core.letter import Annex, LetterContent
from evaluations.letters.characters import cleaned
from evaluations.letters.codes import square_code
from evaluations.letters.form import form
from evaluations.letters.frame import GUTTER, Frame
from evaluations.letters.ink import Ink
from evaluations.letters.palette import HAIRLINE
from evaluations.letters.parts import (
    evidence,
    letterhead,
    next_steps,
    respond,
    summary,
    verify,
    went_well,
)
from evaluations.letters.pdf import PdfFile
from evaluations.letters.setting import STEPS, Setting, set_in
from evaluations.letters.strips import Placed, Strip, place
from evaluations.letters.structure import Element, Role
from evaluations.letters.wrap import runs, width_of, wrap

PAGES = 2
"""A letter's pages at most, its annex aside."""

_SECTIONS = (
    ("summary", summary),
    ("went_well", went_well),
    ("next_steps", next_steps),
    ("evidence", evidence),
    ("form", form),
    ("respond", respond),
    ("verify", verify),
)


_EXPECTED = {
    "heading": 135.0,
    "summary": 60.0,
    "went_well": 100.0,
    "next_steps": 230.0,
    "evidence": 235.0,
    "form": 490.0,
    "respond": 165.0,
    "verify": 76.0,
}
"""What a part takes with its texts at their budgets in the tightest step, in points."""


class LetterTooLong(ValueError):
    """The letter doesn't fit on its pages; `part` is the part that goes furthest over its share."""

    def __init__(self, part: str) -> None:
        super().__init__(f"the letter doesn't fit on {PAGES} pages: too much in {part}")
        self.part = part


def render(content: LetterContent, annex: Annex | None = None) -> bytes:
    """The letter as a tagged PDF (PDF/UA-1), with the annex on pages of its own after it.

    Same content, same bytes, in any process and thread. Characters that the typefaces lack are
    printed as their code points; see `missing_characters`.

    Raises:
        LetterTooLong: it doesn't fit on two pages even in the tightest setting.
    """
    verification = content.verification
    root = Element(Role.DOCUMENT, None)
    code = square_code(verification.address, cleaned(verification.alt))
    frame, pages = _fit(content, root, code)
    setting = frame.setting
    if annex is not None:
        pages = [*pages, *place(_annex(annex, frame), _room(setting))]
    file = PdfFile(
        title=cleaned(f"{content.title}: {content.official}"),
        author=cleaned(content.association),
        language=content.language,
        issued=content.issued,
        root=root,
    )
    for number, page in enumerate(pages, 1):
        ink = file.page(setting.width, setting.height)
        for strip, top in page:
            strip.draw(ink, setting.step.edge + top)
        label = content.page_label % {"page": number, "pages": len(pages)}
        _foot(ink, setting, content.footer, label)
    return file.save()


_Pages = list[list[Placed]]


def _fit(content: LetterContent, root: Element, code: Drawing) -> tuple[Frame, _Pages]:
    """The roomiest step in which the form opens the second page; else it runs on from the first.

    A letter that fits on one page stays on it.
    """
    running_on: tuple[Frame, _Pages] | None = None
    strips: list[Strip] = []
    need = 0.0
    for number, step in enumerate(STEPS):
        if need * step.share > 1.0:
            continue
        frame = Frame(set_in(content.paper, number), root, code)
        room = _room(frame.setting)
        strips = list(_strips(content, frame))
        need = need or sum(strip.gap + strip.height for strip in strips) / (PAGES * room)
        pages = place(strips, room)
        if not _fits(pages, room):
            continue
        if len(pages) == 1:
            return frame, pages
        opened = place(strips, room, new_page_at="form")
        if _fits(opened, room):
            return frame, opened
        running_on = running_on or (frame, pages)
    if running_on is None:
        raise LetterTooLong(_longest(strips))
    return running_on


def _strips(content: LetterContent, frame: Frame) -> Iterator[Strip]:
    yield from letterhead(content, frame)
    for part, strips in _SECTIONS:
        yield from frame.under(content.headings.get(part, ""), list(strips(content, frame)))


def _room(setting: Setting) -> float:
    """The height of a page's text area."""
    return setting.height - 2 * setting.step.edge


def _fits(pages: _Pages, room: float) -> bool:
    """Whether all strips lie on the letter's pages."""
    return len(pages) <= PAGES and all(
        top + strip.height <= room for page in pages for strip, top in page
    )


def _longest(strips: list[Strip]) -> str:
    """The part that goes furthest over what is expected of it."""
    over = {part: -expected for part, expected in _EXPECTED.items()}
    for strip in strips:
        over[strip.part] += strip.gap + strip.height
    return max(over, key=over.__getitem__)


def _annex(annex: Annex, frame: Frame) -> Iterator[Strip]:
    """Its heading, and each item's heading and paragraphs."""
    setting = frame.setting
    head = frame.aside(setting.area, annex.heading, setting.left, setting.full, role=Role.HEADING)
    yield Strip("annex", (head,), below=setting.step.item_gap, keep=True)
    for item in annex.items:
        title = frame.aside(
            setting.strong, item.heading, setting.text_left, setting.measure, role=Role.SUBHEADING
        )
        yield Strip("annex", (title,), gap=setting.step.part_gap, keep=True)
        for text in item.paragraphs:
            words = runs((setting.body, text))
            yield frame.paragraph("annex", words, gap=setting.step.item_gap)


def _foot(ink: Ink, setting: Setting, footer: str, label: str) -> None:
    """A hairline, the footer and the page's number: decoration to a reader."""
    right = setting.left + setting.full
    top = ink.height - setting.step.edge + 8.0
    baseline = top + 12.0
    ink.rule(setting.left, top, setting.full, HAIRLINE, 0.6)
    number = setting.caution.run(label)
    room = setting.full - width_of([number]) - GUTTER
    ink.artifact()
    ink.text(setting.left, baseline, wrap(runs((setting.caution, footer)), room)[0])
    ink.text(right - width_of([number]), baseline, [number])
    ink.end()
