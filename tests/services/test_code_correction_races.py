"""Corrections at the same moment as something else, on a database that lets both run."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import pytest

from evaluations.models import CodeEdition, DeadBallLog, FindingCount
from evaluations.queries.codes import in_force
from evaluations.queries.corrections import Touched
from evaluations.services.code_corrections import put_in_force, start_correction
from evaluations.services.errors import Refused
from evaluations.services.logs import log_dead_ball
from tests.factories.accounts import Cast, make_cast
from tests.factories.corrections import (
    DEAD_BALLS,
    FOUND_OUT,
    REASON,
    logged_crew,
    righted_correction,
    well_done,
)
from tests.services.test_rubric_races import at_once

pytestmark = pytest.mark.usefixtures("own_postgres")


@pytest.fixture
def people() -> Cast:
    return make_cast()


def wrong(people: Cast) -> CodeEdition:
    return people.association.codes.get(crew_size=2, edition=1)


def puts_in_force(draft: CodeEdition, people: Cast) -> Callable[[], object]:
    return lambda: put_in_force(
        correction=draft, version=draft.version, reason=REASON, by=people.admin, now=FOUND_OUT
    )


def test_one_of_two_begins_the_correction(people: Cast) -> None:
    logged_crew(people)
    admins = (people.admin, people.second_admin)
    answers = at_once(
        *(partial(start_correction, code=wrong(people), by=by, now=FOUND_OUT) for by in admins)
    )
    assert len([a for a in answers if isinstance(a, Refused)]) == 1
    assert wrong(people).corrections.count() == 1


def test_one_of_two_puts_it_in_force(people: Cast) -> None:
    logged_crew(people)
    draft = righted_correction(people)
    answers = at_once(puts_in_force(draft, people), puts_in_force(draft, people))
    assert sorted(type(a).__name__ for a in answers) == ["Refused", "Touched"]
    assert in_force(wrong(people)) == draft


def test_a_whistle_logged_at_that_moment_is_counted_by_the_correction(people: Cast) -> None:
    observation = logged_crew(people)
    draft = righted_correction(people)
    log = DeadBallLog.objects.get(observation=observation)

    def whistle() -> object:
        return log_dead_ball(log=log, ball=well_done(), by=people.observer, now=FOUND_OUT)

    answers = at_once(puts_in_force(draft, people), whistle)
    assert isinstance(answers[0], Touched) and not isinstance(answers[1], Exception)
    place = FindingCount.objects.get(log=log, rule="side", position="referee")
    assert (place.met, place.not_met) == (DEAD_BALLS + 1, 0)
