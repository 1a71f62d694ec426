"""Every letter of the demo: about one person alone, two pages, and figures that add up."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from html import unescape

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from django.utils.html import strip_tags

from evaluations.core.letter import LetterContent, reading_order
from evaluations.models import Evaluation, Release
from evaluations.queries.releases import content_of
from evaluations.services.copies import letter_pdf
from seed_demo.moments import NOW
from tests.letters.reading import body, pages, reader, spaced, squeezed, structure

pytestmark = pytest.mark.usefixtures("own_demo")

SHORT = 12
"""Characters: what is shorter, such as a single word, can stand in anybody's letter."""


def all_letters() -> Iterator[Release]:
    related = "evaluation__official__user", "evaluation__observation__game__season__association"
    yield from Release.objects.select_related(*related).order_by("pk")


def names_and_words_of_others(release: Release) -> Iterator[str]:
    """Of the others of the crew: names, and whatever was written about them in this game."""
    observation = release.evaluation.observation
    others = observation.evaluations.exclude(pk=release.evaluation_id)
    for form in others.select_related("official__user"):
        yield from form.official.user.name.split()
        yield from (words for words in _written(form) if len(words) > SHORT)


def _written(form: Evaluation) -> Iterator[str]:
    yield form.summary
    for rating in form.ratings.all():
        yield from (rating.comment, rating.evidence)
    for strength in form.strengths.all():
        yield strength.seen
    for step in form.next_steps.all():
        yield step.seen


def texts_of(release: Release) -> str:
    """Everything that the letter says: its text, its alternative texts, its PDF with the annex."""
    content = content_of(release)
    pdf = letter_pdf(release=release, annex=True)
    said = [
        *reading_order(content),
        content.verification.alt,
        *(area.bar.alt for area in content.form.areas),
        *pages(pdf),
        *(node.alt for node in structure(pdf).walk()),
    ]
    return spaced(" ".join(said))


def test_a_letter_holds_nothing_about_another_of_the_crew() -> None:
    found = {}
    for release in all_letters():
        said = texts_of(release)
        assert any(spaced(words) in said for words in _written(release.evaluation) if words)
        others = [spaced(words) for words in names_and_words_of_others(release)]
        assert len(others) > 2
        found[release.code] = [words for words in others if words in said]
    assert len(found) > 60
    assert {code: words for code, words in found.items() if words} == {}


def test_a_letters_page_holds_nothing_about_another_of_the_crew(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(timezone, "now", lambda: NOW)
    found = {}
    for release in all_letters():
        official = release.evaluation.official
        client = Client()
        client.force_login(official.user)
        page = client.get(
            reverse("evaluations:letter", args=[official.association.slug, release.pk])
        )
        assert page.status_code == 200
        source = spaced(unescape(page.content.decode()))
        said = source + spaced(unescape(strip_tags(page.content.decode())))
        assert official.user.name in said
        others = [spaced(words) for words in names_and_words_of_others(release)]
        found[release.code] = [words for words in others if words in said]
    assert {code: words for code, words in found.items() if words} == {}


def test_a_letter_has_at_most_two_pages() -> None:
    counts = {len(reader(bytes(release.pdf)).pages) for release in all_letters()}
    assert counts <= {1, 2}


def test_the_file_says_what_the_letter_says() -> None:
    for release in all_letters():
        content = content_of(release)
        said = squeezed(body(bytes(release.pdf), content))
        assert [t for t in reading_order(content) if squeezed(t) not in said] == []


def test_printed_points_add_up_to_the_printed_total() -> None:
    with_points = 0
    for release in all_letters():
        form = content_of(release).form
        points = [_figure(row.points) for area in form.areas for row in area.rows if row.points]
        if release.total is None:
            assert points == []
            continue
        with_points += 1
        assert sum(points) == _figure(form.closing[-1].text) == release.total
    assert with_points > 50


def _figure(printed: str) -> Decimal:
    return Decimal(printed.replace(",", "."))


def test_nothing_was_cut_to_fit() -> None:
    for release in all_letters():
        assert not [text for text in reading_order(content_of(release)) if text.endswith("…")]


def fixed_texts(content: LetterContent) -> list[str]:
    """What the site itself says in every letter, the heading's labels among it."""
    return [
        content.title,
        content.talk,
        *content.headings.values(),
        *content.form.columns,
        *content.cautions,
        *(fact.label for fact in content.facts if fact.text),
        *(part.label for step in content.next_steps for part in step.parts),
        content.respond.partition(" ")[0],
        content.page_label,
    ]


def test_spanish_letters_share_no_heading_with_english_ones() -> None:
    texts: dict[str, set[str]] = {"en": set(), "es": set()}
    for release in all_letters():
        content = content_of(release)
        texts[content.language] |= set(fixed_texts(content))
    assert len(texts["es"]) > 20
    assert texts["es"] & texts["en"] == set()
