"""What a letter says: finished text in reading order, without its looks.

The PDF and the page are both made of a `LetterContent`, so they can't differ. `compose` in
`letter_text` makes one from a frozen release.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from evaluations.core.letter_pictures import BandPicture, MovementPicture, SketchPicture


@dataclass(frozen=True, slots=True)
class Fact:
    """A line of the heading, such as Game / Herons v. Millstone."""

    label: str
    text: str


@dataclass(frozen=True, slots=True)
class StrengthItem:
    """One thing that went well. `mark` says that it was not raised after the game, or is ""."""

    label: str
    text: str
    mark: str


@dataclass(frozen=True, slots=True)
class StepPart:
    """One of a next step's five parts; `label` is printed before `text`, run in."""

    label: str
    text: str


@dataclass(frozen=True, slots=True)
class StepItem:
    """One next step. `label` names the criterion; `gain` says what it is worth, or is ""."""

    label: str
    parts: tuple[StepPart, ...]
    gain: str
    mark: str


@dataclass(frozen=True, slots=True)
class Quote:
    """Words of the observer about one criterion, and where they were seen ("dead ball 9" or "")."""

    label: str
    text: str
    where: str


@dataclass(frozen=True, slots=True)
class AreaBar:
    """The bar of one area, 0 to 100: this game's `value`, the `season` mean (None: not shown).

    `text` is the value as printed beside the bar, or ""; `alt` says in a sentence what it shows.
    """

    value: float | None
    season: float | None
    text: str
    alt: str


@dataclass(frozen=True, slots=True)
class FormRow:
    """One criterion of the form, as printed. Points and room are "" when there is no total.

    `level` is the level's word; `position` is where it stands on the scale, from 1, or None.
    `counted` is what the log says, such as "4 of 6", or "".
    """

    label: str
    position: int | None
    level: str
    points: str
    room: str
    counted: str = ""


@dataclass(frozen=True, slots=True)
class FormArea:
    """One area of the form: its share of the total, its bar, its criteria."""

    label: str
    share: str
    bar: AreaBar
    rows: tuple[FormRow, ...]


@dataclass(frozen=True, slots=True)
class FormTable:
    """The whole form. `columns` heads label, level, points, room; `closing` are label / points.

    `levels` is the length of the scale that positions stand on. `key` explains the bars. `counted`
    heads the column of counts, "" where there is none; `counts_note` explains it.
    """

    columns: tuple[str, str, str, str]
    levels: int
    areas: tuple[FormArea, ...]
    closing: tuple[Fact, ...]
    seen: str
    key: str
    counted: str = ""
    counts_note: str = ""

    @property
    def has_points(self) -> bool:
        """Whether points and room to gain are printed at all: not when there is no total."""
        return any(row.points or row.room for area in self.areas for row in area.rows)

    @property
    def beside_labels(self) -> int:
        """How many columns stand beside that of the labels."""
        return 1 + bool(self.counted) + 2 * self.has_points


@dataclass(frozen=True, slots=True)
class Verification:
    """The code that says whether a copy is genuine, and where to ask.

    `address` leads to the answer; it is printed, and drawn as a square code that `alt` describes.
    """

    code: str
    address: str
    text: str
    alt: str


