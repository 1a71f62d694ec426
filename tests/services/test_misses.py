"""Whose a crew's miss was, by the observer's word."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from accounts.models import AuditEntry, Membership
from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.facts import Eyes, Moment
from evaluations.models import DeadBallLog, FindingCount, MissMoved
from evaluations.queries.misses import Miss, miss_at, misses_of
from evaluations.services.errors import Refused
from evaluations.services.misses import move_miss, take_back
from tests.factories.accounts import Cast
from tests.factories.logs import REFEREE, UMPIRE, lead_calls, log_with
from tests.factories.releases import THAT_NIGHT, crew_of, hand_in

SWITCH, EYES = "force_switch", "eyes_kept"
REASON = "The caller waved the partner off."


@pytest.fixture
def log(cast: Cast) -> DeadBallLog:
    """Dead ball 1: the referee calls, and the umpire does not force the switch. 2: it is done.
    3: after the report nobody faces the players.
    """
    unwatched = Eyes(kept=False, lost=Moment.AFTER_REPORT)
    balls = [lead_calls(False), lead_calls(True), lead_calls(None, eyes=unwatched)]
    return log_with(crew_of(cast), balls)


def moved(log: DeadBallLog, **changes: Any) -> MissMoved:
    """The missed switch of dead ball 1 becomes the referee's."""
    values: Mapping[str, Any] = {"number": 1, "rule": SWITCH, "to": REFEREE, "reason": REASON}
    by = log.observation.observer
    return move_miss(log=log, **{**values, "by": by, "now": THAT_NIGHT, **changes})


def returned(log: DeadBallLog, number: int = 1, rule: str = SWITCH) -> DeadBallLog:
    by = log.observation.observer
    return take_back(log=log, number=number, rule=rule, by=by, now=THAT_NIGHT)


def miss(log: DeadBallLog, number: int = 1, rule: str = SWITCH) -> Miss:
    found = miss_at(log, number, rule)
    assert found is not None
    return found


def not_met(log: DeadBallLog, rule: str) -> dict[str, int]:
    """The counts of misses by a rule that lists are made of, by whose they are."""
    rows = FindingCount.objects.filter(log=log, rule=rule, not_met__gt=0)
    return dict(rows.values_list("position", "not_met"))


def test_a_miss_is_first_whose_the_code_says(log: DeadBallLog) -> None:
    found = {(m.row.number, m.rule): m.whose for m in misses_of(log)}
    assert found == {(1, SWITCH): UMPIRE, (3, EYES): None}


def test_a_moved_miss_counts_for_the_other_and_for_nobody_else(log: DeadBallLog) -> None:
    assert not_met(log, SWITCH) == {UMPIRE: 1}
    kept = moved(log)
    assert (kept.position, kept.reason, kept.by) == (REFEREE, REASON, log.observation.observer)
    assert not_met(log, SWITCH) == {REFEREE: 1}
    now = miss(log)
    assert (now.whose, now.by_code, now.moved) == (REFEREE, UMPIRE, kept)


def test_a_miss_that_is_nobodys_is_given_to_one(log: DeadBallLog) -> None:
    assert not_met(log, EYES) == {"": 1}
    moved(log, number=3, rule=EYES, to=UMPIRE)
    assert not_met(log, EYES) == {UMPIRE: 1}
    assert miss(log, 3, EYES).by_code is None


def test_what_is_moved_again_has_the_last_word_and_reason(log: DeadBallLog) -> None:
    moved(log, number=3, rule=EYES, to=UMPIRE)
    moved(log, number=3, rule=EYES, to=REFEREE, reason="The umpire had the ball to fetch.")
    [kept] = MissMoved.objects.all()
    assert (kept.position, kept.reason) == (REFEREE, "The umpire had the ball to fetch.")
    assert not_met(log, EYES) == {REFEREE: 1}


def test_taken_back_it_is_again_whose_the_code_says(log: DeadBallLog) -> None:
    moved(log)
    returned(log)
    assert not MissMoved.objects.exists()
    assert not_met(log, SWITCH) == {UMPIRE: 1}
    assert miss(log).moved is None


def test_both_steps_are_written_down_without_the_words(log: DeadBallLog) -> None:
    moved(log)
    returned(log)
    steps = AuditEntry.objects.filter(action__startswith="miss.").order_by("pk")
    assert [(step.action, step.details) for step in steps] == [
        ("miss.moved", {"dead_ball": 1, "rule": SWITCH, "from": "umpire", "to": "referee"}),
        ("miss.taken_back", {"dead_ball": 1, "rule": SWITCH, "from": "referee", "to": "umpire"}),
    ]


def test_the_log_counts_the_step_as_a_change(log: DeadBallLog) -> None:
    before = log.version
    moved(log)
    log.refresh_from_db()
    assert log.version > before


@pytest.mark.parametrize("reason", ["", "   "])
def test_without_a_reason_nothing_is_moved(log: DeadBallLog, reason: str) -> None:
    with pytest.raises(Refused, match="Say why"):
        moved(log, reason=reason)
    assert not MissMoved.objects.exists()


def test_a_reason_has_at_most_300_characters(log: DeadBallLog) -> None:
    moved(log, reason="x" * 300)
    with pytest.raises(ValidationError):
        moved(log, number=3, rule=EYES, reason="x" * 301)
    assert not_met(log, EYES) == {"": 1}


@pytest.mark.parametrize(
    ("number", "rule"), [(2, SWITCH), (3, SWITCH), (1, EYES), (1, "end"), (9, SWITCH)]
)
def test_only_a_miss_of_the_crew_can_be_moved(log: DeadBallLog, number: int, rule: str) -> None:
    with pytest.raises(Refused, match="no such miss"):
        moved(log, number=number, rule=rule)


def test_a_miss_is_not_moved_to_whose_it_is(log: DeadBallLog) -> None:
    with pytest.raises(Refused, match="belongs to this official already"):
        moved(log, to=UMPIRE)
    moved(log)
    with pytest.raises(Refused, match="Take the move back"):
        moved(log, to=UMPIRE)


def test_nobody_outside_the_crew_gets_a_miss(log: DeadBallLog) -> None:
    with pytest.raises(Refused):
        moved(log, to=CrewPosition.UMPIRE_2)
    assert not MissMoved.objects.exists()
    assert not_met(log, SWITCH) == {UMPIRE: 1}


def test_what_was_not_moved_is_not_taken_back(log: DeadBallLog) -> None:
    with pytest.raises(Refused, match="was not moved"):
        returned(log)


def test_only_the_observer_moves_a_miss(cast: Cast, log: DeadBallLog) -> None:
    others: list[Membership] = [cast.admin, cast.other_observer, cast.official]
    for somebody in others:
        with pytest.raises(Refused, match="Only the observer"):
            moved(log, by=somebody)


def test_once_all_forms_are_in_misses_stay_where_they_are(log: DeadBallLog) -> None:
    moved(log)
    for form in log.observation.evaluations.all():
        hand_in(form)
    with pytest.raises(Refused, match="All forms of this observation are in"):
        moved(log, number=3, rule=EYES, to=UMPIRE)
    with pytest.raises(Refused, match="All forms of this observation are in"):
        returned(log)
    assert not_met(log, SWITCH) == {REFEREE: 1}
