"""An evaluation while it is worked on: what a save keeps, and what it refuses."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest
from django.core.exceptions import ValidationError
from django.db import connection

from evaluations.core.next_steps import Strength
from evaluations.core.ratings import COMMENT_LIMIT
from evaluations.models import Evaluation, Observation
from evaluations.services.errors import Refused, StaleVersion
from evaluations.services.evaluation_rows import CrewAnswers, RatingInput
from evaluations.services.evaluations import (
    save_crew_ratings,
    save_ratings,
    save_words,
    submit,
)
from evaluations.services.observations import close_observation
from tests.factories.accounts import Cast, make_cast
from tests.factories.releases import SUBMITTED_AT, THAT_NIGHT, crew_of, hand_in, write

A, B = "still-before-first-sign", "route-round-players"


@pytest.fixture
def observation(cast: Cast) -> Observation:
    return crew_of(cast)


@pytest.fixture
def evaluation(observation: Observation) -> Evaluation:
    return observation.evaluations.get(position="referee")


def rate(
    evaluation: Evaluation, *answers: RatingInput, version: int | None = None, flag: str = ""
) -> Evaluation:
    return save_ratings(
        evaluation=evaluation,
        version=evaluation.version if version is None else version,
        ratings=answers,
        flagged=flag or None,
        by=evaluation.observation.observer,
        now=THAT_NIGHT,
    )


def stored(evaluation: Evaluation) -> dict[str, tuple[int | None, bool, str]]:
    rows = evaluation.ratings.select_related("criterion")
    return {r.criterion.key: (r.level, r.not_seen, r.comment) for r in rows}


def test_a_save_keeps_the_criteria_it_names_and_leaves_the_others(evaluation: Evaluation) -> None:
    first = rate(evaluation, RatingInput(A, level=4, comment="Calm."))
    second = rate(first, RatingInput(B, not_seen=True), flag=A)
    assert stored(evaluation) == {A: (4, False, "Calm."), B: (None, True, "")}
    assert second.version == first.version + 1 == evaluation.version + 2
    assert second.saved_at == THAT_NIGHT
    assert second.flagged is not None and second.flagged.key == A


def test_an_answer_can_be_taken_back(evaluation: Evaluation) -> None:
    first = rate(evaluation, RatingInput(A, level=4))
    rate(first, RatingInput(A, comment="Not sure yet."))
    assert stored(evaluation) == {A: (None, False, "Not sure yet.")}


def test_of_two_saves_from_the_same_version_the_second_is_refused_and_changes_nothing(
    evaluation: Evaluation,
) -> None:
    rate(evaluation, RatingInput(A, level=4))
    with pytest.raises(StaleVersion):
        rate(evaluation, RatingInput(A, level=2))
    with pytest.raises(StaleVersion):
        rate(evaluation, RatingInput(B, level=2))
    assert stored(evaluation) == {A: (4, False, "")}


def test_a_save_from_a_version_that_never_was_is_refused(evaluation: Evaluation) -> None:
    with pytest.raises(StaleVersion):
        rate(evaluation, RatingInput(A, level=4), version=0)


def race_of(evaluation: Evaluation, runners: int) -> list[bool]:
    """Whether each of several saves from one version got through, all at the same time."""

    def run(level: int) -> bool:
        try:
            rate(evaluation, RatingInput(A, level=level))
        except StaleVersion:
            return False
        finally:
            connection.close()
        return True

    with ThreadPoolExecutor(runners) as pool:
        return list(pool.map(run, range(1, runners + 1)))


@pytest.mark.usefixtures("own_sqlite")
def test_of_saves_at_the_same_moment_one_gets_through_on_sqlite() -> None:
    evaluation = crew_of(make_cast()).evaluations.get(position="referee")
    won = race_of(evaluation, 4)
    assert sum(won) == 1
    assert stored(evaluation)[A][0] == won.index(True) + 1


@pytest.mark.usefixtures("own_postgres")
def test_of_saves_at_the_same_moment_one_gets_through_on_postgresql() -> None:
    evaluation = crew_of(make_cast()).evaluations.get(position="referee")
    won = race_of(evaluation, 4)
    assert sum(won) == 1
    assert stored(evaluation)[A][0] == won.index(True) + 1


@pytest.mark.parametrize(
    "answer",
    [RatingInput("no-such-criterion", level=3), RatingInput(A, level=6), RatingInput(A, level=0)],
)
def test_what_the_rubric_lacks_is_refused(evaluation: Evaluation, answer: RatingInput) -> None:
    with pytest.raises(Refused):
        rate(evaluation, answer)
    evaluation.refresh_from_db()
    assert stored(evaluation) == {} and evaluation.version == 1


def test_a_text_over_its_limit_is_refused(evaluation: Evaluation) -> None:
    with pytest.raises(ValidationError):
        rate(evaluation, RatingInput(A, level=3, comment="x" * (COMMENT_LIMIT + 1)))
    assert stored(evaluation) == {}


def test_a_draft_may_run_over_the_letters_budgets(evaluation: Evaluation) -> None:
    kept = save_words(
        evaluation=evaluation,
        version=evaluation.version,
        summary="x" * 500,
        strengths=[Strength(A, "y" * 500)],
        next_steps=[],
        by=evaluation.observation.observer,
        now=THAT_NIGHT,
    )
    assert len(kept.summary) == 500
    assert [s.seen for s in kept.strengths.all()] == ["y" * 500]


def test_words_take_the_place_of_those_before_in_the_given_order(evaluation: Evaluation) -> None:
    written = write(evaluation)
    save_words(
        evaluation=written,
        version=written.version,
        summary="Two sentences. Both new.",
        strengths=[Strength(B, "One."), Strength(A, "Two.")],
        next_steps=[],
        by=written.observation.observer,
        now=THAT_NIGHT,
    )
    assert [s.criterion.key for s in evaluation.strengths.all()] == [B, A]
    assert not evaluation.next_steps.exists()


def test_only_the_author_writes(cast: Cast, evaluation: Evaluation) -> None:
    for person in (cast.other_observer, cast.admin, cast.official):
        with pytest.raises(Refused):
            save_ratings(
                evaluation=evaluation,
                version=evaluation.version,
                ratings=[RatingInput(A, level=3)],
                flagged=None,
                by=person,
                now=THAT_NIGHT,
            )
    assert stored(evaluation) == {}


def test_a_form_that_was_handed_in_is_not_written_any_more(evaluation: Evaluation) -> None:
    submitted = hand_in(evaluation)
    with pytest.raises(Refused):
        rate(submitted, RatingInput(A, level=1))
    with pytest.raises(Refused):
        submit(
            evaluation=submitted,
            version=submitted.version,
            by=submitted.observation.observer,
            now=SUBMITTED_AT,
        )


def test_a_form_of_a_closed_observation_is_not_written_any_more(
    cast: Cast, observation: Observation, evaluation: Evaluation
) -> None:
    close_observation(
        observation=observation, reason="The game was stopped.", by=cast.admin, now=THAT_NIGHT
    )
    with pytest.raises(Refused):
        rate(evaluation, RatingInput(A, level=3))


def test_a_crews_answers_are_stored_together_or_not_at_all(observation: Observation) -> None:
    first, second = observation.evaluations.order_by("position")
    rate(second, RatingInput(B, level=3))
    both = [
        CrewAnswers(first, first.version, [RatingInput(A, level=4)], None),
        CrewAnswers(second, second.version, [RatingInput(A, level=4)], None),
    ]
    with pytest.raises(StaleVersion):
        save_crew_ratings(answers=both, by=observation.observer, now=THAT_NIGHT)
    assert stored(first) == {}
    second.refresh_from_db()
    both[1] = CrewAnswers(second, second.version, [RatingInput(A, level=2)], A)
    saved = save_crew_ratings(answers=both, by=observation.observer, now=THAT_NIGHT)
    assert [e.version for e in saved] == [2, 3]
    assert stored(first)[A][0] == 4 and stored(second)[A][0] == 2
