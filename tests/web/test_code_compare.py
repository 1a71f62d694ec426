"""Two editions of a mechanics code beside each other."""

from __future__ import annotations

from dataclasses import replace

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from evaluations.core.mechanics.code import NumberScheme
from evaluations.models import CodeEdition
from evaluations.queries.codes import mechanics_code
from evaluations.services.codes import start_from_shipped
from tests.factories.accounts import NOW, Cast, signed_in
from tests.factories.corrections import correction_in_force, edited, logged_crew, wrong_edition
from tests.web.reading import text_in

OK, UNKNOWN = 200, 404


@pytest.fixture
def wrong(cast: Cast) -> CodeEdition:
    return wrong_edition(cast)


@pytest.fixture
def shipped(cast: Cast, wrong: CodeEdition) -> CodeEdition:
    """The next edition, as it is shipped."""
    key = "two_person_every_foul"
    return start_from_shipped(association=cast.association, key=key, by=cast.admin, now=NOW)


def address(one: CodeEdition, other: CodeEdition) -> str:
    return reverse("evaluations:code_compare", args=["rivers", one.pk, other.pk])


def page(client: Client, one: CodeEdition, other: CodeEdition) -> str:
    answer = client.get(address(one, other))
    assert answer.status_code == OK
    return text_in(answer.content.decode(), "")


def test_a_difference_says_when_and_what_was_asked_and_is_asked(
    cast: Cast, wrong: CodeEdition, shipped: CodeEdition
) -> None:
    read = page(signed_in(cast.admin), shipped, wrong)
    assert "Editions 1 and 2 compared" in read
    assert "16 situations differ in what is asked or allowed, in 1 way" in read
    assert "Shooting or bonus foul or intentional foul · caller: lead" in read
    assert "row 1 of edition 1 · row 1 of edition 2" in read
    before, after = "The lead becomes trail, opposite the table.", "The lead becomes trail, table"
    assert read.index(before) < read.index(after)
    assert "Administers" not in read


def test_the_older_edition_stands_first_whichever_is_asked_for(
    cast: Cast, wrong: CodeEdition, shipped: CodeEdition
) -> None:
    client = signed_in(cast.admin)
    assert page(client, wrong, shipped) == page(client, shipped, wrong)


def test_editions_that_say_the_same_have_nothing_to_compare(cast: Cast, wrong: CodeEdition) -> None:
    assert "Both editions ask for the same" in page(signed_in(cast.admin), wrong, wrong)


def test_notes_sureness_and_numbers_are_listed_apart(
    cast: Cast, wrong: CodeEdition, shipped: CodeEdition
) -> None:
    code = mechanics_code(wrong)
    first, *rest = code.rows
    said = replace(first, sure=False, note={"en": "Asked again."})
    other = replace(code, rows=(said, *rest), number_scheme=NumberScheme.TENS_THEN_UNITS)
    read = page(signed_in(cast.admin), wrong, edited(shipped, replace(other, edition="2")))
    assert "Both editions ask for the same" in read
    for part in ("tens, then units", "Note (en)", "Asked again.", "Sure", "not sure", "Row 1"):
        assert part in read


def test_a_situation_without_a_row_is_said_to_have_none(
    cast: Cast, wrong: CodeEdition, shipped: CodeEdition
) -> None:
    code = mechanics_code(wrong)
    gap = edited(shipped, replace(code, rows=code.rows[:-1], edition="2"))
    assert "No row covers this." in page(signed_in(cast.admin), wrong, gap)


def test_members_compare_editions_that_they_may_read(cast: Cast) -> None:
    logged_crew(cast)
    correction = correction_in_force(cast)
    assert correction.corrects is not None
    for who in (cast.official, cast.observer, cast.board):
        assert "Editions 1 and 2" in page(signed_in(who), correction, correction.corrects)


def test_an_edition_that_is_not_in_use_does_not_exist_for_others(
    cast: Cast, wrong: CodeEdition, shipped: CodeEdition
) -> None:
    assert signed_in(cast.observer).get(address(wrong, shipped)).status_code == UNKNOWN
    elsewhere = reverse("evaluations:code_compare", args=["harbor", wrong.pk, shipped.pk])
    assert signed_in(cast.other_admin).get(elsewhere).status_code == UNKNOWN


def test_editions_for_crews_of_another_size_are_not_compared(
    cast: Cast, wrong: CodeEdition
) -> None:
    three = start_from_shipped(
        association=cast.association, key="three_person", by=cast.admin, now=NOW
    )
    assert signed_in(cast.admin).get(address(wrong, three)).status_code == UNKNOWN


def test_comparing_costs_few_queries(
    cast: Cast,
    wrong: CodeEdition,
    shipped: CodeEdition,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    client = signed_in(cast.admin)
    with django_assert_max_num_queries(14):
        client.get(address(wrong, shipped))
