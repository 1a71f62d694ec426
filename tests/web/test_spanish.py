"""An official who reads Spanish meets no English: on no page, in no letter, in no mail."""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Callable, Iterator
from html import unescape
from typing import Any, Final
from urllib.parse import urljoin, urlsplit

import pytest
from django.core import mail
from django.test import Client
from django.utils import timezone

from accounts.models import Role
from accounts.services.invitations import invite
from accounts.services.mail import invitation_link, send_invitation
from evaluations.models import Mail, Release
from evaluations.services.answers import acknowledge, ask_review, respond
from evaluations.services.copies import letter_content, letter_pdf
from evaluations.services.releases import withdraw
from tests.factories.accounts import Cast, signed_in, terms
from tests.factories.floor import from_film
from tests.factories.logs import lead_calls, log_with
from tests.factories.releases import OPEN_AT, WEAK, crew_of, released_crew
from tests.letters.reading import pages
from tests.spanish import english_in

LINK: Final = re.compile(r'<a [^>]*href="([^"#]+)')


def walk(client: Client, *starts: str) -> Iterator[tuple[str, str]]:
    """Every page that can be reached by links, with its address; files and languages left out."""
    waiting, seen = deque(starts), set(starts)
    while waiting:
        address = waiting.popleft()
        answer: Any = client.get(address, headers={"accept-language": "es"}, follow=True)
        if not answer["Content-Type"].startswith("text/html"):
            continue
        page = answer.content.decode()
        yield address, page
        here = answer.redirect_chain[-1][0] if answer.redirect_chain else address
        for link in LINK.findall(page):
            found = urlsplit(urljoin(here, unescape(link)))
            if not found.netloc and found.path not in seen and "pdf" not in found.path:
                seen.add(found.path)
                waiting.append(found.path)


@pytest.fixture(autouse=True)
def two_days_later(monkeypatch: pytest.MonkeyPatch) -> None:
    """The letters are open by now."""
    monkeypatch.setattr(timezone, "now", lambda: OPEN_AT)


@pytest.fixture
def letter(cast: Cast) -> Release:
    """A letter to `official`, who reads Spanish."""
    cast.official.user.language = "es"
    cast.official.user.save()
    return released_crew(cast)[0]


def no_state(_cast: Cast, _letter: Release) -> None:
    """The letter is new."""


def read(cast: Cast, letter: Release) -> None:
    acknowledge(release=letter, by=cast.official, now=OPEN_AT)


def answered(cast: Cast, letter: Release) -> None:
    lines = {WEAK: "La mesa pidió el balón."}
    respond(release=letter, text="El reloj iba mal.", lines=lines, by=cast.official, now=OPEN_AT)


def under_review(cast: Cast, letter: Release) -> None:
    ask_review(release=letter, reason="El balón muerto 9.", by=cast.official, now=OPEN_AT)


def taken_back(cast: Cast, letter: Release) -> None:
    withdraw(release=letter, reason="Era otro partido.", by=cast.admin, now=OPEN_AT)


STATES: Final = [no_state, read, answered, under_review, taken_back]


@pytest.mark.parametrize("happened", STATES, ids=lambda step: step.__name__)
def test_an_official_s_pages_are_in_spanish(
    cast: Cast, letter: Release, happened: Callable[[Cast, Release], None]
) -> None:
    happened(cast, letter)
    seen = dict(walk(signed_in(cast.official), "/", "/profile/", "/nowhere/"))
    assert f"/a/rivers/letters/{letter.pk}/" in seen
    assert len(seen) > len(STATES)
    assert {address: found for address, page in seen.items() if (found := english_in(page))} == {}
    assert all('<html lang="es">' in page for page in seen.values())


@pytest.mark.parametrize("happened", STATES, ids=lambda step: step.__name__)
def test_a_letter_s_file_is_in_spanish(
    cast: Cast, letter: Release, happened: Callable[[Cast, Release], None]
) -> None:
    happened(cast, letter)
    letter.refresh_from_db()
    printed = pages(letter_pdf(release=letter, annex=True))
    assert english_in(" ".join(printed)) == []
    assert letter_content(letter).language == "es"
    assert "Próximos pasos" in printed[0]


