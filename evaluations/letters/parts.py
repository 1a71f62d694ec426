"""The parts of a letter as strips, the form aside. They follow `core.letter.reading_order`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import chain
from math import ceil

from evaluations.core.court_drawing import movement_court
from evaluations.core.drawing import Drawing
from evaluations.core.floor_drawing import own_band, own_sketch_drawing
from evaluations.core.letter import Fact, LetterContent, StepItem
from evaluations.core.letter_pictures import BandPicture
from evaluations.letters.characters import cleaned
from evaluations.letters.frame import GUTTER, Frame
from evaluations.letters.ink import Piece
from evaluations.letters.palette import ACCENT, INK
from evaluations.letters.strips import Column, Margin, Picture, Rule, Strip
from evaluations.letters.structure import Element, Role
from evaluations.letters.wrap import Line, runs, width_of, wrap

_FACT_LABEL = 70.0
_SHORT_NOTE = 30
_STEP_BAR = 2.2
_VERIFY_HANG = 130.0
_CODE_SIDE = 58.0
_CODE_QUIET = 10.0
_ROOM_BESIDE_COURT = 220.0


def letterhead(content: LetterContent, frame: Frame) -> Iterator[Strip]:
    """A notice if there is one, association and title, the official's name, the facts, the talk."""
    setting = frame.setting
    left, full = setting.left, setting.full
    if content.notice:
        notice = frame.aside(setting.notice, content.notice, left, full)
        yield Strip("heading", (notice,), below=12.0)
    half = (full - GUTTER) / 2
    association = frame.aside(setting.association, content.association, left, half)
    title = frame.aside(setting.note, content.title, left + full, half, right=True)
    yield Strip("heading", (association, title), below=5.0, keep=True)
    size = setting.name.size
    name = wrap(runs((setting.name, content.official)), full)
    yield Strip(
        "heading",
        (Column(frame.child(Role.TITLE), left, name, 1.2 * size),),
        above=0.45 * size,
        below=0.3 * size,
        rules=(Rule(left, full, INK, 0.9), Rule(left, full, INK, 0.4, y=2.2)),
        keep=True,
    )
    yield from _facts(content.facts, frame)
    if content.talk:
        talk = frame.aside(setting.fact, content.talk, left, full)
        yield Strip("heading", (talk,), gap=setting.step.item_gap)


def _facts(facts: Sequence[Fact], frame: Frame) -> Iterator[Strip]:
    """Two facts a row, each its label and, beside it, its text."""
    setting = frame.setting
    half = (setting.full - GUTTER) / 2
    leading = 1.34 * setting.fact.size
    group = frame.child(Role.LIST)
    for first in range(0, len(facts), 2):
        cells: list[Column] = []
        for place, fact in enumerate(facts[first : first + 2]):
            x = setting.left + place * (half + GUTTER)
            body = Element(Role.ITEM_BODY, Element(Role.ITEM, group))
            label = wrap(runs((setting.note, fact.label)), _FACT_LABEL - 4)
            text = wrap(runs((setting.fact, fact.text)), half - _FACT_LABEL)
            cells.append(Column(body, x, label, leading))
            cells.append(Column(body, x + _FACT_LABEL, text, leading))
        yield Strip("heading", tuple(cells), below=1.0)


def summary(content: LetterContent, frame: Frame) -> Iterator[Strip]:
    if content.summary:
        yield frame.paragraph("summary", runs((frame.setting.body, content.summary)))


def went_well(content: LetterContent, frame: Frame) -> Iterator[Strip]:
    """Each item a paragraph with its criterion run in."""
    setting = frame.setting
    if not content.went_well and content.went_well_empty:
        yield frame.paragraph("went_well", runs((setting.body, content.went_well_empty)))
    yield from _items(
        "went_well",
        frame,
        [
            runs(
                (setting.strong, item.label),
                (setting.body, item.text),
                (setting.note, _unbroken(item.mark)),
            )
            for item in content.went_well
        ],
    )


