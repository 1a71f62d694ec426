"""Beginning a log, and keeping it differently later."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from evaluations.core.mechanics.facts import Kept
from evaluations.models import DeadBallLog, Observation, Rubric
from evaluations.services.observations import close_observation
from tests.factories.accounts import Cast, signed_in
from tests.factories.logs import begun_log
from tests.factories.releases import THAT_NIGHT, crew_of, hand_in

ANSWERS: dict[str, Any] = {
    "seat": "left_end",
    "left_end": "umpire",
    "source": "live",
    "kept": "every_foul",
    "every_nth": "",
    "focus": ["full_stop", "eyes_kept"],
    "asked": "asked",
    "agreed": ["caller_lead_opposite"],
}


@pytest.fixture
def observation(cast: Cast) -> Observation:
    return crew_of(cast)


@pytest.fixture
def observer(cast: Cast) -> Client:
    return signed_in(cast.observer)


def address(observation: Observation, name: str = "log_begin") -> str:
    slug = observation.game.season.association.slug
    return reverse(f"evaluations:{name}", args=[slug, observation.pk])


def errors(client: Client, where: str, **changes: Any) -> dict[str, list[str]]:
    page = client.post(where, {**ANSWERS, **changes})
    assert page.status_code == 200
    found: dict[str, list[str]] = page.context["form"].errors
    return found


def test_the_answers_begin_a_log_and_lead_to_the_live_one(
    observation: Observation, observer: Client
) -> None:
    answer = observer.post(address(observation), ANSWERS)
    assert answer.headers["Location"] == address(observation, "live_log")
    log = DeadBallLog.objects.get()
    assert (log.seat, log.left_end, log.source, log.kept) == (
        "left_end",
        "umpire",
        "live",
        "every_foul",
    )
    assert (log.focus, log.agreed) == (["full_stop", "eyes_kept"], ["caller_lead_opposite"])


def test_nothing_is_chosen_before_and_each_way_to_keep_it_says_what_counts_will_mean(
    observation: Observation, observer: Client
) -> None:
    page = observer.get(address(observation)).text
    assert "checked" not in page
    for meaning in (
        "Counts are of the whole game.",
        "A sample: every count comes with its margin.",
        "Examples only: no counts, no shares, no suggested levels.",
    ):
        assert meaning in page
    assert "the caller ends lead, opposite the table" in page
    assert "Nico Vale (referee)" in page and "not known yet" in page


def test_the_focus_is_of_what_can_be_seen_from_the_stand(
    observation: Observation, observer: Client
) -> None:
    page = observer.get(address(observation))
    offered = [key for key, _label in page.context["form"].fields["focus"].choices]
    assert "route_around" in offered
    assert not {"spoken", "benches_watched", "vision_wide", "end", "force_switch"} & {*offered}


def test_what_was_not_asked_or_not_known_is_kept_as_such(
    observation: Observation, observer: Client
) -> None:
    observer.post(
        address(observation),
        {**ANSWERS, "left_end": "not_known", "asked": "not_asked", "agreed": [], "focus": []},
    )
    log = DeadBallLog.objects.get()
    assert (log.left_end, log.agreed, log.focus) == ("", None, [])


def test_a_question_left_open_or_contradicting_is_pointed_out_at_its_field(
    observation: Observation, observer: Client
) -> None:
    where = address(observation)
    assert errors(observer, where, seat="") == {"seat": ["Say where you sit."]}
    assert errors(observer, where, left_end="")["left_end"]
    assert errors(observer, where, asked="")["asked"] == ["Say whether you asked."]
    assert "untick it" in errors(observer, where, asked="not_asked")["asked"][0]
    assert errors(observer, where, kept="every_nth") == {
        "every_nth": ["Give a number from 2 to 10."]
    }
    assert errors(observer, where, kept="every_nth", every_nth="1")["every_nth"]
    three = ["full_stop", "eyes_kept", "route_around"]
    assert "two at most" in errors(observer, where, focus=three)["focus"][0]
    assert "Only film" in errors(observer, where, film_rules="on")["film_rules"][0]
    assert not DeadBallLog.objects.exists()


def test_every_nth_foul_is_kept_with_its_n_and_forgotten_otherwise(
    observation: Observation, observer: Client
) -> None:
    observer.post(address(observation), {**ANSWERS, "kept": "every_nth", "every_nth": "3"})
    assert DeadBallLog.objects.get().every_nth == 3
    observer.post(address(observation, "log_terms"), {**ANSWERS, "every_nth": "3"})
    log = DeadBallLog.objects.get()
    assert (log.kept, log.every_nth) == ("every_foul", None)


def test_a_crew_of_three_has_no_ends_to_carry_over(cast: Cast, observer: Client) -> None:
    crew = (cast.official, cast.other_official, cast.young_official)
    observation = crew_of(cast, *crew)
    form = observer.get(address(observation)).context["form"]
    assert "left_end" not in form.fields
    answers = {**ANSWERS, "agreed": [], "focus": ["full_stop"]}
    assert observer.post(address(observation), answers).status_code == 302
    assert DeadBallLog.objects.get().left_end == ""


def test_without_a_code_there_is_nothing_to_agree_on(
    observation: Observation, observer: Client
) -> None:
    Rubric.objects.update(code_of_two=None)
    form = observer.get(address(observation)).context["form"]
    assert not {"asked", "agreed"} & form.fields.keys()


def test_a_log_is_begun_once(observation: Observation, observer: Client) -> None:
    begun_log(observation)
    for answer in (observer.get(address(observation)), observer.post(address(observation))):
        assert answer.headers["Location"] == address(observation, "log")
    assert DeadBallLog.objects.count() == 1


def test_a_log_is_begun_by_who_was_sent_while_the_observation_is_open(
    cast: Cast, observation: Observation, observer: Client
) -> None:
    assert signed_in(cast.other_observer).get(address(observation)).status_code == 404
    assert signed_in(cast.admin).get(address(observation)).status_code == 403
    close_observation(observation=observation, reason="Ill", by=cast.admin, now=THAT_NIGHT)
    page = observer.post(address(observation), ANSWERS, follow=True)
    assert "A log is begun while the observation is open." in page.text
    assert not DeadBallLog.objects.exists()


# --- Terms ---------------------------------------------------------------------------------------
def test_the_terms_are_shown_as_they_are_and_changed(
    observation: Observation, observer: Client
) -> None:
    begun_log(observation, focus=["route_around"], agreed=None, left_end=None)
    form = observer.get(address(observation, "log_terms")).context["form"]
    assert (form["asked"].value(), form["left_end"].value()) == ("not_asked", "not_known")
    assert (form["seat"].value(), form["focus"].value()) == ("table", ["route_around"])
    answers = {**ANSWERS, "source": "film", "film_rules": "on", "kept": "striking"}
    page = observer.post(address(observation, "log_terms"), answers, follow=True)
    assert "What is logged is judged anew." in page.text
    log = DeadBallLog.objects.get()
    assert (log.source, log.film_rules, log.kept) == ("film", True, Kept.STRIKING)


def test_the_terms_stay_once_all_forms_are_in(observation: Observation, observer: Client) -> None:
    begun_log(observation)
    for evaluation in observation.evaluations.all():
        hand_in(evaluation)
    where = address(observation, "log_terms")
    assert "<form method" not in observer.get(where).text.partition("<main")[2]
    page = observer.post(where, ANSWERS)
    assert "so that its log stays as it is" in page.text
    assert page.context["form"]["seat"].value() == "left_end"
    assert DeadBallLog.objects.get().seat == "table"


def test_the_terms_are_the_observers(cast: Cast, observation: Observation) -> None:
    begun_log(observation)
    assert signed_in(cast.other_observer).get(address(observation, "log_terms")).status_code == 404
    assert signed_in(cast.admin).get(address(observation, "log_terms")).status_code == 403