def test_a_refused_answer_is_refused_in_spanish(cast: Cast, letter: Release) -> None:
    client = signed_in(cast.official)
    of_letter = f"/a/rivers/letters/{letter.pk}/"
    for address in (f"{of_letter}respond/", f"{of_letter}review/", "/profile/"):
        page = client.post(address).content.decode()
        assert 'class="note error' in page, address
        assert english_in(page) == []


@pytest.fixture
def logged(cast: Cast) -> str:
    """The address of a dead ball whose film was drawn and marked; its observer reads Spanish."""
    cast.observer.user.language = "es"
    cast.observer.user.save()
    log = log_with(crew_of(cast), [lead_calls(switched=False)])
    from_film(log.dead_balls.get())
    return f"/a/rivers/observations/{log.observation_id}/log/1/"


FLOOR: Final = ("sketch/report/", "sketch/live/", "film/", "eyes/")
"""Beside a dead ball's own page."""


def test_the_pages_of_the_floor_are_in_spanish(cast: Cast, logged: str) -> None:
    """With whatever their scripts show."""
    client = signed_in(cast.observer)
    statement = logged.removesuffix("1/") + "film/"
    for address in (logged, statement, *(logged + page for page in FLOOR)):
        page = client.get(address).content.decode()
        assert '<html lang="es">' in page, address
        assert english_in(page) == [], address


WRONG: Final = {
    "sketch/report/": {"referee-x": "lejos", "umpire-y": "4", "route": "1 2 3", "source": "film"},
    "eyes/": {"whistle": "9", "live": "2", "umpire-0-from": "pronto", "referee-0-to": "3"},
    "../film/": {"owner": "mine"},
}


@pytest.mark.parametrize("page", WRONG)
def test_a_drawing_and_times_are_refused_in_spanish(cast: Cast, logged: str, page: str) -> None:
    answer = signed_in(cast.observer).post(urljoin(logged, page), WRONG[page]).content.decode()
    assert 'class="note error' in answer
    assert english_in(answer) == []


def test_pages_before_signing_in_are_in_spanish(cast: Cast, letter: Release) -> None:
    verdict = f"/verify/{letter.code}/"
    starts = ("/accounts/login/", "/accounts/signup/", "/verify/", verdict, "/verify/AAAA/")
    seen = dict(walk(Client(), *starts))
    assert {address: found for address, page in seen.items() if (found := english_in(page))} == {}


def test_an_invitation_and_its_page_are_in_spanish(cast: Cast) -> None:
    cast.association.language = "es"
    cast.association.save()
    invitation, token = invite(
        association=cast.association,
        actor=cast.admin.user,
        email="nell@example.org",
        name="Nell",
        terms=terms(Role.OFFICIAL),
        now=OPEN_AT,
    )
    assert send_invitation(invitation=invitation, token=token)
    [message] = mail.outbox
    assert english_in(f"{message.subject} {message.body}") == []
    link = urlsplit(invitation_link(token)).path
    seen = dict(walk(Client(), link, link[:-3]))
    assert "Nell" in seen[link]
    assert {address: found for address, page in seen.items() if (found := english_in(page))} == {}


def test_mail_about_a_letter_is_in_spanish(cast: Cast, letter: Release) -> None:
    news = Mail.objects.get(key=f"letter-{letter.pk}")
    assert letter.evaluation.official == cast.official
    assert english_in(f"{news.subject} {news.body}") == []


def test_an_english_page_would_be_noticed(cast: Cast, letter: Release) -> None:
    cast.official.user.language = "en"
    cast.official.user.save()
    address = f"/a/rivers/letters/{letter.pk}/"
    page = dict(walk(signed_in(cast.official), address))[address]
    assert "What to do next" in english_in(page)
