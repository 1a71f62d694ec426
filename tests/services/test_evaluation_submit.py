"""An evaluation handed in: what it needs, when it is too late for a total, coming back."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest

from accounts.models import AuditEntry
from evaluations.core.games import Difficulty, Kind, Seen, Talk
from evaluations.core.next_steps import FormProblem, Problem
from evaluations.models import Evaluation, Observation
from evaluations.services.errors import NotReady, Refused, StaleVersion
from evaluations.services.evaluations import (
    make_coaching,
    return_to_observer,
    submit,
    take_back_to_work,
)
from evaluations.services.observations import (
    change_facts,
    open_observation,
    reassign_observer,
)
from tests.factories.accounts import Cast
from tests.factories.evaluations import GAME_AT
from tests.factories.releases import SUBMITTED_AT, THAT_NIGHT, crew_of, hand_in, write

FIRST = "still-before-first-sign"
EIGHT_DAYS_LATER = GAME_AT + timedelta(days=8)


@pytest.fixture
def observation(cast: Cast) -> Observation:
    return crew_of(cast)


@pytest.fixture
def evaluation(observation: Observation) -> Evaluation:
    return observation.evaluations.get(position="referee")


# --- Submitting -------------------------------------------------------------------------------
def test_a_finished_form_is_handed_in_and_the_log_says_so(evaluation: Evaluation) -> None:
    submitted = hand_in(evaluation)
    assert (submitted.state, submitted.submitted_at) == ("submitted", SUBMITTED_AT)
    entry = AuditEntry.objects.get(action="evaluation.submitted", object_id=str(evaluation.pk))
    assert entry.details == {"version": submitted.version, "state": "submitted"}


def test_an_unfinished_form_says_everything_that_it_lacks(evaluation: Evaluation) -> None:
    with pytest.raises(NotReady) as refusal:
        submit(
            evaluation=evaluation,
            version=evaluation.version,
            by=evaluation.observation.observer,
            now=THAT_NIGHT,
        )
    assert refusal.value.problems[0] == FormProblem(Problem.NOT_ANSWERED, FIRST)
    assert len(refusal.value.problems) == 13  # twelve criteria and the summary
    evaluation.refresh_from_db()
    assert (evaluation.state, evaluation.version) == ("draft", 1)


def test_a_form_waits_for_what_is_to_be_said_of_the_talk(
    observation: Observation, evaluation: Evaluation
) -> None:
    Observation.objects.filter(pk=observation.pk).update(talk="")
    with pytest.raises(NotReady) as refusal:
        hand_in(evaluation)
    assert refusal.value.problems == ()
    Observation.objects.filter(pk=observation.pk).update(talk=Talk.DECLINED)
    evaluation.refresh_from_db()
    assert hand_in(evaluation).state == "submitted"


def test_a_form_is_not_handed_in_from_an_old_page(evaluation: Evaluation) -> None:
    written = write(evaluation)
    with pytest.raises(StaleVersion):
        submit(
            evaluation=written,
            version=written.version - 1,
            by=written.observation.observer,
            now=SUBMITTED_AT,
        )


# --- Too late for a total ---------------------------------------------------------------------
def hand_in_at(written: Evaluation, now: datetime) -> Evaluation:
    return submit(
        evaluation=written, version=written.version, by=written.observation.observer, now=now
    )


def coach(evaluation: Evaluation, now: datetime) -> Evaluation:
    return make_coaching(
        evaluation=evaluation,
        version=evaluation.version,
        by=evaluation.observation.observer,
        now=now,
    )


def test_seven_days_after_the_game_a_form_can_be_handed_in_and_a_second_later_not(
    evaluation: Evaluation,
) -> None:
    written = write(evaluation)
    with pytest.raises(Refused, match="coaching"):
        hand_in_at(written, GAME_AT + timedelta(days=7, seconds=1))
    assert hand_in_at(written, GAME_AT + timedelta(days=7)).state == "submitted"


def test_a_form_that_is_too_late_can_become_coaching_and_is_then_handed_in(
    evaluation: Evaluation,
) -> None:
    coached = coach(write(evaluation), EIGHT_DAYS_LATER)
    assert coached.kind == Kind.COACHING
    assert hand_in_at(coached, EIGHT_DAYS_LATER).state == "submitted"
    assert AuditEntry.objects.filter(action="evaluation.made_coaching").count() == 1


def test_the_seven_days_of_an_observer_who_was_sent_later_begin_then(
    cast: Cast, observation: Observation
) -> None:
    given = reassign_observer(
        observation=observation,
        observer=cast.other_observer,
        kind=Kind.SCORED,
        by=cast.admin,
        now=EIGHT_DAYS_LATER,
    )
    change_facts(
        observation=open_observation(
            observation=given, by=cast.other_observer, now=EIGHT_DAYS_LATER
        ),
        seen=Seen.WHOLE,
        part="",
        difficulty=Difficulty.ORDINARY,
        talk=Talk.IMPOSSIBLE,
        raised="",
        note_to_admin="",
        by=cast.other_observer,
        now=EIGHT_DAYS_LATER,
    )
    written = write(Evaluation.objects.get(observation=given, position="referee"))
    with pytest.raises(Refused, match="coaching"):
        hand_in_at(written, EIGHT_DAYS_LATER + timedelta(days=7, seconds=1))
    assert hand_in_at(written, EIGHT_DAYS_LATER + timedelta(days=7)).kind == Kind.SCORED


def test_nobody_makes_a_total_go_away_that_is_in_time(evaluation: Evaluation) -> None:
    with pytest.raises(Refused, match="in time"):
        coach(write(evaluation), THAT_NIGHT)


@pytest.mark.parametrize("back", [return_to_observer, take_back_to_work])
def test_a_form_that_came_back_was_in_time_however_long_it_takes(
    cast: Cast, evaluation: Evaluation, back: Callable[..., Evaluation]
) -> None:
    submitted = hand_in(evaluation)
    if back is take_back_to_work:
        Evaluation.objects.filter(pk=submitted.pk).update(state="released")
        submitted.refresh_from_db()
    returned = back(
        evaluation=submitted, note="Which dead ball?", by=cast.admin, now=EIGHT_DAYS_LATER
    )
    assert returned.state == "returned"
    assert hand_in_at(returned, EIGHT_DAYS_LATER).state == "submitted"


# --- Coming back ------------------------------------------------------------------------------
def test_an_admin_gives_a_form_back_with_a_note(cast: Cast, evaluation: Evaluation) -> None:
    submitted = hand_in(evaluation)
    with pytest.raises(Refused, match="note"):
        return_to_observer(evaluation=submitted, note=" ", by=cast.admin, now=SUBMITTED_AT)
    returned = return_to_observer(
        evaluation=submitted, note=" Which dead ball? ", by=cast.admin, now=SUBMITTED_AT
    )
    assert (returned.state, returned.returned_note) == ("returned", "Which dead ball?")
    assert write(returned).state == "returned"


def test_an_observer_gives_nothing_back_to_oneself(cast: Cast, evaluation: Evaluation) -> None:
    submitted = hand_in(evaluation)
    with pytest.raises(Refused):
        return_to_observer(evaluation=submitted, note="Anew.", by=cast.observer, now=SUBMITTED_AT)
