"""The final whistle, its taking back, and the card for the talk."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from evaluations.core.mechanics.facts import Kept
from evaluations.models import DeadBallLog, Observation
from tests.factories.accounts import Cast, signed_in
from tests.factories.logs import full_stops, lead_calls, log_with
from tests.factories.releases import crew_of, hand_in


@pytest.fixture
def observer(cast: Cast) -> Client:
    return signed_in(cast.observer)


@pytest.fixture
def log(cast: Cast) -> DeadBallLog:
    """Seven full stops of seven, and a switch that the umpire did not force, twice."""
    return log_with(crew_of(cast), [*full_stops(7, 0), lead_calls(False), lead_calls(False)])


def address(log: DeadBallLog, name: str) -> str:
    slug = log.observation.game.season.association.slug
    return reverse(f"evaluations:{name}", args=[slug, log.observation_id])


def ended(log: DeadBallLog) -> bool:
    log.refresh_from_db()
    return log.ended_at is not None


def test_the_final_whistle_says_what_it_does_and_leads_to_the_card(
    log: DeadBallLog, observer: Client
) -> None:
    page = observer.get(address(log, "log_end")).text
    assert "the final whistle can be taken back" in page
    assert not ended(log)
    answer = observer.post(address(log, "log_end"))
    assert answer.headers["Location"] == address(log, "talk_card")
    assert ended(log)


def test_the_final_whistle_is_taken_back(log: DeadBallLog, observer: Client) -> None:
    observer.post(address(log, "log_end"))
    page = observer.get(address(log, "log_end")).text
    assert f'action="{address(log, "log_end_undo")}"' in page
    back = observer.post(address(log, "log_end_undo"), follow=True)
    assert "The log goes on." in back.text
    assert not ended(log)


def test_the_final_whistle_is_the_observers_while_a_form_is_open(
    cast: Cast, log: DeadBallLog, observer: Client
) -> None:
    for name in ("log_end", "log_end_undo"):
        assert signed_in(cast.other_observer).post(address(log, name)).status_code == 404
        assert signed_in(cast.admin).post(address(log, name)).status_code == 403
    for evaluation in log.observation.evaluations.all():
        hand_in(evaluation)
    for name in ("log_end", "log_end_undo"):
        page = observer.post(address(log, name), follow=True)
        assert "so that its log stays as it is" in page.text
    assert not ended(log)


# --- The card ------------------------------------------------------------------------------------
def test_the_card_has_one_strength_and_whose_duty_the_changes_were(
    log: DeadBallLog, observer: Client
) -> None:
    main = observer.get(address(log, "talk_card")).text.partition("<main")[2]
    strength, _, changes = main.partition('id="changes"')
    assert "Full stop before speaking" in strength and "7 of 7" in strength
    assert "Force the switch before the ball is live." in changes
    assert "0 of 2" in changes
    assert "<b>Mara Odell</b>: dead balls 8, 9" in changes


def test_what_struck_the_observer_gives_examples_and_no_counts(
    log: DeadBallLog, observer: Client
) -> None:
    DeadBallLog.objects.update(kept=Kept.STRIKING)
    page = observer.get(address(log, "talk_card")).text
    assert "<b>Mara Odell</b>: dead balls 8, 9" in page
    assert "7 of 7" not in page and "0 of 2" not in page
    assert "Examples: the log has what struck you, and no counts." in page


def test_a_card_of_a_log_that_holds_nothing_to_judge_says_so(cast: Cast, observer: Client) -> None:
    log = log_with(crew_of(cast), [])
    page = observer.get(address(log, "talk_card")).text
    assert "Nothing was judged" in page
    assert "One strength" not in page


def test_without_a_miss_or_a_strength_the_card_does_not_make_one_up(
    cast: Cast, observer: Client
) -> None:
    log = log_with(crew_of(cast), full_stops(3, 0))
    page = observer.get(address(log, "talk_card")).text
    assert "Name one that you saw yourself." in page
    assert "No miss was logged." in page


def test_the_talk_with_an_official_under_18_is_in_sight_of_another_adult(
    cast: Cast, observer: Client
) -> None:
    log = log_with(crew_of(cast, cast.official, cast.young_official), [lead_calls(True)])
    page = observer.get(address(log, "talk_card")).text
    assert "Have the talk with Kit Larkin in sight of another adult." in page


def test_the_card_leads_to_what_is_said_of_the_talk(log: DeadBallLog, observer: Client) -> None:
    facts = f'href="{address(log, "observation_facts")}"'
    assert facts not in observer.get(address(log, "talk_card")).text
    Observation.objects.update(talk="")
    assert facts in observer.get(address(log, "talk_card")).text


def test_the_card_is_the_observers_alone(cast: Cast, log: DeadBallLog) -> None:
    for somebody in (cast.admin, cast.official, cast.board):
        assert signed_in(somebody).get(address(log, "talk_card")).status_code == 403
    assert signed_in(cast.other_observer).get(address(log, "talk_card")).status_code == 404
