"""A whole crew rated side by side, criterion by criterion."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from evaluations.models import Evaluation, Observation
from evaluations.services.evaluation_rows import RatingInput
from evaluations.services.evaluations import save_ratings
from tests.factories.accounts import Cast, signed_in
from tests.factories.releases import THAT_NIGHT, hand_in, write

if TYPE_CHECKING:
    from django.test.client import _MonkeyPatchedWSGIResponse as Answer

A, B = "still-before-first-sign", "route-round-players"


@pytest.fixture
def crew(observation: Observation) -> tuple[Evaluation, Evaluation]:
    first, second = observation.evaluations.order_by("position")
    return first, second


def address(observation: Observation, page: str = "crew_form") -> str:
    return reverse(f"evaluations:{page}", args=["rivers", observation.pk])


def field(evaluation: Evaluation, key: str, part: str) -> str:
    return f"of-{evaluation.pk}-{key}-{part}"


def send(
    observer: Client, observation: Observation, fields: dict[str, Any], version: str = "1-1"
) -> Answer:
    return observer.post(
        address(observation, "crew_save"),
        {"version": version, **fields},
        headers={"Accept": "application/json"},
    )


def level(evaluation: Evaluation, key: str = A) -> int | None:
    return evaluation.ratings.get(criterion__key=key).level


def test_every_criterion_asks_about_each_of_the_crew(
    observer: Client, observation: Observation
) -> None:
    page = observer.get(address(observation)).content.decode()
    assert page.count('role="radiogroup"') == 24
    assert page.count('<legend>Nico Vale <span class="visually-hidden">') == 12
    assert page.count('<legend>Mara Odell <span class="visually-hidden">') == 12
    assert "0 of 24 answered, 0 not seen" in page
    assert 'name="version" value="1-1"' in page


def test_a_page_sent_whole_is_kept_for_each_of_them(
    observer: Client, observation: Observation, crew: tuple[Evaluation, Evaluation]
) -> None:
    first, second = crew
    data = {
        "version": "1-1",
        field(first, A, "level"): "4",
        field(second, A, "level"): "not_seen",
        field(second, B, "evidence"): "Cut through twice.",
        f"of-{second.pk}-flagged": B,
    }
    answer = observer.post(address(observation), data)
    assert answer.headers["Location"] == reverse(
        "evaluations:evaluation_words", args=["rivers", first.pk]
    )
    assert level(first) == 4
    assert second.ratings.get(criterion__key=A).not_seen
    assert second.ratings.get(criterion__key=B).evidence == "Cut through twice."
    first.refresh_from_db()
    second.refresh_from_db()
    assert first.flagged is None
    assert second.flagged is not None and second.flagged.key == B


def test_what_the_script_sends_about_one_leaves_the_others_version(
    observer: Client, observation: Observation, crew: tuple[Evaluation, Evaluation]
) -> None:
    first, second = crew
    answer = send(observer, observation, {field(second, A, "level"): "3"})
    assert answer.json()["version"] == "1-2"
    assert answer.json()["problems_left"] == {"answered": 1, "total": 24, "not_seen": 0}
    answer = send(observer, observation, {field(first, A, "level"): "5"}, version="1-2")
    assert answer.json()["version"] == "2-2"
    assert (level(first), level(second)) == (5, 3)


def test_a_save_elsewhere_about_one_stops_the_page_for_both(
    observer: Client, observation: Observation, crew: tuple[Evaluation, Evaluation]
) -> None:
    first, second = crew
    save_ratings(
        evaluation=second,
        version=1,
        ratings=[RatingInput(B, level=2)],
        flagged=None,
        by=observation.observer,
        now=THAT_NIGHT,
    )
    both = {field(first, A, "level"): "4", field(second, A, "level"): "4"}
    answer = send(observer, observation, both)
    assert answer.status_code == 409
    assert answer.json()["newest_url"] == address(observation)
    assert not first.ratings.exists()
    page = observer.post(address(observation), {"version": "1-1", **both})
    assert page.status_code == 409
    assert "There is a newer version of this form" in page.content.decode()
    assert 'value="1-1"' in page.content.decode()


@pytest.mark.parametrize("version", ["", "1", "1-1-1", "1-x", "2-1"])
def test_a_version_that_does_not_fit_the_crew_is_an_old_one(
    observer: Client,
    observation: Observation,
    crew: tuple[Evaluation, Evaluation],
    version: str,
) -> None:
    fields = {field(crew[0], A, "level"): "4"}
    assert send(observer, observation, fields, version=version).status_code == 409
    assert not crew[0].ratings.exists()


def test_an_answer_that_can_not_be_kept_is_named_with_its_official(
    observer: Client, observation: Observation, crew: tuple[Evaluation, Evaluation]
) -> None:
    fields = {field(crew[1], A, "dead_ball"): "nine", field(crew[0], A, "level"): "4"}
    assert list(send(observer, observation, fields).json()["errors"]) == [
        field(crew[1], A, "dead_ball")
    ]
    page = observer.post(address(observation), {"version": "1-1", **fields}).content.decode()
    assert "Please look at these answers again" in page
    assert "Mara Odell: Stands still before the first sign" in page
    assert not crew[0].ratings.exists()


def test_a_form_that_was_handed_in_is_not_on_the_page(
    observer: Client, observation: Observation, crew: tuple[Evaluation, Evaluation]
) -> None:
    hand_in(crew[0])
    page = observer.get(address(observation)).content.decode()
    assert page.count('role="radiogroup"') == 12
    assert "Mara Odell" in page and "Nico Vale" not in page
    hand_in(crew[1])
    assert "Nothing to rate here" in observer.get(address(observation)).content.decode()


def test_a_crew_is_rated_by_its_observer_alone(cast: Cast, observation: Observation) -> None:
    for page, method in (("crew_form", "get"), ("crew_save", "post")):
        for person, answer in (
            (cast.other_observer, 404),
            (cast.admin, 403),
            (cast.official, 403),
            (cast.other_admin, 404),
        ):
            client = signed_in(person)
            assert getattr(client, method)(address(observation, page)).status_code == answer


def test_the_number_of_queries_does_not_grow_with_the_answers(
    observer: Client,
    observation: Observation,
    crew: tuple[Evaluation, Evaluation],
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    for evaluation in crew:
        write(evaluation)
    with django_assert_max_num_queries(26):
        observer.get(address(observation))


def test_each_pick_of_the_observer_s_own_says_about_whom(
    observer: Client, observation: Observation, crew: tuple[Evaluation, Evaluation]
) -> None:
    page = observer.get(address(observation)).content.decode()
    for evaluation in crew:
        label = f"{evaluation.official}: Work on this next"
        assert re.search(rf'for="id_of-{evaluation.pk}-flagged"[^>]*>\s*{label}', page)
