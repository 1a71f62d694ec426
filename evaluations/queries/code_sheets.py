"""One edition of a mechanics code as its page shows it: in sentences, in rows, with its gaps."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import urlencode

import msgspec

from evaluations.core.code_document import row_content
from evaluations.core.code_drawing import Courts, row_courts, ways, when_of
from evaluations.core.mechanics import code_words, question_words, words
from evaluations.core.mechanics.code import MechanicsCode, Option, Row, never_matching
from evaluations.core.mechanics.code_answers import answers_in
from evaluations.core.mechanics.code_compare import Covered, When
from evaluations.core.voice import Voice
from evaluations.models import CodeEdition
from evaluations.queries.code_pages import code_name, packed, uncovered
from evaluations.queries.codes import mechanics_code
from evaluations.voice import SiteVoice


@dataclass(frozen=True, slots=True)
class OptionLine:
    """`ways` says who goes where, `needs` under which conditions."""

    title: str
    needs: str
    ways: tuple[str, ...]
    administers: str


@dataclass(frozen=True, slots=True)
class RowLine:
    """One row in words. `number` counts from 1; `never`: rows before it cover all of it."""

    number: int
    when: str
    ways: tuple[str, ...]
    administers: str
    options: tuple[OptionLine, ...]
    note: str
    sure: bool
    never: bool
    turns: bool | None
    courts: Courts


@dataclass(frozen=True, slots=True)
class GapLine:
    """Situations without a row; `query` fills the form for a new row with what they share."""

    when: str
    situations: int
    query: str


@dataclass(frozen=True, slots=True)
class CodeSheet:
    """An edition in one language. `says` are plain sentences that hold for its rows as they are."""

    name: str
    source: str
    says: tuple[str, ...]
    rows: tuple[RowLine, ...]
    gaps: tuple[GapLine, ...]

    @property
    def open_situations(self) -> int:
        return sum(gap.situations for gap in self.gaps)

    @property
    def not_sure(self) -> int:
        return sum(not row.sure for row in self.rows)

    @property
    def never(self) -> tuple[int, ...]:
        """The numbers of the rows that can never match."""
        return tuple(row.number for row in self.rows if row.never)


def code_sheet(code: CodeEdition, language: str) -> CodeSheet:
    """Everything that an edition's page says."""
    value, voice = mechanics_code(code), SiteVoice(language)
    crew, needless = code.crew_size, set(never_matching(value))
    return CodeSheet(
        name=code_name(value, language),
        source=value.source.get(language) or next(iter(value.source.values()), ""),
        says=tuple(
            question_words.says(voice, crew, asked, answer)
            for asked, answer in answers_in(value, crew).items()
        ),
        rows=tuple(
            _row_line(voice, number, row, never=number - 1 in needless)
            for number, row in enumerate(value.rows, start=1)
        ),
        gaps=tuple(_gap_line(voice, covered) for covered in uncovered(packed(code))),
    )


def _row_line(voice: Voice, number: int, row: Row, *, never: bool) -> RowLine:
    return RowLine(
        number=number,
        when=code_words.when(voice, when_of(row)),
        ways=tuple(ways(voice, row.after)),
        administers=code_words.administers(voice, row.administers),
        options=tuple(_option_line(voice, option) for option in row.options),
        note=row.note.get(voice.language, ""),
        sure=row.sure,
        never=never,
        turns=row.flip,
        courts=row_courts(voice, row),
    )


def _option_line(voice: Voice, option: Option) -> OptionLine:
    return OptionLine(
        title=_capital(words.option(voice, option.key)),
        needs=", ".join(code_words.need(voice, need) for need in sorted(option.needs)),
        ways=tuple(ways(voice, option.after)),
        administers=code_words.administers(voice, option.administers),
    )


def _capital(said: str) -> str:
    return said[:1].upper() + said[1:]


def _gap_line(voice: Voice, covered: Covered) -> GapLine:
    return GapLine(
        when=code_words.when(voice, covered.when),
        situations=len(covered.situations),
        query=urlencode(list(_as_query(covered.when))),
    )


def _as_query(when: When) -> Iterable[tuple[str, str]]:
    """What a gap's situations share, as the names and values of the form for a row."""
    yield from (("whistles", whistle) for whistle in when.whistle)
    yield from (("resumes", resumes) for resumes in when.resumes)
    single = {"court": when.court, "caller": when.caller, "side": when.side}
    yield from ((name, values[0]) for name, values in single.items() if len(values) == 1)
    if len(when.flip) == 1:
        yield "flip", "yes" if when.flip[0] else "no"


# --- A row that somebody opened -------------------------------------------------------------------
def fingerprint(row: Row) -> str:
    """What tells a row apart from every other one, for a page that was read some time ago."""
    return hashlib.sha256(msgspec.json.encode(row_content(row))).hexdigest()[:16]


def number_now(value: MechanicsCode, number: int, seen: str) -> int | None:
    """The number now of the row that was opened under `number`.

    It is found again by its fingerprint where rows were added, moved or removed meanwhile; one that
    was changed itself keeps its number. None: there is no such row any more.
    """
    prints = [fingerprint(row) for row in value.rows]
    if 1 <= number <= len(prints) and prints[number - 1] == seen:
        return number
    if seen in prints:
        return prints.index(seen) + 1
    return number if 1 <= number <= len(prints) else None
