"""The form on the letter's second page: total, areas with their bars, criteria, what was seen.

One table: a head, then each area with a bar and its criteria, then what makes up the total.
Without a total the columns of points are left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from evaluations.core.figures import area_bar, level_scale
from evaluations.core.letter import Fact, FormArea, FormRow, FormTable, LetterContent
from evaluations.letters.characters import cleaned
from evaluations.letters.frame import Frame
from evaluations.letters.ink import Piece
from evaluations.letters.palette import HAIRLINE, INK
from evaluations.letters.setting import Setting
from evaluations.letters.strips import Column, Picture, Rule, Strip
from evaluations.letters.structure import Element, Role
from evaluations.letters.wrap import Look, runs, width_of, wrap

_GAP = 8.0
_WORD, _COUNTED, _POINTS, _ROOM = 82.0, 90.0, 34.0, 56.0
"""The columns' widths at most; what is longer is broken."""

_PART = "form"

_COLUMN = "/O /Table /Scope /Column"
_ROW = "/O /Table /Scope /Row"


def form(content: LetterContent, frame: Frame) -> Iterator[Strip]:
    """Total and table; then how the bars are read, how much was seen, the season."""
    setting = frame.setting
    if content.total:
        yield frame.paragraph(
            _PART, runs((setting.total, content.total)), leading=1.15 * setting.total.size
        )
    gap = 0.5 * setting.step.item_gap
    if content.total_note:
        yield frame.paragraph(_PART, runs((setting.body, content.total_note)), gap=gap)
    if content.form.areas:
        yield from _Table(content.form, frame).strips()
    gap = 1.6 * setting.step.item_gap
    for look, text in (
        (setting.note, content.form.counts_note if content.form.areas else ""),
        (setting.note, content.form.key if content.form.areas else ""),
        (setting.body, content.form.seen),
        (setting.body, content.season),
    ):
        if text:
            yield frame.paragraph(_PART, runs((look, text)), gap=gap)
            gap = setting.step.item_gap


class _Widths(NamedTuple):
    """Widths of the columns, each as wide as its widest text; none where it is left out.

    `scale` and `word` make up the column of levels.
    """

    scale: float
    word: float
    counted: float
    points: float
    room: float

    @classmethod
    def of(cls, form: FormTable, setting: Setting) -> _Widths:
        rows = [row for area in form.areas for row in area.rows]
        body, note = setting.body, setting.note
        of_points, of_room = ([column] for column in form.columns[2:])
        sums = _widest(setting.strong, (line.text for line in form.closing))
        scale = level_scale(form.levels, None).width + 5.0
        word = _widest(body, (row.level for row in rows))
        counted = max(_widest(body, (r.counted for r in rows)), _widest(note, [form.counted]))
        points = max(_widest(body, (r.points for r in rows)), _widest(note, of_points), sums)
        room = max(_widest(body, (r.room for r in rows)), _widest(note, of_room))
        return cls(
            scale,
            min(word, _WORD) + _GAP,
            min(counted, _COUNTED) + _GAP if form.counted else 0.0,
            min(points, _POINTS) + _GAP if form.has_points else 0.0,
            min(room, _ROOM) + _GAP if form.has_points else 0.0,
        )


def _widest(look: Look, texts: Iterable[str]) -> float:
    """The widest of some texts, on one line each."""
    return max((width_of([look.run(text)]) for text in texts), default=0.0)