def _unbroken(note: str) -> str:
    """A short note that stays on one line, such as where something was seen."""
    return note.replace(" ", "\N{NO-BREAK SPACE}") if len(note) <= _SHORT_NOTE else note


def _items(part: str, frame: Frame, items: Sequence[Sequence[Piece]]) -> Iterator[Strip]:
    """A list, or one paragraph in a setting that runs its lists in."""
    gap = frame.setting.step.item_gap
    if frame.setting.step.run_in and items:
        yield frame.paragraph(part, list(chain.from_iterable(items)))
        return
    group = frame.child(Role.LIST)
    for item in items:
        body = Element(Role.ITEM_BODY, Element(Role.ITEM, group))
        yield frame.paragraph(part, item, parent=body, gap=gap)


def next_steps(content: LetterContent, frame: Frame) -> Iterator[Strip]:
    """Each step its criterion and gain, and its five parts as one paragraph, beside a bar."""
    group = frame.child(Role.LIST)
    for step in content.next_steps:
        yield from _step(step, frame, group)
    if content.next_steps_note:
        note = runs((frame.setting.note, content.next_steps_note))
        yield frame.paragraph("next_steps", note, gap=frame.setting.step.item_gap)


def _step(step: StepItem, frame: Frame, group: Element) -> Iterator[Strip]:
    setting = frame.setting
    bar = Margin(setting.text_left - _STEP_BAR - 6.0, _STEP_BAR, ACCENT)
    body = Element(Role.ITEM_BODY, Element(Role.ITEM, group))
    gain = wrap(runs((setting.note, step.gain)), setting.measure / 2)
    room = setting.measure - max(map(width_of, gain), default=-GUTTER) - GUTTER
    label = wrap(runs((setting.strong, step.label)), room)
    paragraph = Element(Role.PARAGRAPH, body)
    right = setting.text_left + setting.measure
    yield Strip(
        "next_steps",
        (
            Column(paragraph, setting.text_left, label, setting.leading),
            Column(paragraph, right, gain, setting.leading, right=True),
        ),
        gap=1.6 * setting.step.item_gap,
        keep=True,
        margin=bar,
    )
    parts = [
        pair
        for part in step.parts
        for pair in ((setting.note_strong, part.label), (setting.body, part.text))
    ]
    words = runs(*parts, (setting.note, _unbroken(step.mark)))
    yield replace(frame.paragraph("next_steps", words, parent=body), margin=bar)


def evidence(content: LetterContent, frame: Frame) -> Iterator[Strip]:
    """The own movement or sketch if one is drawn, the observer's words in the serif, the band."""
    setting = frame.setting
    quotes = [
        runs(
            (setting.strong, q.label),
            (setting.quote, q.text),
            (setting.note, _unbroken(q.where)),
        )
        for q in content.quotes
    ]
    if content.movement is not None:
        picture = content.movement
        court = movement_court(picture.movement, cleaned(picture.alt), table=picture.table)
        yield from _beside_court(court, picture.caption, quotes, frame)
    elif content.sketch is not None:
        court = own_sketch_drawing(content.sketch, cleaned(content.sketch.alt))
        yield from _beside_court(court, content.sketch.caption, quotes, frame)
    else:
        yield from _items("evidence", frame, quotes)
    if content.band is not None:
        yield _band(content.band, frame)
    if content.quotes_note:
        note = runs((setting.note, content.quotes_note))
        yield frame.paragraph("evidence", note, gap=setting.step.item_gap)