@dataclass(frozen=True, slots=True)
class LetterContent:
    """A letter of at most two pages, in the order in which it is read.

    Headings are in `headings` by the names of the parts: summary, went_well, next_steps,
    evidence, form, respond, verify. Empty texts are left out by whoever lays it out, and so is the
    heading of a part without texts. Labels carry no colon: they are set apart by their looks.

    `title` says what the document is; together with `official`, the main heading, it names the
    file. `notice` is what a withdrawn letter opens with, `total` the headline "68, dependable".
    `footer` stands on every page, with `page_label`: "Page %(page)s of %(pages)s".
    `paper` is "letter" or "a4"; `issued` is an ISO date and stamps the file.
    """

    language: str
    paper: str
    title: str
    notice: str
    association: str
    official: str
    facts: tuple[Fact, ...]
    talk: str
    headings: dict[str, str]
    summary: str
    went_well: tuple[StrengthItem, ...]
    went_well_empty: str
    next_steps: tuple[StepItem, ...]
    next_steps_note: str
    quotes: tuple[Quote, ...]
    quotes_note: str
    total: str
    total_note: str
    season: str
    form: FormTable
    respond: str
    paragraph: str
    cautions: tuple[str, ...]
    verification: Verification
    footer: str
    page_label: str
    issued: str
    movement: MovementPicture | None = None
    sketch: SketchPicture | None = None
    band: BandPicture | None = None

    @property
    def goes_on(self) -> bool:
        """Whether something that belongs to the letter stands only in its annex."""
        return bool(self.quotes_note or self.form.counts_note)


@dataclass(frozen=True, slots=True)
class AnnexItem:
    """A block of the annex: a heading and its paragraphs."""

    heading: str
    paragraphs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Annex:
    """Pages after the letter: longer comments, and the official's answer with what came of it."""

    heading: str
    items: tuple[AnnexItem, ...]


def with_notice(content: LetterContent, notice: str) -> LetterContent:
    """The same letter, opening with a notice such as that it was withdrawn."""
    return replace(content, notice=notice)


def reading_order(content: LetterContent) -> tuple[str, ...]:
    """Every text of the letter that is printed once, in the order in which it is read.

    What a reader gets from the PDF and from the page, the footer aside.
    """
    opening = [content.notice, content.association, content.title, content.official]
    for fact in content.facts:
        opening += [fact.label, fact.text]
    opening.append(content.talk)
    parts = (
        ("summary", [content.summary]),
        ("went_well", _went_well(content)),
        ("next_steps", _next_steps(content)),
        ("evidence", _evidence(content)),
        ("form", [content.total, content.total_note, *_form(content.form), content.season]),
        ("respond", [content.respond, content.paragraph, *content.cautions]),
        ("verify", _verification(content.verification)),
    )
    for name, texts in parts:
        if any(texts):
            opening += [content.headings.get(name, ""), *texts]
    return tuple(text for text in opening if text)


def _went_well(content: LetterContent) -> list[str]:
    if not content.went_well:
        return [content.went_well_empty]
    return [text for item in content.went_well for text in (item.label, item.text, item.mark)]


def _next_steps(content: LetterContent) -> list[str]:
    texts: list[str] = []
    for step in content.next_steps:
        texts += [step.label, step.gain]
        for part in step.parts:
            texts += [part.label, part.text]
        texts.append(step.mark)
    return [*texts, content.next_steps_note]


def _evidence(content: LetterContent) -> list[str]:
    drawn: list[str] = []
    if content.movement:
        drawn += [content.movement.caption, content.movement.table]
    if content.sketch:
        drawn += [content.sketch.caption, content.sketch.table, content.sketch.you]
    quotes = [text for quote in content.quotes for text in (quote.label, quote.text, quote.where)]
    band = content.band
    told = [band.caption, band.whistle, band.reported] if band else []
    return [*drawn, *quotes, *told, content.quotes_note]


def _form(form: FormTable) -> list[str]:
    if not form.areas:
        return [form.seen]
    counted = [form.counted] if form.counted else []
    points = form.columns[2:] if form.has_points else ()
    texts = [*form.columns[:2], *counted, *points]
    for area in form.areas:
        texts += [area.label, area.share, area.bar.text]
        for row in area.rows:
            texts += [row.label, row.level, row.counted, row.points, row.room]
    for line in form.closing:
        texts += [line.label, line.text]
    return [*texts, form.counts_note, form.key, form.seen]


def _verification(verification: Verification) -> list[str]:
    return [verification.text, verification.code, verification.address]
