"""Whom a corrected code changes: by official, with counts, levels and letters; read in bulk."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from pytest_django import DjangoAssertNumQueries

from accounts.models import Membership
from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.counts import Levels
from evaluations.core.mechanics.court import Place, Position
from evaluations.core.mechanics.judging import Verdict
from evaluations.models import CodeEdition, DeadBall, DeadBallLog
from evaluations.queries.code_changes import CodeChanges, OfficialChange, Stage, code_changes
from evaluations.queries.codes import mechanics_code
from evaluations.queries.corrections import logs_judged_before
from evaluations.services.answers import amend
from evaluations.services.observations import close_observation
from evaluations.services.releases import withdraw
from tests.factories.accounts import Cast
from tests.factories.corrections import (
    DEAD_BALLS,
    FOUND_OUT,
    begun_correction,
    correction_in_force,
    edited,
    handed_in_crew,
    letters_by_wrong_code,
    logged_crew,
    more_logs,
    righted_correction,
)
from tests.factories.evaluations import GAME_AT, game_with, open_observation
from tests.factories.logs import REFEREE, log_with

LATER = FOUND_OUT + timedelta(days=1)
MET, NOT_MET = "met", "not_met"


def seen_by(admin: Membership, correction: CodeEdition) -> CodeChanges:
    return code_changes(correction, admin, "en")


def only_one(cast: Cast, correction: CodeEdition) -> OfficialChange:
    [official] = seen_by(cast.admin, correction).officials
    return official


# --- Whom ----------------------------------------------------------------------------------------
def test_the_one_official_is_shown_whose_place_was_judged_wrongly(cast: Cast) -> None:
    logged_crew(cast)
    changes = seen_by(cast.admin, righted_correction(cast))
    assert (changes.touched.read, changes.own_crews, changes.nobodys) == (1, 0, ())
    [official] = changes.officials
    assert official.evaluation.official == cast.official
    assert [c.dead_ball for c in official.findings] == list(range(1, DEAD_BALLS + 1))
    for changed in official.findings:
        assert changed.before is not None and changed.after is not None
        assert changed.finding.rule == "side"
        assert (changed.before.verdict, changed.after.verdict) == (NOT_MET, MET)


def test_counts_and_suggested_level_are_shown_before_and_after(cast: Cast) -> None:
    handed_in_crew(cast)
    official = only_one(cast, righted_correction(cast))
    [criterion] = official.criteria
    assert criterion.label == "In the code's place when the ball becomes live"
    assert (criterion.before.met, criterion.before.judged) == (0, DEAD_BALLS)
    assert (criterion.after.met, criterion.after.judged) == (DEAD_BALLS, DEAD_BALLS)
    assert criterion.suggested_before == Levels(1, 2)
    assert criterion.suggested_after == Levels(3, 5)
    assert criterion.level == 1
    assert official.moves_level


def test_a_log_of_which_one_finding_changes_is_one_log(cast: Cast) -> None:
    observation = logged_crew(cast)
    more_logs(observation, 1)
    DeadBall.objects.filter(log__observation=observation, number__gt=1).delete()
    changes = seen_by(cast.admin, righted_correction(cast))
    assert (len(changes.touched.logs), changes.touched.dead_balls) == (2, 1 + DEAD_BALLS)
    assert changes.levels == 1


def test_few_dead_balls_change_and_suggest_no_level(cast: Cast) -> None:
    logged_crew(cast)
    DeadBall.objects.filter(number__gt=2).delete()
    official = only_one(cast, righted_correction(cast))
    assert len(official.findings) == 2
    assert not official.moves_level
    assert official.criteria[0].suggested_after is None


def test_a_dead_ball_that_was_removed_changes_nobody(cast: Cast) -> None:
    logged_crew(cast)
    DeadBall.objects.update(removed_at=GAME_AT)
    changes = seen_by(cast.admin, righted_correction(cast))
    assert changes.officials == () and changes.touched.read == 1


def test_a_correction_that_says_the_same_changes_nobody(cast: Cast) -> None:
    letters_by_wrong_code(cast)
    assert seen_by(cast.admin, begun_correction(cast)).officials == ()


def test_a_log_of_a_crew_of_three_has_a_code_of_its_own(cast: Cast) -> None:
    observation = logged_crew(cast)
    officials = (cast.official, cast.other_official, cast.observer_and_official)
    season = observation.game.season
    three = game_with(season, *officials, plays_at=GAME_AT + timedelta(days=3))
    rubric = observation.rubric
    assert rubric is not None
    log_with(open_observation(three, cast.observer, rubric), [])
    assert list(logs_judged_before(righted_correction(cast))) == [
        DeadBallLog.objects.get(observation=observation)
    ]


def test_a_log_begun_under_the_correction_was_never_judged_otherwise(cast: Cast) -> None:
    observation = logged_crew(cast)
    correction = correction_in_force(cast)
    assert logs_judged_before(correction).count() == 1
    DeadBallLog.objects.filter(observation=observation).update(began_at=LATER)
    assert seen_by(cast.admin, correction).officials == ()


def test_the_observers_word_on_a_miss_is_judged_by_both_editions(cast: Cast) -> None:
    """Where the correction asks for another place, whose the switch was stays said."""
    observation = logged_crew(cast)
    log = DeadBallLog.objects.get(observation=observation)
    row = log.dead_balls.get(number=1)
    row.moved.create(
        rule="force_switch", position=REFEREE, reason="Agreed.", by=cast.observer, at=GAME_AT
    )
    assert len(only_one(cast, righted_correction(cast)).findings) == DEAD_BALLS


def test_what_nobody_has_a_form_for_is_shown_apart(cast: Cast) -> None:
    observation = logged_crew(cast)
    observation.evaluations.filter(position="referee").delete()
    changes = seen_by(cast.admin, righted_correction(cast))
    assert changes.officials == ()
    [nobodys] = changes.nobodys
    assert len(nobodys.findings) == DEAD_BALLS


# --- How far each evaluation is ------------------------------------------------------------------
def test_a_form_in_work_is_no_letter(cast: Cast) -> None:
    logged_crew(cast)
    assert only_one(cast, correction_in_force(cast)).stage is Stage.IN_WORK


def test_a_form_that_waits_for_release_is_pointed_out(cast: Cast) -> None:
    handed_in_crew(cast)
    changes = seen_by(cast.admin, correction_in_force(cast))
    assert [o.stage for o in changes.officials] == [Stage.SUBMITTED]
    assert changes.submitted == changes.officials and changes.letters == ()


def test_a_letter_that_is_out_is_offered_for_amendment_until_it_is_taken_up(cast: Cast) -> None:
    letter = letters_by_wrong_code(cast)[0]
    correction = correction_in_force(cast)
    official = only_one(cast, correction)
    assert (official.stage, official.release) == (Stage.LETTER, letter)
    amend(release=letter, reason="Wrong row.", by=cast.admin, now=LATER)
    assert only_one(cast, correction).stage is Stage.AMENDING


def test_a_withdrawn_letter_is_not_offered(cast: Cast) -> None:
    letter = letters_by_wrong_code(cast)[0]
    withdraw(release=letter, reason="Wrong row.", by=cast.admin, now=LATER)
    assert only_one(cast, correction_in_force(cast)).stage is Stage.WITHDRAWN


def test_a_form_that_was_given_up_is_not_offered(cast: Cast) -> None:
    observation = logged_crew(cast)
    close_observation(observation=observation, reason="Ill.", by=cast.admin, now=LATER)
    assert only_one(cast, correction_in_force(cast)).stage is Stage.CLOSED


# --- Who reads it, and at what cost --------------------------------------------------------------
def test_an_admin_reads_nothing_of_an_own_crew_but_that_there_is_something(cast: Cast) -> None:
    observation = logged_crew(cast)
    correction = righted_correction(cast)
    observation.game.crew.filter(official=cast.other_official).update(official=cast.second_admin)
    changes = seen_by(cast.second_admin, correction)
    assert (changes.officials, changes.touched.read, changes.own_crews) == ((), 0, 1)
    assert len(seen_by(cast.admin, correction).officials) == 1


def test_reading_costs_the_same_for_few_logs_and_for_many(
    cast: Cast, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    observation = handed_in_crew(cast)
    correction = righted_correction(cast)
    with django_assert_max_num_queries(32) as few:
        assert len(seen_by(cast.admin, correction).officials) == 1
    more_logs(observation, 40)
    with django_assert_max_num_queries(len(few)):
        changes = seen_by(cast.admin, correction)
    assert len(changes.officials) == changes.touched.read == 41


def test_changes_stand_in_the_order_of_the_games(cast: Cast) -> None:
    more_logs(logged_crew(cast), 3)
    officials = seen_by(cast.admin, righted_correction(cast)).officials
    days = [o.observation.game.plays_at for o in officials]
    assert days == sorted(days) and len(days) == 4


def test_changes_of_some_evaluations_are_read_alone(cast: Cast) -> None:
    observation = logged_crew(cast)
    more_logs(observation, 3)
    form = observation.evaluations.get(position=CrewPosition.REFEREE.value)
    changes = code_changes(righted_correction(cast), cast.admin, "en", of=[form.pk])
    assert [o.evaluation for o in changes.officials] == [form]


def test_a_side_that_becomes_free_is_told_though_no_count_changes(cast: Cast) -> None:
    """The partner was right before; now the side asks for nothing, and the end is right still."""
    logged_crew(cast)
    draft = begun_correction(cast)
    code = mechanics_code(draft)
    first, *rest = code.rows
    free = {**first.after, Position.TRAIL: Place(Position.LEAD)}
    changed = edited(draft, replace(code, rows=(replace(first, after=free), *rest)))
    official = only_one(cast, changed)
    assert official.evaluation.official == cast.other_official
    assert {c.finding.rule for c in official.findings} == {"side"}
    assert {c.after.verdict for c in official.findings if c.after} == {Verdict.NOT_JUDGED}
    assert official.criteria == ()
