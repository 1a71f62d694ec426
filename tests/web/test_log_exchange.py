"""Two officials mixed up: from which dead ball on, and the way back."""

from __future__ import annotations

import re

import pytest
from django.test import Client
from django.urls import reverse

from evaluations.models import DeadBallLog
from tests.factories.accounts import Cast, signed_in
from tests.factories.logs import lead_calls, log_with
from tests.factories.releases import crew_of


@pytest.fixture
def observer(cast: Cast) -> Client:
    return signed_in(cast.observer)


@pytest.fixture
def log(cast: Cast) -> DeadBallLog:
    return log_with(crew_of(cast), [lead_calls(True) for _ in range(3)])


def address(log: DeadBallLog, name: str = "log_exchange") -> str:
    slug = log.observation.game.season.association.slug
    return reverse(f"evaluations:{name}", args=[slug, log.observation_id])


def callers(log: DeadBallLog) -> list[str]:
    return [row.facts["caller"] for row in log.dead_balls.order_by("number")]


def version(log: DeadBallLog) -> int:
    log.refresh_from_db()
    return log.version


def hidden(page: str) -> dict[str, str]:
    """The hidden answers of the page's own form to undo."""
    form = page.partition("Exchanged from dead ball")[2].partition("</form>")[0]
    return dict(re.findall(r'name="(since|pair|version)" value="([^"]*)"', form))


def test_the_two_are_exchanged_from_there_on_and_back_again(
    log: DeadBallLog, observer: Client
) -> None:
    answers = {"since": "2", "version": version(log)}
    page = observer.post(address(log), answers, follow=True)
    assert callers(log) == ["referee", "umpire", "umpire"]
    assert "Exchanged from dead ball 2 on" in page.text
    assert "What was logged of Nico Vale (referee) is now of Mara Odell (umpire)" in page.text
    undo = hidden(page.text)
    assert undo.keys() == {"since", "version"}
    observer.post(address(log), undo)
    assert callers(log) == ["referee", "referee", "referee"]


def test_a_second_press_does_not_undo_it(log: DeadBallLog, observer: Client) -> None:
    answers = {"since": "1", "version": version(log)}
    observer.post(address(log), answers)
    page = observer.post(address(log), answers)
    assert "The log was changed in between." in page.text
    assert callers(log) == ["umpire", "umpire", "umpire"]
    assert f'name="version" value="{version(log)}"' in page.text


def test_the_first_wrong_one_is_named_by_its_number(log: DeadBallLog, observer: Client) -> None:
    for typed in ("", "first", "0"):
        page = observer.post(address(log), {"since": typed, "version": version(log)})
        assert page.context["form"].errors.keys() == {"since"}
    page = observer.post(address(log), {"since": "4", "version": version(log)})
    assert "There is no dead ball from that number on." in page.text
    assert callers(log) == ["referee", "referee", "referee"]


def test_of_a_crew_of_three_two_are_chosen(cast: Cast, observer: Client) -> None:
    crew = (cast.official, cast.other_official, cast.young_official)
    log = log_with(crew_of(cast, *crew), [lead_calls(None)], left_end=None)
    page = observer.post(address(log), {"since": "1", "version": version(log)})
    assert page.context["form"].errors == {"pair": ["Choose the two who were mixed up."]}
    answers = {"since": "1", "pair": "referee-umpire_2", "version": version(log)}
    page = observer.post(address(log), answers, follow=True)
    assert callers(log) == ["umpire_2"]
    undo = hidden(page.text)
    assert undo["pair"] == "referee-umpire_2"
    observer.post(address(log), undo)
    assert callers(log) == ["referee"]


def test_exchanging_is_the_observers(cast: Cast, log: DeadBallLog) -> None:
    answers = {"since": "1", "version": version(log)}
    assert signed_in(cast.other_observer).post(address(log), answers).status_code == 404
    assert signed_in(cast.admin).post(address(log), answers).status_code == 403
    assert callers(log) == ["referee", "referee", "referee"]


def test_once_the_log_was_changed_again_there_is_nothing_to_undo(
    log: DeadBallLog, observer: Client
) -> None:
    answer = observer.post(address(log), {"since": "2", "version": version(log)})
    here = answer.headers["Location"]
    assert "Exchanged from dead ball 2 on" in observer.get(here).text
    observer.post(address(log, "log_end"))
    assert "Exchanged from" not in observer.get(here).text


def test_an_address_that_was_made_up_offers_nothing_to_undo(
    cast: Cast, log: DeadBallLog, observer: Client
) -> None:
    now = version(log)
    for query in ("?since=1", f"?since=&version={now}", f"?since=x&version={now}"):
        page = observer.get(address(log, "log") + query)
        assert page.status_code == 200 and "Exchanged from" not in page.text
    read = signed_in(cast.admin).get(address(log, "log") + f"?since=1&version={now}").text
    assert "Exchanged from" not in read
