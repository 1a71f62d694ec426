"""What a letter says: finished text in reading order, without its looks.

The PDF and the page are both made of a `LetterContent`, so they can't differ. `compose` in
`letter_text` makes one from a frozen release.
"""

from __future__ import annotations

from dataclasses import dataclass, replace


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
    """The bar of one area, 0 to 100: this game's `value`, the `season` mean (None: not shown)."""

    value: float | None
    season: float | None
    alt: str


@dataclass(frozen=True, slots=True)
class FormRow:
    """One criterion of the form, as printed. Points and room are "" when there is no total."""

    label: str
    level: str
    points: str
    room: str


@dataclass(frozen=True, slots=True)
class FormArea:
    """One area of the form: its share of the total, its bar, its criteria."""

    label: str
    share: str
    bar: AreaBar
    rows: tuple[FormRow, ...]


@dataclass(frozen=True, slots=True)
class FormTable:
    """The whole form. `columns` heads label, level, points, room; `closing` are label / points."""

    columns: tuple[str, str, str, str]
    areas: tuple[FormArea, ...]
    closing: tuple[Fact, ...]
    seen: str
    key: str


@dataclass(frozen=True, slots=True)
class Verification:
    """The code that says whether a copy is genuine, and where to ask."""

    code: str
    address: str
    text: str


@dataclass(frozen=True, slots=True)
class LetterContent:
    """A letter of at most two pages, in the order in which it is read.

    Headings are in `headings` by the names of the parts: summary, went_well, next_steps,
    evidence, form, respond, verify. Empty texts are left out by whoever lays it out.
    `notice` is what a withdrawn letter opens with. `total` is the headline ("68, dependable").
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
