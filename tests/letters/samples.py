"""Letters to invented people, short and full, in English and in Spanish."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, replace
from itertools import cycle, islice
from pathlib import Path
from typing import Any

from evaluations.core.floor.eyes import Facing, Stretch
from evaluations.core.floor.presets import Shape, preset
from evaluations.core.floor.sketch import OfficialAt, Point
from evaluations.core.floor_evidence import OwnSketch, When
from evaluations.core.games import CrewPosition
from evaluations.core.letter import (
    Annex,
    AnnexItem,
    AreaBar,
    FormArea,
    FormRow,
    FormTable,
    LetterContent,
    Quote,
    StepItem,
    StepPart,
    StrengthItem,
    Verification,
)
from evaluations.core.letter_pictures import BandPicture, MovementPicture, SketchPicture
from evaluations.core.mechanics.court import Court, End, Place, Position, Resumes, Side, Whistle
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.mechanics.movement import Movement
from tests.letters.phrases import ENGLISH, SPANISH, Phrases

RUBRIC = Path(__file__).parents[2] / "evaluations" / "shipped" / "default_rubric.toml"

SUMMARY, STRENGTH, STEP, QUOTES, CAUTIONS, PARAGRAPH, LABEL = 300, 160, 450, 900, 550, 400, 60
BESIDE_COURT, BESIDE_BAND = 1300, 700
"""Budgets in characters; the last ones for quotations with their labels beside a drawn court, and
with a ledger's band."""


@dataclass(frozen=True)
class Criterion:
    """A criterion of the shipped rubric in one language."""

    area: str
    label: str
    parts: tuple[str, str, str, str]


def _criteria(language: str) -> list[Criterion]:
    areas: list[dict[str, Any]] = tomllib.loads(RUBRIC.read_text("utf-8"))["areas"]
    found = []
    for area in areas:
        for criterion in area["criteria"]:
            words = criterion[language]
            parts = tuple(words[key] for key in ("standard", "why", "try_this", "check"))
            found.append(Criterion(area[language], words["label"], parts))
    return found


def to_length(text: str, length: int) -> str:
    """The text, over and over, as exactly `length` characters of whole words, then a full stop."""
    words = " ".join(islice(cycle(text.split(" ")), length))
    return words[: length - 1].rstrip(" ").ljust(length - 1, "n") + "."


