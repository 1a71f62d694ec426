"""Somebody's hand on a page: it uses what is to be seen, by its words, and counts what it does."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Final

from playwright.sync_api import Locator, Page, expect

PREPARE: Final = 1.35
POINT: Final = 1.1
HOME: Final = 0.4
KEYSTROKE: Final = 0.28
"""Seconds. The keystroke-level model of Card, Moran and Newell (1980): to prepare in mind, to
point, to go from pointer to keyboard or back, and a key or button pressed by somebody who types 40
words a minute."""

WORDS_A_MINUTE: Final = 238
"""Read silently by adults, in prose that isn't fiction; Brysbaert (2019)."""

COMPOSED_A_MINUTE: Final = 19
"""Words of five characters that people type while they think of them, where they copy 33; Karat,
Halverson, Horn and Karat (1999)."""


@dataclass
class Tally:
    """What a hand did and eyes read: taps, fields written into and their characters, words."""

    taps: int = 0
    fields: int = 0
    characters: int = 0
    words: int = 0

    @property
    def seconds(self) -> float:
        """A person's time, typing what is known already.

        A tap is prepared in mind, pointed at and pressed. A field is tapped, and the hand goes to
        the keyboard and comes back.
        """
        return self._without_typing + self.characters * KEYSTROKE

    @property
    def seconds_composing(self) -> float:
        """The same with every character typed at the speed of somebody who looks for words."""
        return self._without_typing + self.characters * 60 / (COMPOSED_A_MINUTE * 5)

    @property
    def _without_typing(self) -> float:
        tap = PREPARE + POINT + KEYSTROKE
        at_fields = self.fields * (tap + 2 * HOME)
        return self.taps * tap + at_fields + self.words * 60 / WORDS_A_MINUTE


@dataclass
class Hand:
    page: Page
    tally: Tally = field(default_factory=Tally)

    def tap(self, target: Locator) -> None:
        self.tally.taps += 1
        target.click()

    def press(self, button: str) -> None:
        self.tap(self.page.get_by_role("button", name=_read_as(button)))

    def follow(self, link: str) -> None:
        """Follow a link of the page; those of the menu are for `go_to`."""
        below_the_menu = self.page.locator("main, .bar")
        self.tap(below_the_menu.get_by_role("link", name=_read_as(link)))

    def go_to(self, place: str) -> None:
        """Follow a link of the site's own menu, which a phone hides behind a button."""
        menu = self.page.get_by_role("button", name="Menu", exact=True)
        if menu.is_visible():
            self.tap(menu)
        self.tap(self.page.get_by_role("navigation", name="Site").get_by_text(place, exact=True))

    def field(self, name: str) -> Locator:
        """A field by its name, whether or not it may be left empty."""
        return self.page.get_by_role("main").get_by_label(_read_as(name))

    def write(self, target: Locator | str, text: str) -> None:
        """Type into a field, key by key, after what it holds."""
        found = self.field(target) if isinstance(target, str) else target
        self.tally.fields += 1
        self.tally.characters += len(text)
        found.click()
        found.press("Control+End")
        found.press_sequentially(text)

    def fill(self, target: str, text: str) -> None:
        """Put into a field what is picked rather than typed, such as a day, or replace it."""
        self.tally.fields += 1
        self.tally.characters += len(text)
        self.field(target).fill(text)

    def choose(self, field_name: str, option: str) -> None:
        """Pick from a list that opens: two taps."""
        self.tally.taps += 2
        self.field(field_name).select_option(label=option)

    def read(self, place: Locator) -> None:
        """Read what is to be seen of these places."""
        self.tally.words += sum(len(text.split()) for text in place.all_inner_texts())

    def sees(self, text: str) -> None:
        expect(self.page.get_by_text(text).first).to_be_visible()

    def is_at(self, heading: str) -> None:
        expect(self.page.get_by_role("heading", level=1)).to_have_text(heading)


def _read_as(words: str) -> re.Pattern[str]:
    """What begins with these words: beside them may stand whose it is, or that it is optional."""
    return re.compile(rf"^{re.escape(words)}( ?[:(].*)?$")
