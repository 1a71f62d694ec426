"""Logs as observers and admins may see them, in words, counted, and as a card for the talk."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from pytest_django import DjangoAssertNumQueries

from accounts.models import Membership, Role
from evaluations.core.mechanics.facts import Eyes, Kept, Moment, Report
from evaluations.models import DeadBallLog, Observation
from evaluations.queries.log_pages import (
    LogSheet,
    facts_mark,
    is_writable,
    last_period,
    log_sheet,
    options_to_agree,
    own_logs,
    talk_sheet,
)
from evaluations.queries.logs import logs_for
from evaluations.queries.work import observed, to_do
from evaluations.services.log_edits import remove_dead_ball
from evaluations.services.observations import close_observation
from evaluations.voice import SiteVoice
from tests.factories.accounts import Cast, member
from tests.factories.evaluations import GAME_AT, game_with, open_observation
from tests.factories.logs import UMPIRE, full_stops, lead_calls, log_with
from tests.factories.releases import THAT_NIGHT, crew_of, hand_in

ENGLISH = SiteVoice("en")


@pytest.fixture
def observation(cast: Cast) -> Observation:
    return crew_of(cast)


def log_of_six(observation: Observation, **terms: Any) -> DeadBallLog:
    """The referee stops 3 times of 4, the umpire once of 2; one switch of two is missed."""
    return log_with(
        observation,
        [
            *full_stops(3, 1),
            lead_calls(True, UMPIRE, report=Report(full_stop=True)),
            lead_calls(False, UMPIRE, report=Report(full_stop=False), note="Ask Jonas Weller."),
        ],
        **terms,
    )


def sheet(log: DeadBallLog, asker: Membership) -> LogSheet:
    return log_sheet(logs_for(asker).get(pk=log.pk), asker, ENGLISH)


def tally(found: LogSheet) -> dict[str, list[str]]:
    """Each rule with its cells as the page reads them."""
    return {
        row.rule: [
            "" if cell is None else f"{cell.figure or '-'} {list(cell.missed_at)}"
            for _official, cell in row.of_crew
        ]
        for row in found.tally
    }


# --- Who sees a log ------------------------------------------------------------------------------
def test_a_log_is_seen_by_its_observer_and_by_admins_outside_the_crew(
    cast: Cast, observation: Observation
) -> None:
    log = log_of_six(observation)
    seen = {
        who: list(logs_for(getattr(cast, who)))
        for who in ("observer", "admin", "other_observer", "official", "board", "other_admin")
    }
    assert seen == {
        "observer": [log],
        "admin": [log],
        "other_observer": [],
        "official": [],
        "board": [],
        "other_admin": [],
    }
    assert list(own_logs(cast.observer)) == [log]
    assert not own_logs(cast.admin).exists()


def test_an_admin_does_not_see_the_log_of_the_own_crew(cast: Cast) -> None:
    whistling = member(cast.association, "Rhea Sand", Role.ADMIN, Role.OFFICIAL)
    log_of_six(crew_of(cast, cast.official, whistling))
    assert not logs_for(whistling).exists()
    assert logs_for(cast.admin).count() == 1


# --- The sheet -----------------------------------------------------------------------------------
def test_a_sheet_tells_and_counts_each_dead_ball(cast: Cast, observation: Observation) -> None:
    found = sheet(log_of_six(observation), cast.observer)
    assert [row.number for row in found.rows] == [1, 2, 3, 4, 5, 6]
    assert [(line.rule, line.whose) for line in found.rows[5].told.not_met] == [
        ("full stop before speaking", "umpire"),
        ("switch forced before the ball is live", "referee"),
    ]
    assert tally(found) == {
        "full stop before speaking": ["3 of 4 [4]", "1 of 2 [6]"],
        "right end when the ball is live": ["1 of 1 []", "1 of 1 []"],
        "switch forced before the ball is live": ["1 of 2 [6]", "- []"],
    }
    assert (found.mine, found.changeable) == (True, True)
    assert [row.name for row in found.rows if row.name] == ["Jonas Weller"]


def test_an_admin_reads_the_sheet_and_changes_nothing(cast: Cast, observation: Observation) -> None:
    log = log_of_six(observation)
    remove_dead_ball(dead_ball=log.dead_balls.get(number=6), by=cast.observer, now=THAT_NIGHT)
    read = sheet(log, cast.admin)
    assert (read.mine, read.changeable, read.removed) == (False, False, ())
    assert [row.number for row in read.rows] == [1, 2, 3, 4, 5]
    own = sheet(log, cast.observer)
    assert [row.number for row in own.removed] == [6]


def test_what_struck_the_observer_gives_places_and_no_counts(
    cast: Cast, observation: Observation
) -> None:
    found = sheet(log_of_six(observation, kept=Kept.STRIKING), cast.observer)
    assert tally(found)["full stop before speaking"] == ["- [4]", "- [6]"]
    assert all(not cell.aside for row in found.tally for _who, cell in row.of_crew if cell)


def test_a_sample_is_counted_with_its_interval(cast: Cast, observation: Observation) -> None:
    log = log_with(observation, full_stops(5, 1), kept=Kept.EVERY_NTH, every_nth=3)
    [stops] = [row for row in sheet(log, cast.observer).tally if row.rule.startswith("full stop")]
    _referee, cell = stops.of_crew[0]
    assert cell is not None
    assert (cell.figure, cell.aside) == ("5 of 6", "95 % interval 44 to 97 %")
    log.kept, log.every_nth = Kept.EVERY_FOUL, None
    log.save()
    whole = sheet(log, cast.observer)
    assert {c.aside for row in whole.tally for _who, c in row.of_crew if c} == {""}


def test_a_miss_after_the_report_is_nobodys_in_particular(
    cast: Cast, observation: Observation
) -> None:
    unwatched = Eyes(kept=False, lost=Moment.AFTER_REPORT)
    found = sheet(log_with(observation, [lead_calls(None, eyes=unwatched)]), cast.observer)
    [faced] = [row for row in found.tally if row.nobodys]
    assert (faced.rule, faced.nobodys) == ("players faced all the time", (1,))
    assert found.some_are_nobodys


def test_a_sheet_takes_as_many_queries_for_thirty_dead_balls_as_for_one(
    cast: Cast, observation: Observation, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    log = log_with(observation, [lead_calls(False, note="A word.") for _ in range(30)])
    with django_assert_max_num_queries(13):
        sheet(log, cast.observer)


# --- Small questions -----------------------------------------------------------------------------
def test_what_a_crew_can_agree_on_comes_from_the_code_that_holds(observation: Observation) -> None:
    assert options_to_agree(observation) == ("caller_lead_opposite",)
    observation.rubric = None
    assert options_to_agree(observation) == ()


def test_a_log_is_writable_until_the_last_form_is_in_or_it_is_closed(
    cast: Cast, observation: Observation
) -> None:
    first, second = observation.evaluations.order_by("position")
    hand_in(first)
    assert is_writable(observation)
    hand_in(second)
    assert not is_writable(observation)


def test_the_log_of_a_closed_observation_is_not_writable(
    cast: Cast, observation: Observation
) -> None:
    closed = close_observation(observation=observation, reason="Ill", by=cast.admin, now=THAT_NIGHT)
    assert not is_writable(closed)


def test_the_period_carries_over_from_the_last_dead_ball_that_stands(
    cast: Cast, observation: Observation
) -> None:
    log = log_with(observation, [lead_calls(True, period=2), lead_calls(True, period=3)])
    assert last_period(log) == 3
    remove_dead_ball(dead_ball=log.dead_balls.get(number=2), by=cast.observer, now=THAT_NIGHT)
    assert last_period(log) == 2
    log.dead_balls.all().delete()
    assert last_period(log) is None


def test_a_mark_stands_for_the_facts_and_nothing_else(observation: Observation) -> None:
    log = log_with(observation, [lead_calls(True), lead_calls(True), lead_calls(False)])
    first, same, other = (facts_mark(row) for row in log.dead_balls.order_by("number"))
    assert first == same != other


# --- The card for the talk -----------------------------------------------------------------------
def test_a_card_names_a_strength_and_whose_duty_the_changes_were(
    cast: Cast, observation: Observation
) -> None:
    stops = full_stops(7, 0)
    log = log_with(observation, [*stops, *(lead_calls(False) for _ in range(2))])
    card = talk_sheet(log, ENGLISH)
    assert card.strength is not None
    assert (card.strength.rule, card.strength.met, card.strength.judged) == (
        "full stop before speaking",
        7,
        7,
    )
    [change] = card.changes
    assert change.duty == "Force the switch before the ball is live."
    [example] = change.examples
    assert (str(example.who), example.dead_balls) == ("Mara Odell (umpire)", (8, 9))


def test_an_official_under_18_is_pointed_out_on_the_card(cast: Cast) -> None:
    log = log_of_six(crew_of(cast, cast.official, cast.young_official))
    assert talk_sheet(log, ENGLISH).young == ("Kit Larkin",)


def test_a_card_of_an_empty_log_says_nothing(observation: Observation) -> None:
    card = talk_sheet(log_with(observation, []), ENGLISH)
    assert (card.card.judged, card.strength, card.changes) == (False, None, ())


# --- Lists ---------------------------------------------------------------------------------------
def test_an_observers_lists_count_the_dead_balls_that_stand(
    cast: Cast, observation: Observation
) -> None:
    log = log_of_six(observation)
    remove_dead_ball(dead_ball=log.dead_balls.get(number=2), by=cast.observer, now=THAT_NIGHT)
    game = game_with(
        observation.game.season,
        cast.official,
        cast.other_official,
        plays_at=GAME_AT + timedelta(days=1),
    )
    assert observation.rubric is not None
    without = open_observation(game, cast.observer, observation.rubric)
    for rows in (observed(cast.observer), to_do(cast.observer)):
        counted = {row.pk: row.logged for row in rows}  # type: ignore[attr-defined]
        assert counted == {observation.pk: 5, without.pk: None}