def _beside_court(
    court: Drawing, told: str, quotes: Sequence[Sequence[Piece]], frame: Frame
) -> Iterator[Strip]:
    """The court at the right, its caption beside it, and the quotations around or below it.

    They flow around the court where there is room for a line of text, in the settings without
    hung headings; else they stand below.
    """
    setting = frame.setting
    narrow = setting.measure - court.width - GUTTER
    caption = wrap(runs((setting.body, told)), narrow)
    cells = _beside(court, caption, frame)
    flows = narrow >= _ROOM_BESIDE_COURT
    if flows:
        cells += _around(court.height, narrow, len(caption) * setting.leading, quotes, frame)
    yield Strip("evidence", tuple(cells))
    if not flows:
        yield from _items("evidence", frame, quotes)


def _beside(drawing: Drawing, told: Sequence[Line], frame: Frame) -> list[Column | Picture]:
    """A drawing at the right, what it tells at the left."""
    setting = frame.setting
    x = setting.text_left + setting.measure - drawing.width
    return [
        Column(frame.child(Role.PARAGRAPH), setting.text_left, told, setting.leading),
        Picture(Element(Role.FIGURE, frame.root, alt=drawing.alt), drawing, x),
    ]


def _band(picture: BandPicture, frame: Frame) -> Strip:
    """The band of the own duty beside its sentence."""
    setting = frame.setting
    band = own_band(picture, cleaned(picture.alt))
    narrow = setting.measure - band.width - GUTTER
    told = wrap(runs((setting.body, picture.caption)), narrow)
    return Strip("evidence", tuple(_beside(band, told, frame)), gap=2 * setting.step.item_gap)


def _around(
    height: float, narrow: float, down: float, quotes: Sequence[Sequence[Piece]], frame: Frame
) -> Iterator[Column]:
    """Paragraphs from `down` on, their lines `narrow` as long as a picture of this height lasts."""
    setting = frame.setting
    group = frame.child(Role.LIST)
    run_in = setting.step.run_in and quotes
    for words in [list(chain.from_iterable(quotes))] if run_in else quotes:
        down += setting.step.item_gap
        beside = max(ceil((height - down) / setting.leading), 0)
        lines = wrap(words, setting.measure, beside=beside, narrow=narrow)
        element = (
            frame.child(Role.PARAGRAPH)
            if run_in
            else Element(Role.ITEM_BODY, Element(Role.ITEM, group))
        )
        yield Column(element, setting.text_left, lines, setting.leading, down=down)
        down += len(lines) * setting.leading


def respond(content: LetterContent, frame: Frame) -> Iterator[Strip]:
    """How to respond, the association's own words, and the cautions, smaller."""
    setting = frame.setting
    for text in (content.respond, content.paragraph):
        if text:
            words = runs((setting.body, text))
            yield frame.paragraph("respond", words, gap=setting.step.item_gap)
    group = frame.child(Role.LIST)
    for place, caution in enumerate(content.cautions):
        body = Element(Role.ITEM_BODY, Element(Role.ITEM, group))
        yield frame.paragraph(
            "respond",
            runs((setting.caution, caution)),
            parent=body,
            leading=setting.caution_leading,
            gap=0.0 if place else 1.5 * setting.step.item_gap,
        )


def verify(content: LetterContent, frame: Frame) -> Iterator[Strip]:
    """The code and where to ask, beside the same address as a square code."""
    setting, verification = frame.setting, content.verification
    left = setting.left + (setting.step.hang or _VERIFY_HANG)
    right = setting.left + setting.full
    measure = right - _CODE_SIDE - GUTTER - left
    lines = [
        line
        for look, text in (
            (setting.note, verification.text),
            (setting.strong, verification.code),
            (setting.note, verification.address),
        )
        for line in wrap(runs((look, text)), measure)
    ]
    if not lines:
        return
    yield Strip(
        "verify",
        (
            Column(frame.child(Role.PARAGRAPH), left, lines, setting.leading),
            Picture(
                Element(Role.FIGURE, frame.root, alt=frame.code.alt),
                frame.code,
                right - _CODE_SIDE,
                scale=_CODE_SIDE / frame.code.width,
            ),
        ),
        below=_CODE_QUIET,
    )
