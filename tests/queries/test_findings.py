"""What a season's logs add up to over the association, and which logs count."""

from __future__ import annotations

from datetime import date
from time import process_time
from typing import Any

import pytest
from pytest_django import DjangoAssertNumQueries

from accounts.models import Membership, Role
from evaluations.core.mechanics.facts import Eyes, Kept, Moment
from evaluations.core.mechanics.rules import RULES
from evaluations.core.mechanics.training import Tally
from evaluations.core.release import State
from evaluations.core.voice import PlainEnglish
from evaluations.models import (
    CrewMember,
    DeadBallLog,
    Evaluation,
    FindingCount,
    Game,
    Observation,
    Rubric,
)
from evaluations.queries.findings import Asked, SeasonFindings, levels_of_play, season_findings
from evaluations.queries.findings_pages import findings_page
from evaluations.services.misses import move_miss
from evaluations.services.seasons import enter_season
from tests.factories.accounts import Cast, member
from tests.factories.evaluations import BEFORE_SEASON, GAME_AT
from tests.factories.findings import (
    logged,
    new_rubric,
    season_of_switches,
    six_officials,
    switches,
)
from tests.factories.logs import REFEREE, lead_calls

SWITCH, EYES = "force_switch", "eyes_kept"


@pytest.fixture
def rubric(cast: Cast) -> Rubric:
    return new_rubric(cast)


def found(cast: Cast, rubric: Rubric, **asked: Any) -> SeasonFindings:
    return season_findings(cast.board, Asked(rubric.season, **asked))


def of(season: SeasonFindings, rule: str = SWITCH) -> Tally:
    [tally] = [one for one in season.tallies if one.rule == rule]
    return tally


# --- What is added up ----------------------------------------------------------------------------
def test_findings_are_added_up_over_games_and_officials(cast: Cast, rubric: Rubric) -> None:
    season_of_switches(cast, rubric, done=3, missed=2)
    season = found(cast, rubric)
    tally = of(season)
    assert season.observations == tally.observations == tally.officials == 6
    assert (tally.met, tally.judged) == (18, 30)
    assert (tally.met_by_met, tally.met_by_judged, tally.judged_by_judged) == (54, 90, 150)
    assert tally.shown and tally.interval is not None


def test_a_crews_miss_counts_once_also_when_it_is_nobodys_or_moved(
    cast: Cast, rubric: Rubric
) -> None:
    unwatched = lead_calls(None, eyes=Eyes(kept=False, lost=Moment.AFTER_REPORT))
    crew = (cast.official, cast.other_official)
    observation = logged(cast, rubric, crew, [unwatched, *switches(0, 1)], finished=False)
    move_miss(
        log=DeadBallLog.objects.get(observation=observation),
        number=2,
        rule=SWITCH,
        to=REFEREE,
        reason="He waved her off.",
        by=cast.observer,
        now=GAME_AT,
    )
    observation.evaluations.update(state=State.SUBMITTED)
    season = found(cast, rubric)
    for rule, judged_of in ((SWITCH, 1), (EYES, 2)):
        tally = of(season, rule)
        assert (tally.met, tally.judged, tally.officials) == (0, 1, judged_of)


def test_what_was_not_seen_is_in_no_share(cast: Cast, rubric: Rubric) -> None:
    crew = (cast.official, cast.other_official)
    logged(cast, rubric, crew, [lead_calls(None), *switches(1, 0)])
    tally = of(found(cast, rubric))
    assert (tally.met, tally.judged, tally.not_judged) == (1, 1, 1)


# --- Which logs count ----------------------------------------------------------------------------
def test_a_log_counts_once_all_its_forms_are_in(cast: Cast, rubric: Rubric) -> None:
    crew = (cast.official, cast.other_official)
    observation = logged(cast, rubric, crew, switches(1, 1), finished=False)
    nico, mara = observation.evaluations.all()
    states: list[tuple[State, State, int]] = [
        (State.DRAFT, State.DRAFT, 0),
        (State.SUBMITTED, State.DRAFT, 0),
        (State.SUBMITTED, State.RETURNED, 0),
        (State.SUBMITTED, State.SUBMITTED, 1),
        (State.RELEASED, State.RELEASED, 1),
    ]
    for first, second, counted in states:
        for form, state in ((nico, first), (mara, second)):
            note = "Look again." if state is State.RETURNED else ""
            Evaluation.objects.filter(pk=form.pk).update(state=state, returned_note=note)
        season = found(cast, rubric)
        assert (season.observations, season.unfinished) == (counted, 1 - counted)
        assert bool(season.tallies) is bool(counted)


def test_logs_of_what_struck_the_observer_are_left_out_and_counted_apart(
    cast: Cast, rubric: Rubric
) -> None:
    crew = (cast.official, cast.other_official)
    logged(cast, rubric, crew, switches(0, 3), kept=Kept.STRIKING)
    logged(cast, rubric, crew, switches(1, 0), days=1)
    season = found(cast, rubric)
    assert (season.observations, season.striking) == (1, 1)
    assert of(season).met == of(season).judged == 1


