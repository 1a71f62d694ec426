"""Copies: the stored bytes until something comes of a letter, then the answer with every copy."""

from __future__ import annotations

import io
from datetime import timedelta

import pytest
from pypdf import PdfReader

from evaluations.core.letter import reading_order
from evaluations.models import Release, ReviewLine
from evaluations.services.answers import (
    ReviewInput,
    acknowledge,
    amend,
    ask_review,
    assign_reviewer,
    close_review,
    respond,
)
from evaluations.services.copies import answer_items, letter_annex, letter_content, letter_pdf
from evaluations.services.releases import release_crew, withdraw
from tests.factories.accounts import Cast
from tests.factories.releases import (
    OPEN_AT,
    WEAK,
    comment,
    crew_of,
    hand_in,
    letter_of,
    released_crew,
    sent,
    write,
)

NEXT_DAY = OPEN_AT + timedelta(days=1)


@pytest.fixture
def letter(cast: Cast) -> Release:
    return released_crew(cast)[0]


def text_of(pdf: bytes) -> str:
    """The file's text without its white space, which layout decides."""
    return squeezed(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages))


def squeezed(text: str) -> str:
    return "".join(text.split())


def says(release: Release) -> list[tuple[str, tuple[str, ...]]]:
    return [(item.heading, item.paragraphs) for item in answer_items(release)]


def answered(cast: Cast, letter: Release) -> Release:
    respond(
        release=letter,
        text="The clock was wrong.\n\nI said so that night.",
        lines={WEAK: "The table called for the ball."},
        by=cast.official,
        now=OPEN_AT,
    )
    return letter_of(cast.official)


def test_a_letter_that_is_only_read_stays_the_stored_file(cast: Cast, letter: Release) -> None:
    acknowledge(release=letter, by=cast.official, now=OPEN_AT)
    stored = bytes(letter.pdf)
    assert letter_pdf(release=letter, annex=False) == stored
    assert letter_pdf(release=letter_of(cast.official), annex=False) == stored
    for part in reading_order(letter_content(letter)):
        assert squeezed(part) in text_of(stored)


def test_silence_is_not_answered(letter: Release) -> None:
    assert says(letter) == [("Answer of the official", ("Not answered.",))]


def test_an_answer_travels_with_every_copy(cast: Cast, letter: Release) -> None:
    letter = answered(cast, letter)
    assert says(letter) == [
        (
            "Answer of the official",
            (
                "The clock was wrong.",
                "I said so that night.",
                "Holds the ball until the crew is in place: “this is not what happened”. "
                "The table called for the ball.",
            ),
        )
    ]
    copy = letter_pdf(release=letter, annex=False)
    assert copy == letter_pdf(release=letter, annex=True)
    assert squeezed("The table called for the ball.") in text_of(copy)
    assert len(PdfReader(io.BytesIO(copy)).pages) == 3


def test_the_letter_itself_reads_the_same_with_its_annex(cast: Cast, letter: Release) -> None:
    stored = PdfReader(io.BytesIO(bytes(letter.pdf))).pages[0].extract_text()
    copy = PdfReader(io.BytesIO(letter_pdf(release=letter, annex=True))).pages[0].extract_text()
    assert squeezed(copy).replace("of3", "of2") == squeezed(stored)


def test_copies_are_the_same_bytes_every_time(cast: Cast, letter: Release) -> None:
    letter = answered(cast, letter)
    again = letter_of(cast.official)
    assert letter_pdf(release=letter, annex=True) == letter_pdf(release=again, annex=True)


def test_what_a_review_found_travels_as_well(cast: Cast, letter: Release) -> None:
    review = ask_review(release=letter, reason="Look.", by=cast.official, now=OPEN_AT)
    assert says(letter_of(cast.official))[1:] == [
        ("Review by another observer", ("Asked for, not closed yet.",))
    ]
    assign_reviewer(review=review, reviewer=cast.other_observer, by=cast.admin, now=OPEN_AT)
    found = [ReviewInput(WEAK, ReviewLine.Outcome.CORRECTED, "Three of four.", 3)]
    review.refresh_from_db()
    close_review(review=review, lines=found, by=cast.other_observer, now=NEXT_DAY)
    [item] = says(letter_of(cast.official))[1:]
    assert item[1] == (
        "Holds the ball until the crew is in place: corrected from film to “usually”. "
        "Three of four.",
    )
    assert squeezed("Three of four.") in text_of(
        letter_pdf(release=letter_of(cast.official), annex=False)
    )


def test_an_amended_letter_carries_the_answer_to_the_first_one(cast: Cast, letter: Release) -> None:
    answered(cast, letter)
    hand_in(amend(release=letter, reason="Wrong play.", by=cast.observer, now=NEXT_DAY))
    release_crew(observation=letter.evaluation.observation, by=cast.admin, now=NEXT_DAY)
    headings = [heading for heading, _paragraphs in says(letter_of(cast.official))]
    assert headings == ["Answer of the official (release 1)", "Answer of the official"]


def test_a_superseded_and_a_withdrawn_letter_open_with_that_word(
    cast: Cast, letter: Release
) -> None:
    hand_in(amend(release=letter, reason="Wrong game.", by=cast.admin, now=OPEN_AT))
    release_crew(observation=letter.evaluation.observation, by=cast.admin, now=NEXT_DAY)
    first, second = letter.evaluation.releases.order_by("serial")
    assert reading_order(letter_content(first))[0].startswith("Superseded.")
    withdraw(release=second, reason="Another game was meant.", by=cast.admin, now=NEXT_DAY)
    assert letter_content(second).notice == "Withdrawn. Another game was meant."
    assert text_of(letter_pdf(release=second, annex=False)).startswith(
        squeezed("Withdrawn. Another game was meant.")
    )
    assert bytes(second.pdf) != letter_pdf(release=second, annex=False)


def test_a_withdrawn_letter_with_the_longest_reason_still_fits(cast: Cast, letter: Release) -> None:
    withdraw(release=letter, reason="w" * 300, by=cast.admin, now=OPEN_AT)
    assert len(PdfReader(io.BytesIO(letter_pdf(release=letter, annex=False))).pages) == 2


def test_long_comments_stand_in_the_annex_in_full(cast: Cast) -> None:
    observation = crew_of(cast)
    long = "Off the lane again, and late. " * 60
    for evaluation in observation.evaluations.all():
        sent(comment(write(evaluation), WEAK, long.strip()))
    [letter, _other] = release_crew(observation=observation, by=cast.admin, now=OPEN_AT)
    assert letter_content(letter).quotes_note
    assert long.strip() in {text for item in letter_annex(letter).items for text in item.paragraphs}
    assert squeezed(long) in text_of(letter_pdf(release=letter, annex=True))
    assert squeezed(long) not in text_of(letter_pdf(release=letter, annex=False))
