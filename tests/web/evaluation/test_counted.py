"""Counts of the dead-ball log beside the levels: said, suggested, and never chosen beforehand."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from evaluations.core.mechanics.facts import Kept
from evaluations.core.ratings import COMMENT_LIMIT
from evaluations.models import Evaluation, Observation
from tests.factories.accounts import Cast, signed_in
from tests.factories.logs import UMPIRE, begun_log, full_stops, log_with
from tests.factories.releases import write
from tests.web.evaluation.sending import A as STILL
from tests.web.evaluation.sending import address, post, send
from tests.web.reading import text_in

REASON = f"{STILL}-reason"


def see(client: Client, evaluation: Evaluation, page: str = "evaluation_form") -> str:
    return client.get(address(evaluation, page)).content.decode()


def row(page: str, control: str = f"{STILL}-level") -> str:
    """The part of a page that asks about one criterion."""
    return next(part for part in page.split('<div class="row">') if f'name="{control}"' in part)


def line(page: str, control: str = f"{STILL}-level") -> str:
    """The shaded line of a criterion."""
    return text_in(row(page, control), "counted")


def points(page: str, mark: str) -> list[str]:
    """The levels whose points carry this mark."""
    inputs = re.findall(r"<input[^>]*>", row(page))
    return [re.findall(r'value="(\w+)"', i)[0] for i in inputs if mark in i]


# --- Said -----------------------------------------------------------------------------------------
def test_count_share_interval_suggestion_and_misses_stand_beside_the_level(
    observer: Client, observation: Observation, evaluation: Evaluation
) -> None:
    log_with(observation, full_stops(met=8, not_met=2, not_judged=3))
    page = see(observer, evaluation)
    assert line(page) == (
        "8 of 10 met, 3 not judged; 80 %; 95 % interval 49 to 94 %; suggests nearly always. "
        "Not met at dead balls 9 , 10 ."
    )
    for number in (9, 10):
        place = reverse("evaluations:dead_ball", args=["rivers", observation.pk, number])
        assert f'<a href="{place}">{number}</a>' in row(page)


def test_with_few_judged_the_suggestion_is_a_range(
    observer: Client, observation: Observation, evaluation: Evaluation
) -> None:
    log_with(observation, full_stops(met=4, not_met=1))
    assert "95 % interval 38 to 96 %; suggests at times to nearly always." in line(
        see(observer, evaluation)
    )


def test_nothing_is_chosen_whatever_the_count_suggests(
    observer: Client, observation: Observation, evaluation: Evaluation
) -> None:
    log_with(observation, full_stops(met=8, not_met=2))
    assert not re.findall(r"<input[^>]* checked", see(observer, evaluation))


def test_below_the_minimum_it_says_not_enough_seen_and_asks_for_no_reason(
    observer: Client, observation: Observation, evaluation: Evaluation
) -> None:
    log_with(observation, full_stops(met=2, not_met=1, not_judged=4))
    page = see(observer, evaluation)
    assert line(page) == (
        "Not enough seen: 3 of the 5 needed were judged. Not met at dead ball 3 ."
    )
    assert REASON not in page
    assert points(page, "data-departs") == []


def test_a_log_of_what_struck_the_observer_gives_examples_alone(
    observer: Client, observation: Observation, evaluation: Evaluation
) -> None:
    log_with(observation, full_stops(met=8, not_met=2), kept=Kept.STRIKING)
    page = see(observer, evaluation)
    assert line(page) == (
        "Examples only: the log has what struck the observer. Not met at dead balls 9 , 10 ."
    )
    for word in ("interval", "suggests", "80 %", "8 of 10", REASON):
        assert word not in row(page)


def test_without_a_log_a_form_says_nothing_of_counts(
    observer: Client, observation: Observation, evaluation: Evaluation
) -> None:
    assert 'class="counted"' not in see(observer, evaluation)
    begun_log(observation)
    assert 'class="counted"' not in see(observer, evaluation)


def test_a_criterion_that_names_no_finding_has_no_count(
    observer: Client, observation: Observation, evaluation: Evaluation
) -> None:
    log_with(observation, full_stops(met=8, not_met=2))
    assert 'class="counted"' not in row(see(observer, evaluation), "arm-with-whistle-level")


def test_in_spanish_the_level_is_suggested_by_its_spanish_word(
    cast: Cast, observation: Observation, evaluation: Evaluation
) -> None:
    log_with(observation, full_stops(met=8, not_met=2))
    cast.observer.user.language = "es"
    cast.observer.user.save()
    assert "casi siempre" in line(see(signed_in(cast.observer), evaluation))


def test_each_of_a_crew_has_the_own_count(observer: Client, observation: Observation) -> None:
    log_with(
        observation, [*full_stops(met=8, not_met=2), *full_stops(met=1, not_met=4, caller=UMPIRE)]
    )
    page = observer.get(reverse("evaluations:crew_form", args=["rivers", observation.pk]))
    text = page.content.decode()
    first, second = observation.evaluations.order_by("position")
    assert line(text, f"of-{first.pk}-{STILL}-level").startswith("8 of 10 met;")
    assert line(text, f"of-{second.pk}-{STILL}-level").startswith("1 of 5 met;")
    assert f'name="of-{second.pk}-{REASON}"' in text


# --- Another level --------------------------------------------------------------------------------
def test_at_levels_that_are_not_suggested_the_reason_is_asked_for(
    observer: Client, observation: Observation, evaluation: Evaluation
) -> None:
    log_with(observation, full_stops(met=4, not_met=8))  # 33 %, and 14 to 61 %
    page = see(observer, evaluation)
    assert points(page, "data-departs") == ["1", "3", "4", "5"]
    assert points(page, "data-at-odds") == ["4", "5"]
    assert "Why not as counted?" in row(page)
    assert text_in(row(page), "at-odds") == (
        "The log has 4 of 12 met, and this level says otherwise. Both will stand in the letter. "
        "Look once more, or say why."
    )
    described = re.findall(r'value="5"[^>]*aria-describedby="([^"]+)"', row(page))
    assert described == [f"id_{STILL}-level_4_wording id_{STILL}-level_at_odds"]
    assert f'id="id_{STILL}-level_at_odds"' in page


@pytest.mark.parametrize("sending", [post, send], ids=["by its button", "by its script"])
def test_a_reason_is_kept_however_it_is_sent(
    observer: Client, observation: Observation, evaluation: Evaluation, sending: Any
) -> None:
    log_with(observation, full_stops(met=2, not_met=8))
    sending(observer, evaluation, {f"{STILL}-level": "3", REASON: "The table held six of them."})
    kept = evaluation.ratings.get()
    assert (kept.level, kept.reason) == (3, "The table held six of them.")
    assert "The table held six of them." in row(see(observer, evaluation))


def test_a_reason_alone_can_be_sent_and_emptied(
    observer: Client, observation: Observation, evaluation: Evaluation
) -> None:
    log_with(observation, full_stops(met=2, not_met=8))
    send(observer, evaluation, {f"{STILL}-level": "3"})
    evaluation.refresh_from_db()
    send(observer, evaluation, {REASON: "At first."})
    assert evaluation.ratings.get().reason == "At first."
    evaluation.refresh_from_db()
    send(observer, evaluation, {REASON: ""})
    assert (evaluation.ratings.get().level, evaluation.ratings.get().reason) == (3, "")


def test_a_reason_goes_to_the_one_of_the_crew_whom_it_is_about(
    observer: Client, observation: Observation
) -> None:
    log_with(
        observation, [*full_stops(met=2, not_met=8), *full_stops(met=2, not_met=8, caller=UMPIRE)]
    )
    first, second = observation.evaluations.order_by("position")
    fields = {
        "version": "1-1",
        f"of-{second.pk}-{STILL}-level": "4",
        f"of-{second.pk}-{REASON}": "Each time behind the bench's row.",
    }
    page = reverse("evaluations:crew_save", args=["rivers", observation.pk])
    assert observer.post(page, fields, headers={"Accept": "application/json"}).status_code == 200
    assert second.ratings.get().reason == "Each time behind the bench's row."
    assert not first.ratings.exists()


def test_a_reason_over_the_limit_is_refused_at_its_field(
    observer: Client, observation: Observation, evaluation: Evaluation
) -> None:
    log_with(observation, full_stops(met=2, not_met=8))
    answer = post(observer, evaluation, {REASON: "x" * (COMMENT_LIMIT + 1)})
    page = answer.content.decode()
    assert "at most 4000 characters" in page
    assert f'<a href="#id_{REASON}">' in page
    assert not evaluation.ratings.exists()


def test_where_no_reason_is_asked_for_what_was_written_stays(
    observer: Client, observation: Observation, evaluation: Evaluation
) -> None:
    written = write(evaluation)
    written.ratings.filter(criterion__key=STILL).update(reason="Of an earlier count.")
    written.refresh_from_db()
    post(observer, written, {f"{STILL}-level": "2", REASON: "Nobody asked."})
    kept = evaluation.ratings.get(criterion__key=STILL)
    assert (kept.level, kept.reason) == (2, "Of an earlier count.")


# --- The check page -------------------------------------------------------------------------------
def checked(observer: Client, evaluation: Evaluation) -> str:
    return " ".join(see(observer, evaluation, "evaluation_check").split())


def test_a_level_without_its_reason_is_still_open_and_leads_to_the_field(
    observer: Client, observation: Observation, evaluation: Evaluation
) -> None:
    log_with(observation, full_stops(met=6, not_met=4))
    write(evaluation, {STILL: 4})
    page = checked(observer, evaluation)
    assert "Stands still before the first sign: the level is not as counted. Say why" in page
    assert f'href="{address(evaluation)}#id_{REASON}"' in page
    assert f'id="id_{REASON}"' in see(observer, evaluation)
    assert "Where the level and the log differ" not in page


def test_a_level_at_odds_with_the_log_is_pointed_out_with_its_dead_balls(
    observer: Client, observation: Observation, evaluation: Evaluation
) -> None:
    log_with(observation, full_stops(met=2, not_met=7))
    write(evaluation, {STILL: 4})
    page = checked(observer, evaluation)
    assert "Where the level and the log differ" in page
    assert (
        "Stands still before the first sign: The log has 2 of 9 met; the level says “nearly "
        "always”. Not met at dead balls 3, 4, 5, 6, 7, 8, 9. Both will stand in the letter. Look "
        "once more, or say why."
    ) in page
    assert f'href="{address(evaluation)}#id_{STILL}-level_3"' in page
    assert "1 point still open" in page


def test_with_its_reason_it_is_a_remark_and_keeps_nothing_back(
    observer: Client, observation: Observation, evaluation: Evaluation
) -> None:
    log_with(observation, full_stops(met=2, not_met=7))
    written = write(evaluation, {STILL: 4})
    send(observer, written, {REASON: "The seven came from behind the bench's row."})
    page = checked(observer, evaluation)
    assert "Both will stand in the letter, with your reason." in page
    assert "Everything is there." in page
    evaluation.refresh_from_db()
    observer.post(address(evaluation, "evaluation_submit"), {"version": evaluation.version})
    evaluation.refresh_from_db()
    assert evaluation.state == "submitted"
    assert "Where the level and the log differ" not in checked(observer, evaluation)


def test_count_and_reason_stand_beside_the_level_in_the_score(
    observer: Client, observation: Observation, evaluation: Evaluation
) -> None:
    log_with(observation, full_stops(met=8, not_met=2))
    written = write(evaluation, {STILL: 3})
    send(observer, written, {REASON: "Two of the eight were a walk."})
    page = checked(observer, evaluation)
    assert "8 of 10 met; 80 %; 95 % interval 49 to 94 %; suggests nearly always." in page
    assert "not as counted: Two of the eight were a walk." in page


def test_a_name_in_a_reason_is_pointed_out(
    observer: Client, observation: Observation, evaluation: Evaluation
) -> None:
    log_with(observation, full_stops(met=8, not_met=2))
    written = write(evaluation, {STILL: 3})
    send(observer, written, {REASON: "Twice it was Jonas Weller in the way."})
    page = checked(observer, evaluation)
    assert "Stands still before the first sign: “Jonas Weller” looks like a name." in page
    assert f'href="{address(evaluation)}#id_{REASON}"' in page


# --- Bounds ---------------------------------------------------------------------------------------
@pytest.mark.parametrize("dead_balls", [6, 30])
def test_a_longer_log_costs_no_query_more(
    observer: Client,
    observation: Observation,
    evaluation: Evaluation,
    django_assert_max_num_queries: DjangoAssertNumQueries,
    dead_balls: int,
) -> None:
    log_with(observation, full_stops(met=dead_balls, not_met=0))
    written = write(evaluation)
    crew = reverse("evaluations:crew_form", args=["rivers", observation.pk])
    with django_assert_max_num_queries(30):
        observer.get(address(evaluation))
    with django_assert_max_num_queries(32):
        observer.get(crew)
    with django_assert_max_num_queries(46):
        observer.get(address(evaluation, "evaluation_check"))
    with django_assert_max_num_queries(46):
        send(observer, written, {f"{STILL}-level": "3"})
