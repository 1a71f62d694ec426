"""A level beside the log's count: kept with its reason, and handed in only with one."""

from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError

from evaluations.core.mechanics.facts import Kept
from evaluations.core.next_steps import REASON_BUDGET, FormProblem, Problem
from evaluations.core.ratings import COMMENT_LIMIT
from evaluations.models import Evaluation, Observation
from evaluations.queries.evaluations import worksheet
from evaluations.services.errors import NotReady
from evaluations.services.evaluation_rows import RatingInput
from evaluations.services.evaluations import save_ratings
from tests.factories.accounts import Cast
from tests.factories.logs import UMPIRE, begun_log, full_stops, log_with
from tests.factories.releases import THAT_NIGHT, crew_of, sent, write

STILL = "still-before-first-sign"
"""Its findings are full stops; the form that `write` fills in has it at 4."""


@pytest.fixture
def observation(cast: Cast) -> Observation:
    return crew_of(cast)


@pytest.fixture
def evaluation(observation: Observation) -> Evaluation:
    return observation.evaluations.get(position="referee")


def rate(evaluation: Evaluation, level: int | None, reason: str = "") -> Evaluation:
    return save_ratings(
        evaluation=evaluation,
        version=evaluation.version,
        ratings=[RatingInput(STILL, level=level, not_seen=level is None, reason=reason)],
        flagged=None,
        by=evaluation.observation.observer,
        now=THAT_NIGHT,
    )


def lacks(evaluation: Evaluation) -> list[FormProblem]:
    with pytest.raises(NotReady) as refusal:
        sent(evaluation)
    return list(refusal.value.problems)


MISSING = [FormProblem(Problem.REASON_MISSING, STILL)]


def test_a_reason_is_kept_with_its_level(evaluation: Evaluation) -> None:
    rate(evaluation, 2, "Twice in stride, and both times near the table.")
    assert evaluation.ratings.get().reason == "Twice in stride, and both times near the table."


def test_a_reason_over_the_limit_is_refused(evaluation: Evaluation) -> None:
    with pytest.raises(ValidationError):
        rate(evaluation, 2, "x" * (COMMENT_LIMIT + 1))
    assert not evaluation.ratings.exists()


def test_a_level_as_counted_is_handed_in_without_a_word(
    observation: Observation, evaluation: Evaluation
) -> None:
    log_with(observation, full_stops(met=8, not_met=2))
    assert sent(write(evaluation)).state == "submitted"


def test_another_level_is_handed_in_with_a_reason_only(
    observation: Observation, evaluation: Evaluation
) -> None:
    log_with(observation, full_stops(met=2, not_met=8))
    written = write(evaluation)
    assert lacks(written) == MISSING
    assert lacks(rate(written, 3, "  ")) == MISSING
    written.refresh_from_db()
    explained = rate(written, 3, "Six of them were the table's own delay.")
    assert sent(explained).state == "submitted"


def test_a_reason_over_its_budget_waits_to_be_shortened(
    observation: Observation, evaluation: Evaluation
) -> None:
    log_with(observation, full_stops(met=2, not_met=8))
    long = rate(write(evaluation), 3, "x" * (REASON_BUDGET + 1))
    assert lacks(long) == [FormProblem(Problem.REASON_TOO_LONG, STILL)]


def test_not_seen_needs_no_reason(observation: Observation, evaluation: Evaluation) -> None:
    log_with(observation, full_stops(met=2, not_met=8))
    assert sent(rate(write(evaluation), None)).state == "submitted"


@pytest.mark.parametrize(
    ("met", "not_met", "kept"),
    [(0, 4, Kept.EVERY_FOUL), (2, 8, Kept.STRIKING)],
    ids=["not enough seen", "only what struck the observer"],
)
def test_where_nothing_is_suggested_no_reason_is_asked_for(
    observation: Observation, evaluation: Evaluation, met: int, not_met: int, kept: Kept
) -> None:
    log_with(observation, full_stops(met, not_met), kept=kept)
    assert sent(write(evaluation)).state == "submitted"


def test_what_the_partner_did_asks_nothing_of_this_official(
    observation: Observation, evaluation: Evaluation
) -> None:
    log_with(observation, full_stops(met=0, not_met=10, caller=UMPIRE))
    assert worksheet(evaluation).counts[STILL].judged == 0
    written = write(evaluation)
    assert FormProblem(Problem.REASON_MISSING, STILL) not in worksheet(written).problems


def test_without_a_log_and_in_an_empty_one_nothing_is_counted(
    observation: Observation, evaluation: Evaluation
) -> None:
    assert worksheet(evaluation).counts == {}
    begun_log(observation)
    assert worksheet(evaluation).counts == {}
    assert sent(write(evaluation)).state == "submitted"


def test_a_reason_that_is_left_over_stays_in_its_row_and_goes_nowhere(
    observation: Observation, evaluation: Evaluation
) -> None:
    log_with(observation, full_stops(met=8, not_met=2))
    rated = rate(write(evaluation), 4, "Written while it stood at 3.")
    assert evaluation.ratings.get(criterion__key=STILL).reason
    ratings = {r.criterion: r for r in worksheet(rated).draft.ratings}
    assert ratings[STILL].reason == ""
