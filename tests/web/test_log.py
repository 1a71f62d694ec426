"""The page of a log: the table of dead balls, its counts, what can be put back; and its file."""

from __future__ import annotations

import json

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from accounts.models import Role
from evaluations.core.log_document import read_log
from evaluations.core.mechanics.facts import NumberShown, Report
from evaluations.models import DeadBallLog, Observation, Rubric
from evaluations.queries.logs import log_value
from evaluations.services.log_edits import end_log, remove_dead_ball
from tests.factories.accounts import Cast, member, signed_in
from tests.factories.logs import lead_calls, log_with
from tests.factories.releases import THAT_NIGHT, crew_of, hand_in


@pytest.fixture
def log(cast: Cast) -> DeadBallLog:
    """Dead ball 1 with a missed switch and a jersey number, 2 without a miss."""
    shown = Report(player="23", number_shown=NumberShown.AT_ONCE)
    balls = [
        lead_calls(False, period=2, clock="4:31", report=shown),
        lead_calls(True, note="They spoke about it."),
    ]
    return log_with(crew_of(cast), balls)


def address(log: DeadBallLog, name: str = "log", *parts: int) -> str:
    observation = log.observation
    slug = observation.game.season.association.slug
    return reverse(f"evaluations:{name}", args=[slug, observation.pk, *parts])


@pytest.fixture
def observer(cast: Cast) -> Client:
    return signed_in(cast.observer)


def test_the_table_says_what_was_called_what_was_due_and_whose_the_miss_was(
    log: DeadBallLog, observer: Client
) -> None:
    page = observer.get(address(log)).text
    assert "shooting or bonus foul, referee" in page
    assert "free throws, same direction, front court" in page
    assert "trail, table side" in page
    assert "switch forced before the ball is live (umpire)" in page
    assert "period 2, 4:31" in page
    assert "They spoke about it." in page
    assert f'href="{address(log, "dead_ball", 1)}"' in page


def test_the_observer_is_led_on_and_at_the_end_to_the_card(
    cast: Cast, log: DeadBallLog, observer: Client
) -> None:
    page = observer.get(address(log)).text
    assert f'class="button primary" href="{address(log, "live_log")}"' in page
    for name in ("dead_ball_add", "log_exchange", "log_terms", "log_end", "crew_view", "log_file"):
        assert f'href="{address(log, name)}"' in page
    end_log(log=log, by=cast.observer, now=THAT_NIGHT)
    page = observer.get(address(log)).text
    assert f'class="button primary" href="{address(log, "talk_card")}"' in page
    assert f'href="{address(log, "live_log")}"' not in page
    assert "final whistle" in page


def test_an_admin_reads_the_table_without_a_way_to_change_it_and_without_jersey_numbers(
    cast: Cast, log: DeadBallLog
) -> None:
    page = signed_in(cast.admin).get(address(log)).text
    assert "switch forced before the ball is live (umpire)" in page
    assert f'href="{address(log, "crew_view")}"' in page
    for name in ("dead_ball_add", "log_exchange", "log_terms", "log_end", "log_file", "talk_card"):
        assert f'href="{address(log, name)}"' not in page
    assert f'href="{address(log, "dead_ball", 1)}"' not in page
    assert "23" not in page.partition("<main")[2].replace(f"/{log.observation_id}/", "")


def test_a_log_is_not_there_for_others(cast: Cast, log: DeadBallLog) -> None:
    whistling = member(cast.association, "Rhea Sand", Role.ADMIN, Role.OFFICIAL)
    log.observation.game.crew.filter(official=cast.other_official).update(official=whistling)
    for somebody in (cast.other_observer, whistling, cast.other_admin):
        assert signed_in(somebody).get(address(log)).status_code == 404
    for somebody in (cast.official, cast.board):
        assert signed_in(somebody).get(address(log)).status_code == 403


def test_without_a_log_the_observer_is_led_to_begin_one_and_nobody_else_finds_a_page(
    cast: Cast,
) -> None:
    observation = crew_of(cast)
    here = reverse("evaluations:log", args=[cast.slug, observation.pk])
    begin = reverse("evaluations:log_begin", args=[cast.slug, observation.pk])
    assert signed_in(cast.observer).get(here).headers["Location"] == begin
    assert signed_in(cast.admin).get(here).status_code == 404
    assert signed_in(cast.other_observer).get(here).status_code == 404


def test_what_was_removed_stands_below_and_is_put_back(
    cast: Cast, log: DeadBallLog, observer: Client
) -> None:
    removed = observer.post(address(log, "dead_ball_remove", 1), follow=True)
    assert "Dead ball 1 is removed" in removed.text
    assert "Dead ball 1: shooting or bonus foul, referee" in removed.text
    assert 'id="ball-1"' not in removed.text
    back = observer.post(address(log, "dead_ball_restore", 1), follow=True)
    assert "Dead ball 1 is back in the log." in back.text
    assert 'id="ball-1"' in back.text


