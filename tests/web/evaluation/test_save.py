"""What the form's script sends while one types, and whom an evaluation lets in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from evaluations.models import Evaluation
from tests.factories.accounts import Cast, signed_in
from tests.factories.releases import hand_in, write
from tests.web.evaluation.sending import A, address, post, send, stored

if TYPE_CHECKING:
    pass


# --- Sent by its script -----------------------------------------------------------------------
def test_a_few_fields_are_kept_and_the_answer_says_what_is_left(
    observer: Client, evaluation: Evaluation
) -> None:
    write(evaluation)
    evaluation.refresh_from_db()
    answer = send(observer, evaluation, {f"{A}-evidence": "Stopped, then signed."})
    assert answer.json() == {
        "version": evaluation.version + 1,
        "saved_at": "2026-11-10T23:00:00Z",
        "problems_left": {"answered": 12, "total": 12, "not_seen": 1},
    }
    assert stored(evaluation) == (4, False, "Stopped, then signed.", None)


def test_a_field_can_be_emptied(observer: Client, evaluation: Evaluation) -> None:
    first = send(observer, evaluation, {f"{A}-evidence": "Wrong one.", f"{A}-dead_ball": "4"})
    emptied = {"version": first.json()["version"], f"{A}-evidence": "", f"{A}-dead_ball": ""}
    send(observer, evaluation, emptied)
    assert stored(evaluation) == (None, False, "", None)


def test_of_two_tabs_the_second_gets_409_and_where_to_look(
    observer: Client, evaluation: Evaluation
) -> None:
    assert send(observer, evaluation, {f"{A}-level": "4"}).status_code == 200
    answer = send(observer, evaluation, {f"{A}-level": "2"})
    assert answer.status_code == 409
    assert answer.json()["newest_url"] == address(evaluation)
    assert stored(evaluation)[0] == 4


def test_a_tab_that_does_not_know_the_newest_version_is_not_told_it(
    observer: Client, evaluation: Evaluation
) -> None:
    send(observer, evaluation, {f"{A}-level": "4"})
    assert send(observer, evaluation, {f"{A}-level": "4"}).status_code == 409


@pytest.mark.parametrize("version", ["", "0", "-1", "one", "9" * 40, "\u0661"])
def test_a_version_that_is_none_is_an_old_one(
    observer: Client, evaluation: Evaluation, version: str
) -> None:
    answer = send(observer, evaluation, {f"{A}-level": "4", "version": version})
    assert answer.status_code == 409
    assert not evaluation.ratings.exists()


def test_a_field_that_can_not_be_kept_is_named(observer: Client, evaluation: Evaluation) -> None:
    answer = send(observer, evaluation, {f"{A}-dead_ball": "nine"})
    assert answer.status_code == 422
    assert list(answer.json()["errors"]) == [f"{A}-dead_ball"]


def test_a_form_handed_in_elsewhere_is_saved_no_more(
    observer: Client, evaluation: Evaluation
) -> None:
    hand_in(evaluation)
    evaluation.refresh_from_db()
    assert send(observer, evaluation, {f"{A}-level": "1"}).status_code == 409
    assert post(observer, evaluation, {f"{A}-level": "1"}).headers["Location"] == address(
        evaluation, "evaluation_check"
    )
    assert stored(evaluation)[0] == 4


# --- Who ----------------------------------------------------------------------------------------
PAGES = (
    "evaluation_form",
    "evaluation_save",
    "evaluation_words",
    "evaluation_words_save",
    "evaluation_check",
    "evaluation_submit",
    "evaluation_coaching",
)


def method_of(page: str) -> str:
    reads = {"evaluation_form", "evaluation_words", "evaluation_check"}
    return "get" if page in reads else "post"


@pytest.mark.parametrize("page", PAGES)
def test_an_evaluation_is_its_observers_alone(
    cast: Cast, evaluation: Evaluation, page: str
) -> None:
    def answer(person: Any) -> int:
        client = signed_in(person)
        return int(getattr(client, method_of(page))(address(evaluation, page)).status_code)

    assert answer(cast.other_observer) == 404
    assert answer(cast.observer_and_official) == 404
    assert answer(cast.admin) == answer(cast.official) == answer(cast.board) == 403
    assert answer(cast.other_admin) == answer(cast.stranger) == 404
    evaluation.refresh_from_db()
    assert (evaluation.state, evaluation.version) == ("draft", 1)


def test_a_script_whose_session_is_over_is_told_so(evaluation: Evaluation) -> None:
    assert send(Client(), evaluation, {f"{A}-level": "4"}).status_code == 401
    assert post(Client(), evaluation, {f"{A}-level": "4"}).status_code == 302
    assert not evaluation.ratings.exists()


def test_the_number_of_queries_is_bounded(
    observer: Client,
    evaluation: Evaluation,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    write(evaluation)
    with django_assert_max_num_queries(25):
        observer.get(address(evaluation))
    evaluation.refresh_from_db()
    with django_assert_max_num_queries(40):
        send(observer, evaluation, {f"{A}-level": "3"})
