"""What an observer saw of a crew of two, and how it gets into the forms."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from playwright.sync_api import Locator, expect

from tests.journeys.hand import Hand


@dataclass(frozen=True)
class Seen:
    """One criterion: the level's word, and what is written down with it."""

    level: str
    dead_ball: str = ""
    words: str = ""


NOT_SEEN: Final = Seen("not seen")
USUALLY: Final = Seen("usually")
NEARLY_ALWAYS: Final = Seen("nearly always")

REFEREE: Final[Mapping[str, Seen]] = {
    "Stands still before the first sign": NEARLY_ALWAYS,
    "Goes round the players on the way to report": NEARLY_ALWAYS,
    "Shows number, type and what follows one by one": USUALLY,
    "In the code's place when the ball becomes live": NEARLY_ALWAYS,
    "As non-caller, starts the switch unasked": Seen(
        "at times",
        "9",
        "Waited at the old place until the caller pointed, also in the last minute.",
    ),
    "Holds the ball until the crew is in place": NEARLY_ALWAYS,
    "Faces the players while a partner reports": Seen(
        "every time",
        "14",
        "Faced all ten from the first sign to the throw-in, also at dead ball 22.",
    ),
    "Takes the place opposite, players in between": USUALLY,
    "Players first, ball second": NEARLY_ALWAYS,
    "Raises the arm with the whistle": NEARLY_ALWAYS,
    "Gives the preliminary signal at the spot": NEARLY_ALWAYS,
    "Holds each sign long enough to be read": NOT_SEEN,
}
UMPIRE: Final[Mapping[str, Seen]] = {
    "Stands still before the first sign": USUALLY,
    "Goes round the players on the way to report": NEARLY_ALWAYS,
    "Shows number, type and what follows one by one": NEARLY_ALWAYS,
    "In the code's place when the ball becomes live": NEARLY_ALWAYS,
    "As non-caller, starts the switch unasked": NEARLY_ALWAYS,
    "Holds the ball until the crew is in place": Seen(
        "at times",
        "6",
        "Put the ball at the free thrower's disposal while the lane was still filling.",
    ),
    "Faces the players while a partner reports": NEARLY_ALWAYS,
    "Takes the place opposite, players in between": NEARLY_ALWAYS,
    "Players first, ball second": NEARLY_ALWAYS,
    "Raises the arm with the whistle": Seen(
        "every time", "3", "The arm went up with every whistle that I saw, at the far end as well."
    ),
    "Gives the preliminary signal at the spot": USUALLY,
    "Holds each sign long enough to be read": NEARLY_ALWAYS,
}
STEP: Final = "Shown twice in the second half, at dead balls 17 and 20."
"""Written for the next steps about which nothing was written while rating."""
SUMMED_UP: Final = " Calm and clear with the table."
"""Put after what the site proposes."""


def row_of(hand: Hand, criterion: str, *, of: str = "") -> Locator:
    """A criterion's row; on the page of a whole crew that `of` somebody."""
    named = re.compile(rf"^{re.escape(of)}\W*{re.escape(criterion)}\W*$")
    return hand.page.locator(".row").filter(has=hand.page.get_by_role("radiogroup", name=named))


def written(place: Locator, what: str) -> Locator:
    return place.get_by_role("textbox", name=re.compile(rf"^{what}\b"))


def say_facts(hand: Hand) -> None:
    """Open the observation and say how the game and the talk went."""
    hand.press("Open the observation")
    hand.follow("Say how the game and the talk went")
    hand.tap(hand.field("the whole game"))
    hand.tap(hand.field("ordinary"))
    hand.tap(hand.field("held"))
    hand.write("What was raised", "Waiting for the crew, start of the switch.")
    hand.press("Save")


def evaluate(hand: Hand, seen: Mapping[str, Seen], *, again: bool = False) -> None:
    """One official's form, from the ratings to its submission. `again`: the questions are known."""
    for criterion, said in seen.items():
        row = row_of(hand, criterion)
        if not again:
            hand.read(row.locator("legend, .hint"))
        note(hand, row, said)
    hand.press("Next: words")
    finish(hand)


def note(hand: Hand, row: Locator, said: Seen) -> None:
    """Choose a level, read its wording, write down what was seen."""
    hand.tap(row.get_by_role("radio", name=said.level, exact=True))
    hand.read(row.locator("[data-reads]"))
    if said.words:
        hand.write(written(row, "What was seen"), said.words)
    if said.dead_ball:
        hand.write(written(row, "Dead ball"), said.dead_ball)


def finish(hand: Hand) -> None:
    """The letter's words: say what was seen where nothing stands yet, what was raised; hand in."""
    hand.write(hand.field("In short"), SUMMED_UP)
    items = hand.page.locator(".item")
    for item in items.all():
        place = written(item, "What was seen")
        if not place.input_value():
            hand.write(place, STEP)
    hand.tap(items.get_by_role("checkbox", name=re.compile("^raised after the game")).last)
    hand.press("Next: check")
    hand.page.wait_for_url("**/check/")
    expect(hand.page.get_by_role("heading", name="Still open")).to_be_hidden()
    hand.read(hand.page.locator("[aria-labelledby=summary], [aria-labelledby=strengths]"))
    hand.read(hand.page.locator("[aria-labelledby=steps], .headline"))
    hand.press("Submit")
    hand.sees("An admin reads it and releases the crew's letters together.")
