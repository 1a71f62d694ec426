"""A letter with evidence from a dead-ball log: its page, its file, and the answer to it."""

from __future__ import annotations

from dataclasses import replace
from html import unescape
from xml.etree import ElementTree

import pytest
from django.urls import reverse
from django.utils import timezone

from accounts.models import Membership
from evaluations.core.letter import reading_order
from evaluations.core.mechanics.court import Position, Side
from evaluations.core.mechanics.facts import Kept, Stood
from evaluations.models import Observation, Release
from evaluations.queries.releases import content_of
from evaluations.services.answers import respond
from evaluations.services.releases import release_crew
from tests.factories.accounts import Cast, signed_in
from tests.factories.floor import from_film
from tests.factories.logs import REFEREE, UMPIRE, lead_calls, log_with
from tests.factories.releases import OPEN_AT, crew_of, hand_in
from tests.letters.reading import body, pages, squeezed, structure
from tests.web.reading import alternatives_in, text_in

FORCES = "non-caller-starts-switch"
OK = 200
DONE = {
    REFEREE: Stood(Position.TRAIL, Side.TABLE),
    UMPIRE: Stood(Position.LEAD, Side.OPPOSITE),
}


@pytest.fixture(autouse=True)
def two_days_later(monkeypatch: pytest.MonkeyPatch) -> None:
    """The letters are open by now."""
    monkeypatch.setattr(timezone, "now", lambda: OPEN_AT)


def logged(cast: Cast, kept: Kept = Kept.EVERY_FOUL) -> Observation:
    """The umpire forced five switches of six, and all forms are in."""
    observation = crew_of(cast)
    forced = [lead_calls(None, after=DONE) for _ in range(5)]
    missed = lead_calls(False, period=2, clock="4:10")
    balls = [replace(ball, number=n) for n, ball in enumerate([*forced, missed], 1)]
    log_with(observation, balls, kept=kept)
    for evaluation in observation.evaluations.all():
        hand_in(evaluation)
    return observation


def released(cast: Cast, kept: Kept = Kept.EVERY_FOUL) -> Release:
    """The letter to the umpire."""
    return release_crew(observation=logged(cast, kept), by=cast.admin, now=OPEN_AT)[1]


def opened(person: Membership, letter: Release, name: str = "letter", query: str = "") -> bytes:
    address = reverse(f"evaluations:{name}", args=["rivers", letter.pk])
    answer = signed_in(person).get(address + query)
    assert answer.status_code == OK
    return answer.content


def page_of(person: Membership, letter: Release, name: str = "letter") -> str:
    return unescape(opened(person, letter, name).decode())


@pytest.mark.parametrize("kept", [Kept.EVERY_FOUL, Kept.ONE_DUTY, Kept.STRIKING])
def test_the_page_reads_like_the_file(cast: Cast, kept: Kept) -> None:
    letter = released(cast, kept)
    content = content_of(letter)
    assert content.movement is not None and content.form.counted
    on_page = text_in(page_of(cast.other_official, letter), "letter")
    in_file = body(opened(cast.other_official, letter, "letter_pdf"), content)
    assert squeezed(on_page) == squeezed(in_file) == squeezed(" ".join(reading_order(content)))


def test_page_and_file_draw_the_own_movement_and_say_it_alike(cast: Cast) -> None:
    letter = released(cast)
    movement = content_of(letter).movement
    assert movement is not None
    page = page_of(cast.other_official, letter)
    drawn = next(
        ElementTree.fromstring(svg + "</svg>")  # noqa: S314 - our own page
        for svg in page.split("</svg>")
        for _before, _mark, rest in [svg.partition("<svg")]
        if "figure-due" in rest
        for svg in ["<svg" + rest]
    )
    assert drawn.attrib["aria-label"] == movement.alt
    court = structure(opened(cast.other_official, letter, "letter_pdf")).named("Figure")[0]
    assert court.alt == movement.alt
    spoken = alternatives_in(page, "letter")
    assert spoken[0] == movement.alt
    assert "(ring)" in movement.caption and "(square)" in movement.caption


def test_the_mates_letter_says_nothing_of_the_switch_that_was_not_forced(cast: Cast) -> None:
    observation = logged(cast)
    mates, own = release_crew(observation=observation, by=cast.admin, now=OPEN_AT)
    assert "5 of 6" in text_in(page_of(cast.other_official, own), "letter")
    told = text_in(page_of(cast.official, mates), "letter")
    assert "of 6" not in told
    assert "Dead ball 6" not in told


def test_the_page_has_each_count_in_full_like_the_annex(cast: Cast) -> None:
    letter = released(cast)
    full = "Counted: 5 of 6 met; suggests at times to nearly always. Not met at dead ball 6."
    assert full in text_in(page_of(cast.other_official, letter), "letter-more")
    annex = " ".join(pages(opened(cast.other_official, letter, "letter_pdf", "?annex=1"))[2:])
    assert squeezed(full) in squeezed(annex)


def test_a_counted_line_is_answered_like_any_other(cast: Cast) -> None:
    letter = released(cast)
    form = page_of(cast.other_official, letter, "letter_respond")
    assert "Counted: 5 of 6" in form
    respond(
        release=letter,
        text="",
        lines={FORCES: "At dead ball 6 the ball was never live."},
        by=cast.other_official,
        now=OPEN_AT,
    )
    more = text_in(page_of(cast.other_official, letter), "letter-more")
    assert "At dead ball 6 the ball was never live." in more


# --- The floor ----------------------------------------------------------------------------------
def floored(cast: Cast) -> Release:
    """The letter to the umpire, after a report during which some players were out of view."""
    observation = crew_of(cast)
    log = log_with(observation, [lead_calls(None, period=2, clock="4:10")])
    from_film(log.dead_balls.get())
    for evaluation in observation.evaluations.all():
        hand_in(evaluation)
    return release_crew(observation=observation, by=cast.admin, now=OPEN_AT)[1]


def test_a_sketch_and_a_band_are_on_the_page_as_in_the_file(cast: Cast) -> None:
    letter = floored(cast)
    content = content_of(letter)
    assert content.movement is None
    assert content.sketch is not None and content.band is not None
    page = page_of(cast.other_official, letter)
    file = opened(cast.other_official, letter, "letter_pdf")
    in_file = [figure.alt for figure in structure(file).named("Figure")]
    on_page = alternatives_in(page, "letter")
    for alt in (content.sketch.alt, content.band.alt):
        assert alt in in_file
        assert alt in on_page
    assert "you faced the players (bar) for 2.0 s, did not (line) for 2.5 s" in content.band.caption
    said = squeezed(" ".join(reading_order(content)))
    assert squeezed(text_in(page, "letter")) == squeezed(body(file, content)) == said


def test_the_partner_is_on_neither(cast: Cast) -> None:
    letter = floored(cast)
    page = page_of(cast.other_official, letter)
    assert cast.official.user.name not in page
    file = opened(cast.other_official, letter, "letter_pdf")
    assert not any(cast.official.user.name in text for text in pages(file))