def full(language: str = "en", paper: str = "letter", criteria: int = 20) -> LetterContent:
    """A letter with every text at its budget and `criteria` criteria in five areas."""
    phrases = _phrases(language)
    known = _criteria(language)
    labels = [known[n % len(known)].label for n in range(criteria)]
    return LetterContent(
        language=language,
        paper=paper,
        title=phrases.title,
        notice="",
        association=phrases.association,
        official="Łukasz Þór Đorđević-Žižka",
        facts=phrases.facts,
        talk=phrases.talk,
        headings=phrases.headings,
        summary=to_length(phrases.summary, SUMMARY),
        went_well=tuple(
            StrengthItem(labels[n], to_length(phrases.strength, STRENGTH), phrases.mark)
            for n in range(3)
        ),
        went_well_empty="",
        next_steps=tuple(_step(known[n + 3], phrases, STEP) for n in range(3)),
        next_steps_note="",
        quotes=tuple(
            Quote(labels[n + 6], to_length(phrases.quote, QUOTES // 6), phrases.where)
            for n in range(6)
        ),
        quotes_note=phrases.quotes_note,
        total=phrases.total,
        total_note=phrases.total_note,
        season=phrases.season,
        form=_form(labels, phrases),
        respond=phrases.respond,
        paragraph=to_length(phrases.paragraph, PARAGRAPH),
        cautions=tuple(to_length(text, CAUTIONS // 5) for text in phrases.cautions),
        verification=Verification(
            "7KQM-2XNV-94TD",
            "https://letters.harbour-officials.example/v/7KQM-2XNV-94TD",
            phrases.verify,
            phrases.code_alt,
        ),
        footer=phrases.footer,
        page_label=phrases.page_label,
        issued="2026-11-12",
    )


def _phrases(language: str) -> Phrases:
    return {"en": ENGLISH, "es": SPANISH}[language]


def _step(criterion: Criterion, phrases: Phrases, length: int = 0) -> StepItem:
    """A next step; with a `length`, its five parts have that many characters in all."""
    rest = length - sum(map(len, criterion.parts))
    seen = to_length(phrases.seen, rest) if length else phrases.seen
    parts = zip(phrases.parts, (seen, *criterion.parts), strict=True)
    return StepItem(
        criterion.label,
        tuple(StepPart(label, text) for label, text in parts),
        phrases.gain,
        phrases.mark,
    )


def _form(labels: list[str], phrases: Phrases) -> FormTable:
    areas = []
    size = -(-len(labels) // len(phrases.areas))
    for place, area in enumerate(phrases.areas):
        rows = []
        for n, label in enumerate(labels[place * size : (place + 1) * size]):
            level = (place + 2 * n) % 6
            if level == 0:
                rows.append(FormRow(label, None, phrases.not_seen, "–", "–"))
            else:
                points, room = phrases.number(level), phrases.number(5 - level)
                rows.append(FormRow(label, level, phrases.levels[level - 1], points, room))
        value = 48.0 + 11 * place
        text = f"{value:.0f}"
        bar = AreaBar(value, 60.0, text, phrases.bar_alt % {"area": area, "value": text})
        areas.append(FormArea(area, phrases.share, bar, tuple(rows)))
    return FormTable(
        phrases.columns, 5, tuple(areas), phrases.closing, phrases.was_seen, phrases.key
    )


def crammed(language: str = "en", paper: str = "letter") -> LetterContent:
    """A full letter at its worst: long labels, every mark, one more fact, many short quotations."""
    letter = full(language, paper)
    label = to_length(letter.next_steps[0].label, LABEL)
    quote = letter.quotes[0]
    form = letter.form
    return replace(
        letter,
        facts=(*letter.facts, *letter.facts[:1]),
        went_well=tuple(replace(item, label=label) for item in letter.went_well),
        next_steps=tuple(replace(step, label=label) for step in letter.next_steps),
        quotes=(replace(quote, label=label, text=to_length(quote.text, QUOTES // 12)),) * 12,
        form=replace(
            form,
            areas=tuple(
                replace(area, rows=tuple(replace(row, label=label) for row in area.rows))
                for area in form.areas
            ),
        ),
    )


LONG_SWITCH = Movement(
    dead_ball=28,
    period=4,
    clock="10:00",
    whistle=Whistle.SHOOTING,
    resumes=Resumes.FREE_THROWS,
    court=Court.BACK,
    basket=End.RIGHT,
    flip=False,
    long_switch=True,
    before=Place(Position.TRAIL, Side.OPPOSITE),
    expected=Place(Position.LEAD, Side.OPPOSITE),
    actual=Place(Position.TRAIL, Side.OPPOSITE),
    verdict=Verdict.MET,
    option="caller_trail_opposite",
)


def with_log(letter: LetterContent) -> LetterContent:
    """The letter with its longest evidence from a log: a movement, and a count in every row."""
    phrases = _phrases(letter.language)
    counts = cycle(
        (
            phrases.sampled % {"met": 12, "judged": 14, "low": 60, "high": 96},
            phrases.not_enough,
            "",
        )
    )
    areas = tuple(
        replace(area, rows=tuple(replace(row, counted=next(counts)) for row in area.rows))
        for area in letter.form.areas
    )
    return replace(
        _with_quotes_of(letter, BESIDE_COURT),
        form=replace(
            letter.form, areas=areas, counted=phrases.counted, counts_note=phrases.counts_note
        ),
        movement=MovementPicture(LONG_SWITCH, phrases.caption, phrases.movement_alt, phrases.table),
    )


def _with_quotes_of(letter: LetterContent, budget: int) -> LetterContent:
    """The letter with its quotations and their labels within a budget."""
    in_all = sum(len(quote.label) + len(quote.text) + len(quote.where) for quote in letter.quotes)
    over = -(-max(in_all - budget, 0) // max(len(letter.quotes), 1))
    quotes = tuple(
        replace(quote, text=to_length(quote.text, len(quote.text) - over))
        for quote in letter.quotes
    )
    return replace(letter, quotes=quotes)


AMONG_PLAYERS = OwnSketch(
    When(28, 4, "10:00", Whistle.SHOOTING),
    replace(
        preset(Shape.FREE_THROW, 2),
        officials=(OfficialAt(CrewPosition.UMPIRE, Point(24.0, 1.0), 70.0),),
        reporter=None,
    ),
)

BAND = (
    Stretch(0, 10_400, Facing.FACING),
    Stretch(10_400, 22_900, Facing.NOT_FACING),
    Stretch(22_900, 33_000, Facing.CANT_TELL),
)


def with_band(letter: LetterContent) -> LetterContent:
    """A letter with a court, and the band of a ledger below; beside it eight quotations at most."""
    phrases = _phrases(letter.language)
    band = BandPicture(
        BAND, phrases.band_caption, phrases.band_alt, phrases.whistle, phrases.reported
    )
    fewer = replace(letter, quotes=letter.quotes[:8])
    return replace(_with_quotes_of(fewer, BESIDE_BAND), band=band)


def with_sketch(letter: LetterContent) -> LetterContent:
    """A letter whose sketch takes the place of the movement."""
    phrases = _phrases(letter.language)
    sketch = SketchPicture(
        AMONG_PLAYERS, phrases.sketch_caption, phrases.sketch_alt, phrases.you, phrases.table
    )
    return replace(letter, movement=None, sketch=sketch)


def full_sketched(language: str = "en", paper: str = "letter") -> LetterContent:
    return with_band(with_sketch(full_logged(language, paper)))


def crammed_sketched(language: str = "en", paper: str = "letter") -> LetterContent:
    return with_band(with_sketch(crammed_logged(language, paper)))


def crammed_banded(language: str = "en", paper: str = "letter") -> LetterContent:
    return with_band(crammed_logged(language, paper))


def typical_sketched(language: str = "en", paper: str = "letter") -> LetterContent:
    return with_band(with_sketch(typical_logged(language, paper)))


def full_logged(language: str = "en", paper: str = "letter") -> LetterContent:
    return with_log(full(language, paper))


def crammed_logged(language: str = "en", paper: str = "letter") -> LetterContent:
    return with_log(crammed(language, paper))


def typical_logged(language: str = "en", paper: str = "letter") -> LetterContent:
    return with_log(typical(language, paper))


def coaching_logged(language: str = "en", paper: str = "letter") -> LetterContent:
    return with_log(coaching(language, paper))


def typical(language: str = "en", paper: str = "letter") -> LetterContent:
    """A letter as most are: twelve criteria, two strengths, two next steps, two quotes."""
    phrases = _phrases(language)
    known = _criteria(language)
    return replace(
        full(language, paper, criteria=12),
        official="R. Castellano",
        summary=phrases.summary,
        went_well=tuple(StrengthItem(known[n].label, phrases.strength, "") for n in (0, 4)),
        next_steps=tuple(_step(known[n], phrases) for n in (6, 3)),
        quotes=tuple(Quote(known[n].label, phrases.quote, phrases.where) for n in (9, 10)),
        quotes_note="",
        form=_form([c.label for c in known], replace(phrases, areas=phrases.areas[:4])),
        paragraph=phrases.paragraph,
        cautions=phrases.cautions,
    )


def coaching(language: str = "en", paper: str = "letter") -> LetterContent:
    """A new official's short letter: no total, no points, no bars, one next step."""
    phrases = _phrases(language)
    letter = typical(language, paper)
    areas = tuple(
        FormArea(
            area.label,
            "",
            AreaBar(None, None, "", ""),
            tuple(replace(row, points="", room="") for row in area.rows),
        )
        for area in letter.form.areas
    )
    form = replace(letter.form, areas=areas, closing=(), key="")
    return replace(
        letter,
        official="İlkay Fernández",
        went_well=letter.went_well[:1],
        next_steps=(replace(letter.next_steps[0], gain=""),),
        quotes=(),
        total="",
        total_note=phrases.no_total,
        season="",
        form=form,
    )


def bare(language: str = "en", paper: str = "letter") -> LetterContent:
    """Only what no letter can be without."""
    letter = coaching(language, paper)
    return replace(
        letter,
        facts=(),
        talk="",
        summary="",
        went_well=(),
        next_steps=(),
        total_note="",
        form=replace(letter.form, areas=(), seen=""),
        respond="",
        paragraph="",
        cautions=(),
    )


def annex(language: str = "en", items: int = 4, length: int = 1200) -> Annex:
    """Longer comments of `length` characters each, and an answer."""
    phrases = _phrases(language)
    known = _criteria(language)
    comments = tuple(
        AnnexItem(known[n % len(known)].label, (to_length(phrases.quote, length),))
        for n in range(items)
    )
    answer = AnnexItem(phrases.answer_heading, (phrases.answer, phrases.outcome))
    return Annex(phrases.annex_heading, (*comments, answer))