class _Table:
    """The form's rows while they are laid out."""

    def __init__(self, form: FormTable, frame: Frame) -> None:
        self._form = form
        self._setting = setting = frame.setting
        self._table = frame.child(Role.TABLE)
        self._right = setting.left + setting.full
        self._leading = 1.18 * setting.body.size
        self._space = (setting.step.row - self._leading) / 2
        self._widths = widths = _Widths.of(form, setting)
        self._points = self._right - widths.room
        self._counted = self._points - widths.points - widths.counted
        self._level = self._counted - widths.word - widths.scale

    def strips(self) -> Iterator[Strip]:
        yield self._head()
        for area in self._form.areas:
            yield self._area(area)
            end = INK if area is self._form.areas[-1] and not self._form.closing else ""
            for row in area.rows[:-1]:
                yield self._criterion(row, HAIRLINE)
            for row in area.rows[-1:]:
                yield self._criterion(row, end)
        for place, line in enumerate(self._form.closing, 1):
            yield self._closing(line, first=place == 1, last=place == len(self._form.closing))

    def _head(self) -> Strip:
        row = Element(Role.ROW, self._table)
        look = self._setting.note
        label, level, points, room = self._form.columns
        cells = [
            self._label(runs((look, label)), Element(Role.HEADER, row, _COLUMN)),
            self._words(look, level, Element(Role.HEADER, row, _COLUMN), self._level),
        ]
        if self._form.counted:
            cells.append(self._count(look, self._form.counted, Role.HEADER, row, _COLUMN))
        if self._form.has_points:
            cells.append(self._figure(look, points, Element(Role.HEADER, row, _COLUMN)))
            cells.append(self._figure(look, room, Element(Role.HEADER, row, _COLUMN), last=True))
        return replace(self._strip(cells), gap=self._setting.step.part_gap, keep=True)

    def _area(self, area: FormArea) -> Strip:
        """Its name and share, and over the other columns its bar."""
        row = Element(Role.ROW, self._table)
        setting, bar = self._setting, area.bar
        name = runs((setting.area, area.label), (setting.note, area.share))
        cells: list[Column | Picture] = [self._label(name, Element(Role.HEADER, row, _ROW))]
        columns = self._form.beside_labels
        cell = Element(Role.CELL, row, f"/O /Table /ColSpan {columns}" if columns > 1 else "")
        x = self._level
        if bar.alt:
            drawing = area_bar(bar.value, bar.season, cleaned(bar.alt))
            cells.append(
                Picture(Element(Role.FIGURE, cell, alt=drawing.alt), drawing, x, self._leading)
            )
            x += drawing.width + 6.0
        lines = wrap(runs((setting.strong, bar.text)), self._right - x)
        cells.append(Column(cell, x, lines, self._leading))
        strip = self._strip(cells, Rule(setting.left, setting.full, INK, 0.4))
        return replace(strip, above=strip.above + 2.0, keep=True)

    def _criterion(self, criterion: FormRow, line: str) -> Strip:
        """One row, with a line of this colour below it if there is one."""
        row = Element(Role.ROW, self._table)
        body = self._setting.body
        scale = level_scale(self._form.levels, criterion.position)
        word = self._level + self._widths.scale
        cells: list[Column | Picture] = [
            self._label(runs((body, criterion.label)), Element(Role.HEADER, row, _ROW)),
            Picture(None, scale, self._level, self._leading),
            self._words(body, criterion.level, Element(Role.CELL, row), word),
        ]
        if self._form.counted:
            cells.append(self._count(body, criterion.counted, Role.CELL, row))
        if self._form.has_points:
            cells.append(self._figure(body, criterion.points, Element(Role.CELL, row)))
            cells.append(
                self._figure(
                    self._setting.faint, criterion.room, Element(Role.CELL, row), last=True
                )
            )
        setting = self._setting
        below = Rule(setting.left, setting.full, line, 0.4, below=True)
        return self._strip(cells, below if line else None)

    def _closing(self, line: Fact, *, first: bool, last: bool) -> Strip:
        """A line of the sum: its label over two columns, its points below the points."""
        row = Element(Role.ROW, self._table)
        setting = self._setting
        look = setting.strong if last else setting.body
        four = self._form.has_points
        columns = 2 + bool(self._form.counted)
        header = Element(Role.HEADER, row, f"{_ROW} /ColSpan {columns}" if four else _ROW)

        cells = [
            self._label(runs((look, line.label)), header),
            self._figure(look, line.text, Element(Role.CELL, row), last=not four),
        ]
        if four:
            cells.append(self._figure(look, "", Element(Role.CELL, row), last=True))
        colour = INK if first or last else HAIRLINE
        return self._strip(cells, Rule(setting.left, setting.full, colour, 0.8 if last else 0.4))

    def _label(self, text: Sequence[Piece], element: Element) -> Column:
        measure = self._level - self._setting.left - 6.0
        return Column(element, self._setting.left, wrap(text, measure), self._leading)

    def _words(self, look: Look, text: str, element: Element, x: float) -> Column:
        """Words from x on, in the column of levels."""
        lines = wrap(runs((look, text)), self._counted - _GAP / 2 - x)
        return Column(element, x, lines, self._leading)

    def _count(
        self, look: Look, text: str, role: Role, row: Element, attributes: str = ""
    ) -> Column:
        lines = wrap(runs((look, text)), self._widths.counted - _GAP / 2)
        return Column(Element(role, row, attributes), self._counted, lines, self._leading)

    def _figure(self, look: Look, text: str, element: Element, *, last: bool = False) -> Column:
        """A figure that ends at its column's right edge, the table's when it is the last."""
        widths = self._widths
        x, width = (self._right, widths.room) if last else (self._points, widths.points)
        return Column(element, x, wrap(runs((look, text)), width), self._leading, right=True)

    def _strip(self, cells: Sequence[Column | Picture], rule: Rule | None = None) -> Strip:
        rules = (rule,) if rule else ()
        return Strip(_PART, tuple(cells), above=self._space, below=self._space, rules=rules)
