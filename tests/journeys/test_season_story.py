"""A season's first letters, from an empty association to an answer, as newcomers go about it.

Everybody comes in by the sign-in form and finds the way by what the pages say: no address is
opened but the site's own and the link of a mail.
"""

from __future__ import annotations

import re
from io import BytesIO
from urllib.parse import urlsplit

import pytest
from django.core import mail
from django.utils.translation import gettext, override
from playwright.sync_api import Page, ViewportSize, expect
from pypdf import PdfReader

from accounts.models import Membership, User
from evaluations.models import Review
from evaluations.services.mail import deliver_due
from tests.browser.pages import LAPTOP, PHONE, OpenPage
from tests.factories.accounts import Cast
from tests.journeys.conftest import Clock
from tests.journeys.hand import Hand
from tests.journeys.observed import REFEREE, UMPIRE, evaluate, say_facts
from tests.journeys.signing_in import (
    sign_in,
    sign_in_with_authenticator,
    sign_in_with_recovery_code,
)

LINE = "Takes the place opposite, players in between"


@pytest.mark.parametrize("size", [PHONE, LAPTOP], ids=["phone", "laptop"])
def test_from_an_empty_association_to_an_answer(
    size: ViewportSize, open_page: OpenPage, people: Cast, clock: Clock
) -> None:
    User.objects.filter(pk=people.other_official.user_id).update(language="es")
    clock.it_is("2026-08-20 19:00")
    an_admin_proposes_a_rubric(sign_in_with_authenticator(open_page(size), people.admin))
    second = sign_in_with_recovery_code(open_page(size), people.second_admin)
    another_publishes_it(second)
    a_game_gets_its_observer(second)
    clock.it_is("2026-11-10 21:30")
    the_observer_hands_in_both_forms(sign_in(open_page(size), people.observer))
    clock.it_is("2026-11-11 09:30")
    the_letters_go_out(sign_in_with_recovery_code(open_page(size), people.admin))
    deliver_due(now=clock.now)
    an_official_answers(mailed_page(open_page(size), people.official), people.official)
    page = mailed_page(open_page(size, locale="es-MX"), people.other_official)
    an_official_reads_in_spanish(page, people.other_official)


def an_admin_proposes_a_rubric(hand: Hand) -> None:
    hand.follow("Enter a season")
    hand.fill("Name", "2026–27")
    hand.fill("First day", "2026-09-01")
    hand.fill("Last day", "2027-04-30")
    hand.press("Begin the season")
    hand.go_to("To do next")
    hand.follow("To the rubrics")
    hand.press("Start from the rubric that comes with Crewmark")
    switching = hand.page.get_by_role("region", name="Switching")
    expect(switching).to_contain_text("25 % of the total")
    hand.fill("Weight of Switching", "40")
    expect(switching).to_contain_text("34.8 % of the total")
    expect(switching).to_contain_text("11.6 % of the total")
    hand.press("Save the weights")
    hand.follow("Publish")
    hand.press("Propose for publication")
    hand.sees("another admin has to approve it")


def another_publishes_it(hand: Hand) -> None:
    hand.follow("Read and approve")
    hand.press("Approve and publish")
    hand.sees("Published. It is locked, and every member can read it.")


def a_game_gets_its_observer(hand: Hand) -> None:
    hand.go_to("To do next")
    hand.follow("Enter a game")
    hand.fill("Day", "2026-11-10")
    hand.fill("Time", "19:00")
    hand.write("Site", "Harbor Gym")
    hand.write("Home team", "Herons")
    hand.write("Visitors", "Millstone")
    hand.write("Level of play", "Varsity")
    hand.choose("Referee", "Nico Vale")
    hand.choose("Umpire, or umpire 1 of three", "Mara Odell")
    hand.press("Enter the game")
    hand.tap(hand.page.get_by_label(re.compile("^Orla Finch")))
    hand.press("Send")
    hand.sees("Orla Finch is sent to this game.")


def the_observer_hands_in_both_forms(hand: Hand) -> None:
    hand.follow("Herons – Millstone")
    say_facts(hand)
    hand.follow("Evaluate Nico Vale")
    evaluate(hand, REFEREE)
    hand.follow("Next: Mara Odell")
    evaluate(hand, UMPIRE)
    hand.follow("To do next")
    hand.sees("Nothing to do.")


def the_letters_go_out(hand: Hand) -> None:
    hand.follow("Herons – Millstone")
    hand.sees("This is how the letters will read. Nobody has them yet.")
    hand.follow("Release the crew's letters")
    hand.press("Release 2 letters")
    hand.sees("2 letters are released.")


def mailed_page(page: Page, official: Membership) -> Page:
    """Where the link of the official's mail leads; the mail says nothing of the letter."""
    [message] = [m for m in mail.outbox if m.to == [official.user.email]]
    text = f"{message.subject} {message.body}"
    assert not any(word in text for word in ("Nico", "Mara", "Herons", "dependable", "67"))
    [link] = re.findall(r"http://\S+", str(message.body))
    page.goto(urlsplit(link).path)
    return page


def an_official_answers(page: Page, official: Membership) -> None:
    hand = sign_in(page, official)
    hand.sees("67 of 100")
    hand.press("I have read it (this isn't agreement)")
    hand.follow("Answer, or mark a line")
    row = page.locator(".line").filter(has_text=LINE)
    hand.tap(row.get_by_text("This is not what happened"))
    hand.write(row.get_by_role("textbox"), "At dead ball 17 I stood opposite; film at 4:10.")
    hand.write("Your answer", "Thank you for the talk.")
    hand.press("Send the answer")
    hand.sees("Your answer stands with the letter")
    hand.follow("Ask for a review")
    hand.write("What should be looked at", "Dead balls 17 and 20.")
    hand.press("Ask for the review")
    assert Review.objects.get().release.evaluation.official == official
    letter = downloaded(hand, "Letter as PDF")
    assert "Nico Vale" in letter
    assert "At dead ball 17 I stood opposite" in letter
    assert "Mara" not in letter


def an_official_reads_in_spanish(page: Page, official: Membership) -> None:
    with override("es"):
        hand = sign_in(page, official)
        expect(page.locator("html")).to_have_attribute("lang", "es")
        expect(page.locator("article.letter")).to_have_attribute("lang", "es")
        hand.sees("Comunicación de faltas")
        hand.press(gettext("I have read it (this isn't agreement)"))
        hand.sees(gettext("You have said that you read it. You can still answer."))
        assert "Comunicación de faltas" in downloaded(hand, gettext("Letter as PDF"))


def downloaded(hand: Hand, link: str) -> str:
    """The text of the file behind a link, as one line."""
    with hand.page.expect_download() as download:
        hand.follow(link)
    pages = PdfReader(BytesIO(download.value.path().read_bytes())).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())