def test_removing_and_putting_back_are_the_observers_while_a_form_is_open(
    cast: Cast, log: DeadBallLog, observer: Client
) -> None:
    for name in ("dead_ball_remove", "dead_ball_restore"):
        assert signed_in(cast.other_observer).post(address(log, name, 1)).status_code == 404
        assert signed_in(cast.admin).post(address(log, name, 1)).status_code == 403
        assert observer.post(address(log, name, 9)).status_code == 404
        assert observer.get(address(log, name, 1)).status_code == 405
    remove_dead_ball(dead_ball=log.dead_balls.get(number=2), by=cast.observer, now=THAT_NIGHT)
    for evaluation in log.observation.evaluations.all():
        hand_in(evaluation)
    page = observer.post(address(log, "dead_ball_remove", 1), follow=True).text
    assert "so that its log stays as it is" in page and 'id="ball-1"' in page
    page = observer.post(address(log, "dead_ball_restore", 2), follow=True).text
    assert "so that its log stays as it is" in page and "Put it back" not in page
    assert f'href="{address(log, "dead_ball_add")}"' not in page


def test_a_name_in_a_note_is_pointed_out(cast: Cast, observer: Client) -> None:
    log = log_with(crew_of(cast), [lead_calls(True, note="Talked to Jonas Weller of white.")])
    page = observer.get(address(log)).text
    assert "“Jonas Weller” stands in the note of dead ball 1." in page


def test_without_a_mechanics_code_the_facts_stand_alone(log: DeadBallLog, observer: Client) -> None:
    Rubric.objects.update(code_of_two=None)
    page = observer.get(address(log)).text
    assert "Caution: no mechanics code for this crew" in page
    assert "shooting or bonus foul, referee" in page
    assert "not judged" not in page


def test_an_empty_log_says_what_to_do_first(cast: Cast, observer: Client) -> None:
    log = log_with(crew_of(cast), [])
    assert "Log the next whistle live" in observer.get(address(log)).text
    assert "as the observer logs them" in signed_in(cast.admin).get(address(log)).text


def test_the_page_takes_a_bounded_number_of_queries(
    cast: Cast, observer: Client, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    log = log_with(crew_of(cast), [lead_calls(False, note="A word.") for _ in range(25)])
    with django_assert_max_num_queries(21):
        observer.get(address(log))


# --- The file ------------------------------------------------------------------------------------
def test_the_file_is_the_log_in_the_documented_format(log: DeadBallLog, observer: Client) -> None:
    answer = observer.get(address(log, "log_file"))
    assert answer.headers["Content-Type"] == "application/json"
    assert answer.headers["Content-Disposition"].startswith('attachment; filename="log-2026-11-10')
    assert read_log(answer.content) == log_value(log)
    assert json.loads(answer.content)["schema"] == 1


def test_the_file_holds_jersey_numbers_and_is_the_observers_alone(
    cast: Cast, log: DeadBallLog, observer: Client
) -> None:
    assert '"player": "23"' in observer.get(address(log, "log_file")).text
    assert signed_in(cast.admin).get(address(log, "log_file")).status_code == 403
    assert signed_in(cast.other_observer).get(address(log, "log_file")).status_code == 404


# --- Ways to it ----------------------------------------------------------------------------------
def test_an_observation_leads_to_its_log(cast: Cast, observer: Client) -> None:
    observation = crew_of(cast)
    here = reverse("evaluations:observation", args=[cast.slug, observation.pk])
    begin = reverse("evaluations:log_begin", args=[cast.slug, observation.pk])
    assert f'href="{begin}"' in observer.get(here).text
    assert f'href="{begin}"' not in signed_in(cast.admin).get(here).text
    log = log_with(observation, [lead_calls(True), lead_calls(True)])
    page = observer.get(here).text
    assert f'href="{address(log)}"' in page and "2 dead balls" in page
    assert f'href="{begin}"' not in page
    assert f'href="{address(log)}"' in signed_in(cast.admin).get(here).text


def test_before_the_talk_logging_comes_first_and_the_facts_after_the_final_whistle(
    cast: Cast, observer: Client
) -> None:
    log = log_with(crew_of(cast), [lead_calls(True)])
    Observation.objects.update(talk="")
    here = address(log, "observation")
    facts = f'class="button primary" href="{address(log, "observation_facts")}"'
    page = observer.get(here).text
    assert f'class="button primary" href="{address(log, "live_log")}"' in page
    assert facts not in page
    end_log(log=log, by=cast.observer, now=THAT_NIGHT)
    assert facts in observer.get(here).text


def test_the_observers_lists_name_the_log(cast: Cast, log: DeadBallLog, observer: Client) -> None:
    for name in ("own_observations", "home"):
        page = observer.get(reverse(f"evaluations:{name}", args=[cast.slug])).text
        assert f'href="{address(log)}"' in page
        assert "2 dead balls" in page