def test_nobody_reads_of_the_own_crew(cast: Cast, rubric: Rubric) -> None:
    both = member(cast.association, "Ash Remy", Role.OFFICIAL, Role.ADMIN)
    logged(cast, rubric, (both, cast.other_official), switches(0, 2))
    logged(cast, rubric, (cast.official, cast.other_official), switches(2, 0), days=1)
    own = season_findings(both, Asked(rubric.season))
    assert (own.observations, own.own, of(own).judged) == (1, 1, 2)
    others = season_findings(cast.admin, Asked(rubric.season))
    assert (others.observations, others.own, of(others).judged) == (2, 0, 4)


def test_other_seasons_and_associations_are_not_added(cast: Cast, rubric: Rubric) -> None:
    logged(cast, rubric, (cast.official, cast.other_official), switches(1, 1))
    last = enter_season(
        association=cast.association,
        name="2025–26",
        starts_on=date(2025, 9, 1),
        ends_on=date(2026, 4, 30),
        by=cast.admin,
        now=BEFORE_SEASON,
    )
    empty = season_findings(cast.admin, Asked(last))
    assert (empty.observations, empty.tallies) == (0, ())


def test_logs_are_narrowed_down_by_crew_level_and_how_they_were_kept(
    cast: Cast, rubric: Rubric
) -> None:
    two = (cast.official, cast.other_official)
    third = member(cast.association, "Remy Ash", Role.OFFICIAL)
    watched = lead_calls(None, before={}, eyes=Eyes(kept=True))
    logged(cast, rubric, two, switches(1, 1))
    logged(cast, rubric, (*two, third), [watched], days=1)
    sampled = logged(cast, rubric, two, switches(1, 0), days=2, kept=Kept.EVERY_NTH, every_nth=3)
    Game.objects.filter(pk=sampled.game_id).update(level_of_play="Junior")
    assert found(cast, rubric).observations == 3
    assert found(cast, rubric, crew_size=3).observations == 1
    assert of(found(cast, rubric, crew_size=3), EYES).officials == 3, "of three it is the crew's"
    assert of(found(cast, rubric, level_of_play="Junior")).judged == 1
    assert of(found(cast, rubric, kept=Kept.EVERY_FOUL, crew_size=2)).judged == 2
    assert levels_of_play(cast.board) == ["Junior", "Varsity"]


# --- What the page says --------------------------------------------------------------------------
def test_the_weakest_rule_has_the_exercise_of_the_criterion_that_counts_it(
    cast: Cast, rubric: Rubric
) -> None:
    season_of_switches(cast, rubric)
    page = findings_page(found(cast, rubric), PlainEnglish())
    [topic] = page.topics
    assert topic.line.label == "switch forced before the ball is live"
    assert topic.line.share == "60 %"
    [exercise] = topic.exercises
    assert exercise.criterion == "As non-caller, starts the switch unasked"
    assert exercise.try_this.startswith("When a report begins, set off at once")


def test_rules_that_would_speak_of_few_have_no_figures(cast: Cast, rubric: Rubric) -> None:
    crew = (cast.official, cast.other_official)
    for day in range(6):
        logged(cast, rubric, crew, switches(0, 5), days=day)
    page = findings_page(found(cast, rubric), PlainEnglish())
    assert page.topics == ()
    assert page.lines == ()
    assert "switch forced before the ball is live" in page.few


# --- What it costs -------------------------------------------------------------------------------
def many_logs(cast: Cast, rubric: Rubric, number: int) -> None:
    """Rows alone, as many as a season of a large association has."""
    first = logged(cast, rubric, six_officials(cast)[:2], switches(1, 1))
    plays_at, positions = first.game.plays_at, ("referee", "umpire")
    games = Game.objects.bulk_create(
        Game(season=rubric.season, plays_at=plays_at, level_of_play="Varsity", crew_size=2)
        for _ in range(number)
    )
    people: list[Membership] = [cast.official, cast.other_official]
    CrewMember.objects.bulk_create(
        CrewMember(game=game, official=official, position=position)
        for game in games
        for official, position in zip(people, positions, strict=True)
    )
    times = {"assigned_at": plays_at, "opened_at": plays_at, "due_at": plays_at}
    observations = Observation.objects.bulk_create(
        Observation(game=game, observer=cast.observer, rubric=rubric, **times) for game in games
    )
    Evaluation.objects.bulk_create(
        Evaluation(observation=o, official=cast.official, position="referee", state="submitted")
        for o in observations
    )
    logs = DeadBallLog.objects.bulk_create(
        DeadBallLog(observation=observation, began_at=plays_at) for observation in observations
    )
    FindingCount.objects.bulk_create(
        FindingCount(
            log=log,
            rule=rule.key,
            position=position,
            met=5,
            not_met=2,
            not_judged=1,
            by_option=0,
        )
        for log in logs
        for rule in RULES
        for position in positions
    )


def test_a_season_of_many_logs_is_added_up_in_three_queries_and_in_no_time(
    cast: Cast, rubric: Rubric, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    many_logs(cast, rubric, 400)
    began = process_time()
    with django_assert_num_queries(3):
        season = found(cast, rubric)
    assert process_time() - began < 1
    assert season.observations == 401
    assert of(season, EYES).judged == 400 * 14
