"""Before a film is opened the observer says whose it is and with what permission."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from evaluations.models import DeadBallLog, FilmStatement
from tests.factories.accounts import Cast, signed_in
from tests.factories.logs import lead_calls, log_with
from tests.factories.releases import crew_of, hand_in

SAID = {"owner": "school", "permission": "The school's athletic office, for this evaluation"}


@pytest.fixture
def observer(cast: Cast) -> Client:
    return signed_in(cast.observer)


@pytest.fixture
def log(cast: Cast) -> DeadBallLog:
    return log_with(crew_of(cast), [lead_calls(False)])


def address(log: DeadBallLog, name: str = "film", *keys: int) -> str:
    return reverse(f"evaluations:{name}", args=["rivers", log.observation_id, *keys])


@pytest.mark.parametrize("name", ["film_desk", "eyes"])
def test_neither_desk_nor_form_opens_before_it_is_said(
    log: DeadBallLog, observer: Client, name: str
) -> None:
    answer = observer.get(address(log, name, 1))
    assert answer.headers["Location"] == f"{address(log)}?ball=1"


def test_the_page_warns_before_it_asks(log: DeadBallLog, observer: Client) -> None:
    page = observer.get(address(log)).text
    for words in ("they are minors", "Nothing of it is uploaded", "Delete it from your device"):
        assert words in page


def test_what_is_said_is_stored_and_leads_on_to_the_dead_balls_desk(
    log: DeadBallLog, observer: Client
) -> None:
    assert 'name="ball" value="1"' in observer.get(address(log), {"ball": "1"}).text
    answer = observer.post(address(log), {**SAID, "ball": "1"})
    assert answer.headers["Location"] == address(log, "film_desk", 1)
    statement = FilmStatement.objects.get()
    assert (statement.log, statement.owner) == (log, "school")
    assert statement.permission == SAID["permission"]


def test_without_a_dead_ball_it_leads_to_the_log(log: DeadBallLog, observer: Client) -> None:
    assert observer.post(address(log), SAID).headers["Location"] == address(log, "log")


def test_it_can_be_said_anew(log: DeadBallLog, observer: Client) -> None:
    observer.post(address(log), SAID)
    assert SAID["permission"].replace("'", "&#x27;") in observer.get(address(log)).text
    observer.post(address(log), {"owner": "own", "permission": "My own, from the balcony"})
    assert FilmStatement.objects.get().owner == "own"


@pytest.mark.parametrize(
    ("typed", "field", "why"),
    [
        ({"owner": ""}, "owner", "Say whose film it is."),
        ({"permission": "  "}, "permission", "Say who gave permission, and for what."),
        ({"permission": "x" * 201}, "permission", "Ensure this value has at most 200 characters"),
        ({"owner": "nobody"}, "owner", "Select a valid choice."),
    ],
)
def test_half_a_statement_is_none(
    log: DeadBallLog, observer: Client, typed: dict[str, str], field: str, why: str
) -> None:
    answer = observer.post(address(log), {**SAID, **typed, "ball": "1"})
    assert answer.context["form"].errors[field][0].startswith(why)
    assert 'name="ball" value="1"' in answer.text
    assert not FilmStatement.objects.exists()


def test_a_strange_dead_ball_in_the_address_is_passed_over(
    log: DeadBallLog, observer: Client
) -> None:
    assert observer.get(address(log), {"ball": "²"}).status_code == 200
    assert observer.get(address(log), {"ball": "first"}).status_code == 200


def test_a_final_log_takes_no_statement(log: DeadBallLog, observer: Client) -> None:
    for evaluation in log.observation.evaluations.all():
        hand_in(evaluation)
    assert "The log stays as it is" in observer.get(address(log)).text
    answer = observer.post(address(log), SAID)
    assert "so that its log stays as it is" in answer.context["form"].errors["__all__"][0]
    assert not FilmStatement.objects.exists()


@pytest.mark.parametrize(("name", "keys"), [("film", ()), ("film_desk", (1,)), ("eyes", (1,))])
def test_only_the_observer_opens_these_pages(
    cast: Cast, log: DeadBallLog, name: str, keys: tuple[int, ...]
) -> None:
    page = address(log, name, *keys)
    assert signed_in(cast.other_observer).get(page).status_code == 404
    assert signed_in(cast.official).get(page).status_code == 403
    assert signed_in(cast.admin).get(page).status_code == 403
    assert signed_in(cast.stranger).get(page).status_code == 404


def test_the_desk_may_show_a_film_of_this_device_and_ask_nobody_anything(
    log: DeadBallLog, observer: Client
) -> None:
    observer.post(address(log), SAID)
    policy = observer.get(address(log, "film_desk", 1)).headers["Content-Security-Policy"]
    assert "media-src blob:" in policy
    assert "connect-src 'none'" in policy
    elsewhere = observer.get(address(log, "eyes", 1)).headers["Content-Security-Policy"]
    assert "media-src" not in elsewhere
