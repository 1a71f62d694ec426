"""What the parts of a letter are built with: paragraphs, and parts under their headings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from evaluations.core.drawing import Drawing
from evaluations.letters.ink import Piece
from evaluations.letters.palette import HAIRLINE
from evaluations.letters.setting import Setting
from evaluations.letters.strips import Column, Rule, Strip
from evaluations.letters.structure import Element, Role
from evaluations.letters.wrap import Look, runs, wrap

GUTTER = 18.0
"""Space between columns, in points."""

_ROOM_BESIDE = 80.0
"""A heading hangs beside its part when it has this much room there; else it stands above."""


@dataclass(frozen=True, slots=True)
class Frame:
    """A setting, the document element that everything stands in, and the letter's square code.

    Element and code are the same in all settings that are tried.
    """

    setting: Setting
    root: Element
    code: Drawing

    def child(self, role: Role) -> Element:
        """A new element right below the document."""
        return Element(role, self.root)

    def paragraph(
        self,
        part: str,
        text: Sequence[Piece],
        *,
        parent: Element | None = None,
        leading: float | None = None,
        gap: float = 0.0,
    ) -> Strip:
        """Running text in the body's column."""
        lines = wrap(text, self.setting.measure)
        element = Element(Role.PARAGRAPH, parent or self.root)
        column = Column(element, self.setting.text_left, lines, leading or self.setting.leading)
        return Strip(part, (column,), gap=gap)

    def aside(
        self,
        look: Look,
        text: str,
        x: float,
        measure: float,
        *,
        right: bool = False,
        role: Role = Role.PARAGRAPH,
    ) -> Column:
        """A paragraph or heading outside the body's column."""
        lines = wrap(runs((look, text)), measure)
        return Column(self.child(role), x, lines, 1.3 * look.size, right)

    def under(self, heading: str, strips: list[Strip]) -> list[Strip]:
        """A part under its heading; nothing at all when the part is empty."""
        if not strips:
            return []
        setting, gap = self.setting, self.setting.step.part_gap
        first = strips[0]
        if not heading:
            return [replace(first, gap=gap), *strips[1:]]
        element = self.child(Role.HEADING)
        beside = first.cells[0].x - setting.left - GUTTER
        if beside >= _ROOM_BESIDE:
            lines = wrap(runs((setting.heading, heading)), beside)
            column = Column(element, setting.left, lines, setting.leading)
            return [replace(first, cells=(column, *first.cells), gap=gap), *strips[1:]]
        lines = wrap(runs((setting.heading, heading)), setting.full)
        title = Strip(
            first.part,
            (Column(element, setting.left, lines, 1.25 * setting.heading.size),),
            gap=gap,
            above=2.0,
            below=1.0,
            keep=True,
            rules=(Rule(setting.left, setting.full, HAIRLINE, 0.6),),
        )
        return [title, *strips]
