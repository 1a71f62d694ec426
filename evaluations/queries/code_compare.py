"""Two editions of a mechanics code beside each other, as their page shows them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from accounts.models import Membership
from evaluations.core.code_drawing import row_courts, ways
from evaluations.core.drawing import Drawing
from evaluations.core.mechanics import code_words, words
from evaluations.core.mechanics.code import Needs, Option, Row, Texts
from evaluations.core.mechanics.code_compare import Remark, Statement, When, compared
from evaluations.core.voice import Voice
from evaluations.models import CodeEdition
from evaluations.queries.codes import codes_for, mechanics_code
from evaluations.voice import SiteVoice


@dataclass(frozen=True, slots=True)
class Line:
    """What both editions say of one thing; a side may say several things, or none."""

    label: str
    before: tuple[str, ...]
    after: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StatementLines:
    """One difference. `when` has a line for each sum of situations, `rows_…` count from 1.

    The courts show where everybody ends; None where an edition has no row.
    """

    when: tuple[str, ...]
    situations: int
    rows_before: tuple[int, ...]
    rows_after: tuple[int, ...]
    lines: tuple[Line, ...]
    court_before: Drawing | None
    court_after: Drawing | None


@dataclass(frozen=True, slots=True)
class RemarkLines:
    """What rows for the same situations note otherwise; rows count from 1."""

    row_before: int
    row_after: int
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class ComparedEditions:
    """`others` are further editions for the same crews that the reader may see."""

    before: CodeEdition
    after: CodeEdition
    statements: tuple[StatementLines, ...]
    apart: tuple[Line, ...]
    remarks: tuple[RemarkLines, ...]
    others: tuple[CodeEdition, ...]

    @property
    def editions(self) -> tuple[CodeEdition, CodeEdition]:
        return self.before, self.after

    @property
    def situations(self) -> int:
        return sum(statement.situations for statement in self.statements)


def compared_editions(
    member: Membership, language: str, one: CodeEdition, other: CodeEdition
) -> ComparedEditions:
    """The older edition beside the newer one, whichever was asked for first."""
    before, after = sorted((one, other), key=lambda code: code.edition)
    voice = SiteVoice(language)
    found = compared(mechanics_code(before), mechanics_code(after))
    readable = codes_for(member).filter(crew_size=after.crew_size)
    return ComparedEditions(
        before=before,
        after=after,
        statements=tuple(_statement(voice, statement) for statement in found.statements),
        apart=tuple(_apart(voice, before, after)),
        remarks=tuple(_remark(voice, remark) for remark in found.remarks),
        others=tuple(readable.exclude(pk__in=[before.pk, after.pk]).order_by("edition")),
    )


def _statement(voice: Voice, statement: Statement) -> StatementLines:
    common = statement.covers[0].when if len(statement.covers) == 1 else When()
    return StatementLines(
        when=tuple(code_words.when(voice, covered.when) for covered in statement.covers),
        situations=statement.situations,
        rows_before=tuple(row + 1 for row in statement.rows_before),
        rows_after=tuple(row + 1 for row in statement.rows_after),
        lines=tuple(_differing(voice, statement.before, statement.after)),
        court_before=_court(voice, statement.before, common),
        court_after=_court(voice, statement.after, common),
    )


def _differing(voice: Voice, before: Row | None, after: Row | None) -> Iterator[Line]:
    first, second = (_said(voice, row) for row in (before, after))
    for label in dict.fromkeys((*first, *second)):
        line = Line(label, first.get(label, ()), second.get(label, ()))
        if line.before != line.after:
            yield line


def _said(voice: Voice, row: Row | None) -> dict[str, tuple[str, ...]]:
    """What a row asks for and allows, by what it is about."""
    if row is None:
        return {_("Who goes where"): (_("No row covers this."),)}
    administers = code_words.administers(voice, row.administers)
    return {
        _("Who goes where"): tuple(ways(voice, row.after)),
        _("Administers"): (administers,),
        _("Allowed instead"): tuple(_allowed(voice, option) for option in row.options),
    }


def _allowed(voice: Voice, option: Option) -> str:
    """An option: under which conditions, who then goes where, and who hands the ball over."""
    needs = [code_words.need(voice, need) for need in Needs if need in option.needs]
    title = words.option(voice, option.key) + (f" ({', '.join(needs)})" if needs else "")
    administers = _("Administers: %(who)s.") % {
        "who": code_words.administers(voice, option.administers)
    }
    return " ".join([f"{capfirst(title)}.", *ways(voice, option.after), administers])


def _court(voice: Voice, row: Row | None, common: When) -> Drawing | None:
    """Drawn for what the statement's situations have in common, so that both look alike."""
    if row is None:
        return None
    alike = replace(
        row,
        flip=common.flip[0] if len(common.flip) == 1 else None,
        caller=common.caller[0] if len(common.caller) == 1 else None,
        side=common.side[0] if len(common.side) == 1 else None,
    )
    return row_courts(voice, alike).after


def _apart(voice: Voice, before: CodeEdition, after: CodeEdition) -> Iterator[Line]:
    """What is said of a code as a whole."""
    old, new = mechanics_code(before), mechanics_code(after)
    if old.number_scheme is not new.number_scheme:
        first, second = (code_words.number_scheme(voice, c.number_scheme) for c in (old, new))
        yield Line(_("How hands show a number"), (first,), (second,))
    yield from _texts(_("Name"), old.name, new.name)
    yield from _texts(_("What it rests on"), old.source, new.source)


def _remark(voice: Voice, remark: Remark) -> RemarkLines:
    old, new = remark.before, remark.after
    lines = [*_texts(_("Note"), old.note, new.note)]
    if old.sure is not new.sure:
        first, second = (_("sure") if row.sure else _("not sure") for row in (old, new))
        lines.insert(0, Line(_("Sure"), (first,), (second,)))
    return RemarkLines(remark.row_before + 1, remark.row_after + 1, tuple(lines))


def _texts(label: str, old: Texts, new: Texts) -> Iterator[Line]:
    """A line for each language in which a text was written anew."""
    for language in dict.fromkeys((*old, *new)):
        first, second = old.get(language, ""), new.get(language, "")
        if first != second:
            yield Line(f"{label} ({language})", _some(first), _some(second))


def _some(text: str) -> tuple[str, ...]:
    return (text,) if text else ()
