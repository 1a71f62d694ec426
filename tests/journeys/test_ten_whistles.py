"""Ten dead balls on a phone while the game is on: what it takes of an observer's thumb and eyes.

A person's time is computed from what hand and eyes do (see `hand`): three taps a whistle, and one
look at the words in which the page says what it understood. What was due stands there afterwards,
for whoever wants to read it. The seconds of the page itself, from the first tap of a whistle until
the site has it, are measured too; both are recorded as properties of the test.

A whistle is 3 taps and 5 or 6 words to read: 9.5 or 9.7 seconds, 8.2 of them for the taps. The
page itself takes a fifth of a second for it when a machine taps.
"""

from __future__ import annotations

from collections.abc import Callable
from statistics import median
from typing import Final

import pytest
from playwright.sync_api import Locator, expect

from evaluations.models import DeadBallLog
from evaluations.queries.logs import dead_ball_value
from tests.browser.pages import PHONE, OpenPage
from tests.factories.accounts import Cast
from tests.journeys.conftest import Clock
from tests.journeys.hand import Hand, Tally
from tests.journeys.signing_in import sign_in

TAPS: Final = 3
AT_MOST: Final = 10
"""Seconds for one whistle."""

# Zone, what follows and the third tap; who called by the ends, and what the page says was due.
WHISTLES: Final = [
    ("table side, left end line", "Free throws", "Switched", "referee", "switch due, met"),
    ("table side, left of the middle", "End line", "Stayed", "referee", "switch due, not met"),
    ("opposite the table, right end line", "Side line", "Switched", "referee", "switch due, met"),
    ("opposite the table, right of the middle", "No foul", "Stayed", "referee", "not judged"),
    ("table side, right end line", "Player control", "Switched", "umpire", "switch due, met"),
    ("opposite the table, left end line", "Free throws", "Switched", "umpire", "switch due, met"),
    ("table side, right of the middle", "Side line", "Switched", "referee", "switch due, met"),
    ("opposite the table, left of the middle", "Technical", "Stayed", "referee", "not judged"),
    ("table side, left end line", "End line", "Switched", "umpire", "switch due, met"),
    ("opposite the table, right end line", "Free throws", "Not seen", "umpire", "not judged"),
]

STOPWATCH: Final = """() => {
  window.spent = [];
  let began = null;
  document.addEventListener("click", () => { began ??= performance.now(); }, true);
  new MutationObserver(() => {
    if (began === null) return;
    window.spent.push((performance.now() - began) / 1000);
    began = null;
  }).observe(document.getElementById("live-last"), { childList: true });
}"""


@pytest.fixture
def observer(open_page: OpenPage, observed_game: Cast, clock: Clock) -> Hand:
    """The observer sits at the table and begins the log before the game."""
    clock.it_is("2026-11-10 12:50")
    hand = sign_in(open_page(PHONE), observed_game.observer)
    hand.follow("Herons – Millstone")
    hand.press("Open the observation")
    hand.follow("Begin the dead-ball log")
    for answer in ("on the side of the table", "Nico Vale", "live, from the stand", "every foul"):
        hand.tap(hand.page.get_by_role("radio", name=answer).first)
    hand.tap(hand.page.get_by_role("radio", name="yes: what is ticked below"))
    hand.press("Begin")
    hand.is_at("Live log")
    hand.tally = Tally()
    return hand


def test_ten_dead_balls(
    observer: Hand, clock: Clock, record_property: Callable[[str, object], None]
) -> None:
    observer.page.evaluate(STOPWATCH)
    each: list[Tally] = []
    for number, (zone, follows, third, _caller, due) in enumerate(WHISTLES, start=1):
        clock.it_is(f"2026-11-10 13:{5 + 2 * number:02}")
        each.append(log_whistle(observer, zone, follows, third))
        said = observer.page.locator("#live-last")
        expect(said.locator("b").first).to_have_text(f"Dead ball {number}")
        expect(said).to_contain_text(due)
    assert [tally.taps for tally in each] == [TAPS] * len(WHISTLES)
    assert max(tally.seconds for tally in each) <= AT_MOST
    assert callers_stored() == [whistle[3] for whistle in WHISTLES]

    spent: list[float] = observer.page.evaluate("window.spent")
    assert len(spent) == len(WHISTLES)
    record_property("taps a whistle", TAPS)
    record_property("a person's seconds a whistle", round(median(t.seconds for t in each), 1))
    record_property("the page's seconds a whistle, median", round(median(spent), 2))
    record_property("the page's seconds for ten", round(sum(spent), 2))

    observer.follow("Final whistle")
    observer.press("End the log")
    observer.is_at("For the talk")


def log_whistle(hand: Hand, zone: str, follows: str, third: str) -> Tally:
    """As somebody does it who looks at the phone once, after the first tap."""
    hand.tally = Tally()
    hand.tap(answer(hand, zone))
    hand.read(hand.page.locator("[data-understood]"))
    hand.tap(answer(hand, follows))
    hand.tap(hand.page.get_by_role("button", name=third, exact=True))
    return hand.tally


def answer(hand: Hand, words: str) -> Locator:
    return hand.page.get_by_role("radio", name=words, exact=True)


def callers_stored() -> list[str | None]:
    log = DeadBallLog.objects.get()
    return [dead_ball_value(row).caller for row in log.dead_balls.order_by("number")]
