"""Two officials at the kitchen table: what it takes to evaluate them, and how long.

A person's time is computed from what hand and eyes do on the way (see `hand`), since a test types
faster than anybody. From the observation's page on, the observer says how the game went, rates
twelve criteria of two officials, writes evidence to every highest and lowest level and to every
next step, adds to the summary, reads both letters on their check pages and hands them in.

Either way that is 40 taps and 15 fields, with some 630 characters to type and 1,290 words to read:
11 minutes. With every character typed as slowly as people compose it would be 14.7; most of what
is written here is optional, since a dead ball's number is evidence enough.
"""

from __future__ import annotations

import pytest

from tests.browser.pages import LAPTOP, OpenPage
from tests.factories.accounts import Cast
from tests.journeys.hand import Hand, Tally
from tests.journeys.observed import REFEREE, UMPIRE, evaluate, finish, note, row_of, say_facts
from tests.journeys.signing_in import sign_in

AT_MOST, AT_MOST_COMPOSING = 12 * 60, 15 * 60
"""Seconds."""
TAPS, FIELDS = 40, 15


@pytest.fixture
def observer(open_page: OpenPage, observed_game: Cast) -> Hand:
    """The observer, where the facts of the game are said and the forms begin."""
    hand = sign_in(open_page(LAPTOP), observed_game.observer)
    hand.follow("Herons – Millstone")
    hand.tally = Tally()
    return hand


def test_two_officials_one_after_the_other(observer: Hand) -> None:
    say_facts(observer)
    observer.follow("Evaluate Nico Vale")
    evaluate(observer, REFEREE)
    observer.follow("Next: Mara Odell")
    evaluate(observer, UMPIRE, again=True)
    assert in_time(observer.tally) == (TAPS, FIELDS)


def test_two_officials_side_by_side(observer: Hand) -> None:
    say_facts(observer)
    observer.follow("Evaluate the crew, criterion by criterion")
    for criterion in REFEREE:
        observer.read(
            observer.page.locator(".criterion").filter(has_text=criterion).locator("h3, h3 + .hint")
        )
        for name, seen in (("Nico Vale", REFEREE), ("Mara Odell", UMPIRE)):
            note(observer, row_of(observer, criterion, of=name), seen[criterion])
    observer.press("Next: words")
    finish(observer)
    observer.follow("Next: Mara Odell")
    observer.follow("2 Words")
    finish(observer)
    assert in_time(observer.tally) == (TAPS, FIELDS)


def in_time(tally: Tally) -> tuple[int, int]:
    """Taps and fields of a way that is quick enough."""
    assert tally.seconds <= AT_MOST, tally
    assert tally.seconds_composing <= AT_MOST_COMPOSING, tally
    return tally.taps, tally.fields
