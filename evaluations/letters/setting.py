"""How a letter is set: paper, margins, sizes and looks, in steps from roomy to tight.

A letter is set in the first step in which it fits on two pages. The wide steps hang the headings
beside the text, which makes for short lines; the tight ones put them above it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from evaluations.letters.fonts import SANS, SANS_BOLD, SERIF, SERIF_BOLD
from evaluations.letters.palette import ACCENT, INK, MUTED
from evaluations.letters.wrap import Look

PAPERS = {"letter": (612.0, 792.0), "a4": (595.28, 841.89)}
"""Width and height in points."""

_CAUTION_SIZE = 9.0


@dataclass(frozen=True, slots=True)
class Step:
    """One way to set a letter; lengths in points.

    `hang` is the width kept free for headings beside the text, 0 to put them above it. `run_in`
    sets strengths and quotations as one paragraph each: many short ones take less room so.
    `share` is about what a long letter takes here of what it takes in the first step, rather less
    than more: where even that is too much, the step isn't tried.
    """

    size: float
    leading: float
    side: float
    edge: float
    hang: float
    part_gap: float
    item_gap: float
    row: float
    share: float
    run_in: bool = False


STEPS = (
    Step(10.5, 14.2, side=64, edge=58, hang=112, part_gap=19, item_gap=6, row=16.6, share=1.0),
    Step(10.0, 13.0, side=60, edge=50, hang=106, part_gap=15, item_gap=4.5, row=14.6, share=0.8),
    Step(9.5, 12.0, side=56, edge=44, hang=102, part_gap=12, item_gap=3.5, row=13.2, share=0.7),
    Step(9.5, 11.8, side=56, edge=44, hang=0, part_gap=10, item_gap=3, row=12.6, share=0.66),
    Step(9.0, 11.0, side=50, edge=40, hang=0, part_gap=8, item_gap=2.5, row=11.5, share=0.58),
    Step(
        9.0,
        10.8,
        side=46,
        edge=38,
        hang=0,
        part_gap=7,
        item_gap=2,
        row=11.0,
        share=0.4,
        run_in=True,
    ),
)


@dataclass(frozen=True, slots=True)
class Setting:
    """A step on a paper: where text stands, and its looks."""

    step: Step
    width: float
    height: float
    body: Look
    strong: Look
    faint: Look
    fact: Look
    note: Look
    note_strong: Look
    quote: Look
    heading: Look
    name: Look
    total: Look
    area: Look
    association: Look
    notice: Look
    caution: Look

    @property
    def left(self) -> float:
        """Where the page's text area begins."""
        return self.step.side

    @property
    def full(self) -> float:
        """The width of the text area."""
        return self.width - 2 * self.step.side

    @property
    def text_left(self) -> float:
        """Where running text begins: beside hung headings, or at the left."""
        return self.step.side + self.step.hang

    @property
    def measure(self) -> float:
        """The width of running text."""
        return self.full - self.step.hang

    @property
    def leading(self) -> float:
        return self.step.leading

    @property
    def caution_leading(self) -> float:
        return _CAUTION_SIZE * 1.22


@cache
def set_in(paper: str, step: int) -> Setting:
    """The setting of one of the `STEPS` on "letter" or "a4" paper."""
    width, height = PAPERS[paper]
    chosen = STEPS[step]
    size = chosen.size
    small = max(size - 1.0, 8.8)
    return Setting(
        step=chosen,
        width=width,
        height=height,
        body=Look(SANS, size, INK),
        strong=Look(SANS_BOLD, size, INK),
        faint=Look(SANS, size, MUTED),
        fact=Look(SANS, small, INK),
        note=Look(SANS, small, MUTED),
        note_strong=Look(SANS_BOLD, small, MUTED),
        quote=Look(SERIF, size - 0.3, INK),
        heading=Look(SERIF_BOLD, size + 1.5, INK),
        name=Look(SERIF_BOLD, 24.0 if chosen.hang else 20.0, INK),
        total=Look(SERIF_BOLD, 20.0 if chosen.hang else 16.0, INK),
        area=Look(SERIF_BOLD, size + 0.5, INK),
        association=Look(SANS_BOLD, small, ACCENT),
        notice=Look(SERIF_BOLD, 14.0, ACCENT),
        caution=Look(SANS, _CAUTION_SIZE, MUTED),
    )
