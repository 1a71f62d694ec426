"""A dead-ball log: begun once, changed at the table, ended; each step is on record."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from accounts.models import AuditEntry, Membership
from evaluations.core.games import CrewPosition, Kind
from evaluations.core.mechanics.court import Court, Position, Side, Whistle
from evaluations.core.mechanics.facts import DeadBall, Eyes, Kept, Moment, Report, Source, Stood
from evaluations.core.mechanics.zones import Seat, Zone
from evaluations.models import DeadBall as DeadBallRow
from evaluations.models import DeadBallLog, FindingCount, MissMoved, Observation
from evaluations.queries.log_pages import ball_facts, facts_mark
from evaluations.services.errors import Refused, StaleVersion
from evaluations.services.log_edits import (
    change_dead_ball,
    change_terms,
    end_log,
    exchange_officials,
    remove_dead_ball,
    restore_dead_ball,
    resume_log,
)
from evaluations.services.logs import log_dead_ball
from evaluations.services.misses import move_miss
from evaluations.services.observations import close_observation, reassign_observer
from tests.factories.accounts import Cast
from tests.factories.logs import REFEREE, UMPIRE, begun_log, lead_calls, log_with
from tests.factories.releases import THAT_NIGHT, crew_of, hand_in

UMPIRE_1, UMPIRE_2 = CrewPosition.UMPIRE_1, CrewPosition.UMPIRE_2


@pytest.fixture
def observation(cast: Cast) -> Observation:
    return crew_of(cast)


@pytest.fixture
def log(observation: Observation) -> DeadBallLog:
    """Dead ball 1: the referee calls and the umpire does not force the switch. 2 and 3: done."""
    return log_with(observation, [lead_calls(False), lead_calls(True), lead_calls(True, UMPIRE)])


def terms_of(log: DeadBallLog, **changes: Any) -> DeadBallLog:
    values: dict[str, Any] = {
        "seat": Seat.TABLE,
        "kept": Kept.EVERY_FOUL,
        "every_nth": None,
        "source": Source.LIVE,
        "focus": (),
        "agreed": (),
        "left_end": REFEREE,
        **changes,
    }
    return change_terms(log=log, by=log.observation.observer, now=THAT_NIGHT, **values)


def row(log: DeadBallLog, number: int = 1) -> DeadBallRow:
    return log.dead_balls.get(number=number)


def changed(log: DeadBallLog, number: int = 1, **facts: Any) -> DeadBallRow:
    found = row(log, number)
    return change_dead_ball(
        dead_ball=found,
        mark=facts_mark(found),
        ball=replace(ball_facts(found), **facts),
        by=log.observation.observer,
        now=THAT_NIGHT,
    )


def exchanged(log: DeadBallLog, since: int = 1, **changes: Any) -> DeadBallLog:
    log.refresh_from_db()
    values: dict[str, Any] = {
        "version": log.version,
        "first": REFEREE,
        "second": UMPIRE,
        "by": log.observation.observer,
        **changes,
    }
    return exchange_officials(log=log, since=since, now=THAT_NIGHT, **values)


def misses(log: DeadBallLog) -> dict[tuple[str, str], int]:
    """The stored counts of what was not met, by rule and position."""
    rows = FindingCount.objects.filter(log=log, not_met__gt=0)
    return {(r.rule, r.position): r.not_met for r in rows}


def steps(log: DeadBallLog) -> list[tuple[str, dict[str, Any]]]:
    entries = AuditEntry.objects.filter(object_type="evaluations.deadballlog", object_id=log.pk)
    return [(entry.action, entry.details) for entry in entries.order_by("pk")]


# --- Beginning -----------------------------------------------------------------------------------
def test_a_log_is_begun_once_for_an_opened_observation(observation: Observation) -> None:
    log = begun_log(observation, focus=["full_stop"], agreed=None, left_end=None)
    assert (log.focus, log.agreed, log.left_end) == (["full_stop"], None, "")
    assert steps(log) == [("log.begun", {"kept": "every_foul", "source": "live"})]
    with pytest.raises(Refused, match="has its log already"):
        begun_log(observation)


def test_every_nth_foul_says_which(observation: Observation) -> None:
    with pytest.raises(ValidationError):
        begun_log(observation, kept=Kept.EVERY_NTH, every_nth=None)
    assert begun_log(observation, kept=Kept.EVERY_NTH, every_nth=3).every_nth == 3


def test_what_only_film_shows_is_judged_from_film_alone(observation: Observation) -> None:
    assert not begun_log(observation, film_rules=True).film_rules
    log = terms_of(DeadBallLog.objects.get(), source=Source.FILM, film_rules=True)
    assert log.film_rules
    assert not terms_of(log, source=Source.MEMORY, film_rules=True).film_rules


@pytest.mark.parametrize("who", ["other_observer", "admin", "official"])
def test_only_who_was_sent_keeps_the_log(cast: Cast, log: DeadBallLog, who: str) -> None:
    by: Membership = getattr(cast, who)
    ball, mark = ball_facts(row(log)), facts_mark(row(log))
    now = THAT_NIGHT
    for write in (
        lambda: log_dead_ball(log=log, ball=ball, by=by, now=now),
        lambda: change_dead_ball(dead_ball=row(log), mark=mark, ball=ball, by=by, now=now),
        lambda: remove_dead_ball(dead_ball=row(log), by=by, now=now),
        lambda: restore_dead_ball(dead_ball=row(log), by=by, now=now),
        lambda: exchanged(log, by=by),
        lambda: end_log(log=log, by=by, now=now),
        lambda: resume_log(log=log, by=by, now=now),
    ):
        with pytest.raises(Refused, match="Only the observer"):
            write()
    assert row(log).removed_at is None


def test_a_log_stays_as_it_is_once_all_forms_are_in(cast: Cast, observation: Observation) -> None:
    log = log_with(observation, [lead_calls(True)])
    for evaluation in observation.evaluations.all():
        hand_in(evaluation)
    for write in (
        lambda: changed(log, switched=False),
        lambda: terms_of(log),
        lambda: exchanged(log),
        lambda: end_log(log=log, by=cast.observer, now=THAT_NIGHT),
    ):
        with pytest.raises(Refused, match="All forms of this observation are in"):
            write()


def test_the_log_of_a_closed_observation_stays_as_it_is(cast: Cast, log: DeadBallLog) -> None:
    observation = log.observation
    close_observation(observation=observation, reason="Ill", by=cast.admin, now=THAT_NIGHT)
    with pytest.raises(Refused, match="is closed"):
        changed(log, switched=True)


def test_another_observer_begins_without_the_first_ones_log(cast: Cast, log: DeadBallLog) -> None:
    reassign_observer(
        observation=log.observation,
        observer=cast.other_observer,
        kind=Kind.SCORED,
        by=cast.admin,
        now=THAT_NIGHT,
    )
    assert not DeadBallLog.objects.exists() and not DeadBallRow.objects.exists()
    details = AuditEntry.objects.get(action="observation.reassigned").details
    assert details["dead_balls_removed"] == 3
    assert details["rows_removed"] > 3
    with pytest.raises(Refused, match="was removed, because another observer was sent"):
        log_dead_ball(log=log, ball=DeadBall(1), by=cast.observer, now=THAT_NIGHT)


# --- Terms ---------------------------------------------------------------------------------------
def test_other_terms_judge_what_is_logged_anew(observation: Observation) -> None:
    """The caller stays lead, opposite the table, after a technical: an option to be agreed on."""
    ball = lead_calls(
        None,
        whistle=Whistle.TECHNICAL,
        after={REFEREE: Stood(Position.LEAD, Side.OPPOSITE), UMPIRE: Stood(Position.TRAIL)},
    )
    log = log_with(observation, [ball], agreed=())
    assert misses(log) == {("force_switch", "umpire"): 1}
    terms_of(log, agreed=["caller_lead_opposite"])
    assert misses(log) == {}
    option = FindingCount.objects.get(log=log, rule="end", position="referee")
    assert (option.met, option.by_option) == (1, 1)
    terms_of(log, agreed=None)
    assert FindingCount.objects.get(log=log, rule="end", position="referee").not_judged == 1
    assert [action for action, _ in steps(log)] == ["log.begun", *["log.terms_changed"] * 2]


def test_a_dead_ball_of_which_nothing_was_seen_is_one_too(log: DeadBallLog) -> None:
    by = log.observation.observer
    assert log_dead_ball(log=log, ball=DeadBall(1), by=by, now=THAT_NIGHT).facts == {}
    assert misses(log) == {("force_switch", "umpire"): 1}


# --- One dead ball -------------------------------------------------------------------------------
def test_a_changed_dead_ball_is_judged_anew_and_keeps_its_number(log: DeadBallLog) -> None:
    assert misses(log) == {("force_switch", "umpire"): 1}
    changed(log, switched=True, note="Seen again on the way out.")
    assert misses(log) == {}
    assert row(log).facts["note"] == "Seen again on the way out."
    assert steps(log)[-1] == ("dead_ball.changed", {"number": 1})


def test_a_change_over_another_one_is_refused_until_it_was_read(log: DeadBallLog) -> None:
    old = facts_mark(row(log))
    changed(log, clock="4:31")
    with pytest.raises(StaleVersion, match="changed in between"):
        change_dead_ball(
            dead_ball=row(log),
            mark=old,
            ball=lead_calls(True),
            by=log.observation.observer,
            now=THAT_NIGHT,
        )
    assert row(log).facts["clock"] == "4:31"


def test_facts_that_contradict_the_crew_are_refused(log: DeadBallLog) -> None:
    both = {REFEREE: Stood(Position.LEAD), UMPIRE: Stood(Position.TRAIL)}
    with pytest.raises(Refused, match="switched"):
        changed(log, after=both, switched=True)
    with pytest.raises(Refused, match="caller"):
        changed(log, caller=UMPIRE_2)
    assert row(log).facts["caller"] == "referee"


def test_where_the_caller_was_tapped_is_forgotten_when_the_facts_say_otherwise(
    observation: Observation,
) -> None:
    log = begun_log(observation)
    log_dead_ball(
        log=log, ball=lead_calls(True), by=observation.observer, now=THAT_NIGHT, zone=Zone.T1
    )
    changed(log, clock="2:10")
    assert row(log).zone == Zone.T1
    changed(log, court=Court.BACK)
    assert (row(log).zone, row(log).back_court) == ("", False)


def test_a_removed_dead_ball_leaves_the_counts_and_comes_back_under_its_number(
    log: DeadBallLog,
) -> None:
    by = log.observation.observer
    remove_dead_ball(dead_ball=row(log), by=by, now=THAT_NIGHT)
    remove_dead_ball(dead_ball=row(log), by=by, now=THAT_NIGHT)
    assert misses(log) == {}
    with pytest.raises(Refused, match="Put it back first"):
        changed(log, switched=True)
    new = log_dead_ball(log=log, ball=DeadBall(1), by=by, now=THAT_NIGHT)
    assert new.number == 4
    restore_dead_ball(dead_ball=row(log), by=by, now=THAT_NIGHT)
    restore_dead_ball(dead_ball=row(log), by=by, now=THAT_NIGHT)
    assert misses(log) == {("force_switch", "umpire"): 1}
    assert steps(log)[1:] == [
        ("dead_ball.removed", {"number": 1}),
        ("dead_ball.restored", {"number": 1}),
    ]


# --- Two officials mixed up ----------------------------------------------------------------------
def test_from_a_dead_ball_on_the_two_are_exchanged(log: DeadBallLog) -> None:
    exchanged(log, since=2)
    callers = [r.facts["caller"] for r in log.dead_balls.order_by("number")]
    assert callers == ["referee", "umpire", "referee"]
    assert list(row(log, 2).facts["before"]) == ["umpire"]
    assert misses(log) == {("force_switch", "umpire"): 1}
    log.refresh_from_db()
    assert log.left_end == "referee"
    assert steps(log)[-1] == (
        "log.exchanged",
        {"since": 2, "first": "referee", "second": "umpire"},
    )


def test_from_the_first_one_on_the_ends_and_moved_misses_change_along(log: DeadBallLog) -> None:
    by = log.observation.observer
    move_miss(
        log=log,
        number=1,
        rule="force_switch",
        to=REFEREE,
        reason="The caller waved the partner off.",
        by=by,
        now=THAT_NIGHT,
    )
    remove_dead_ball(dead_ball=row(log, 3), by=by, now=THAT_NIGHT)
    exchanged(log)
    log.refresh_from_db()
    assert log.left_end == "umpire"
    assert MissMoved.objects.get().position == "umpire"
    assert misses(log) == {("force_switch", "umpire"): 1}
    assert row(log, 3).facts["caller"] == "referee"


def test_exchanging_again_undoes_it(log: DeadBallLog) -> None:
    before = [(r.number, r.facts) for r in log.dead_balls.order_by("number")]
    counts = misses(log)
    exchanged(log)
    assert misses(log) == {("force_switch", "referee"): 1}
    exchanged(log)
    assert [(r.number, r.facts) for r in log.dead_balls.order_by("number")] == before
    assert misses(log) == counts
    log.refresh_from_db()
    assert log.left_end == "referee"


def test_pressing_twice_exchanges_once(log: DeadBallLog) -> None:
    log.refresh_from_db()
    version = log.version
    exchanged(log, version=version)
    with pytest.raises(StaleVersion, match="changed in between"):
        exchanged(log, version=version)
    assert row(log).facts["caller"] == "umpire"


def test_nobody_is_exchanged_who_is_not_there(log: DeadBallLog) -> None:
    with pytest.raises(Refused, match="two officials of this crew"):
        exchanged(log, second=UMPIRE_1)
    with pytest.raises(Refused, match="two officials of this crew"):
        exchanged(log, second=REFEREE)
    with pytest.raises(Refused, match="no dead ball from that number on"):
        exchanged(log, since=4)


def test_of_a_crew_of_three_two_are_exchanged_and_the_third_stays(cast: Cast) -> None:
    observation = crew_of(cast, cast.official, cast.other_official, cast.young_official)
    ball = DeadBall(
        1,
        caller=UMPIRE_1,
        before={UMPIRE_1: Stood(Position.LEAD), REFEREE: Stood(Position.TRAIL, Side.TABLE)},
        eyes=Eyes(kept=False, lost=Moment.AFTER_REPORT, whose=UMPIRE_2),
    )
    log = log_with(observation, [ball], left_end=None)
    exchanged(log, first=UMPIRE_1, second=UMPIRE_2)
    facts = row(log).facts
    assert (facts["caller"], facts["eyes"]["whose"]) == ("umpire_2", "umpire_1")
    assert set(facts["before"]) == {"umpire_2", "referee"}


# --- The final whistle ---------------------------------------------------------------------------
def test_the_final_whistle_is_taken_back(log: DeadBallLog) -> None:
    by = log.observation.observer
    ended = end_log(log=log, by=by, now=THAT_NIGHT)
    assert ended.ended_at == THAT_NIGHT
    assert end_log(log=log, by=by, now=THAT_NIGHT.replace(hour=23)).ended_at == THAT_NIGHT
    changed(log, report=Report(full_stop=True))
    assert resume_log(log=log, by=by, now=THAT_NIGHT).ended_at is None
    assert resume_log(log=log, by=by, now=THAT_NIGHT).ended_at is None
    assert [action for action, _ in steps(log)[1:]] == [
        "log.ended",
        "dead_ball.changed",
        "log.resumed",
    ]
