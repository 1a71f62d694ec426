"""Two admins at the same moment, on a database that lets them run side by side."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest
from django.core.exceptions import ValidationError
from django.db import connection

from accounts.models import Membership
from evaluations.models import Rubric, Season
from evaluations.services.errors import Refused, StaleVersion
from evaluations.services.rubric_edits import set_area_labels
from evaluations.services.rubrics import approve, propose, withdraw_proposal
from evaluations.services.shipped_rubric import add_shipped_rubric
from tests.factories.accounts import NOW, Cast, make_cast
from tests.factories.evaluations import season_of

ROUNDS = 5

pytestmark = pytest.mark.usefixtures("own_postgres")


@pytest.fixture
def people() -> Cast:
    return make_cast()


def at_once(*steps: Callable[[], object]) -> list[object]:
    """What each step returned or was refused with, all let go at the same moment."""
    barrier = Barrier(len(steps))

    def run(step: Callable[[], object]) -> object:
        try:
            barrier.wait()
            return step()
        except (Refused, ValidationError) as refusal:
            return refusal
        finally:
            connection.close()

    with ThreadPoolExecutor(len(steps)) as pool:
        return list(pool.map(run, steps))


def renamed(rubric: Rubric, label: str, by: Membership) -> Callable[[], object]:
    return lambda: set_area_labels(
        rubric=rubric,
        version=rubric.version,
        area="signals",
        labels={"en": label},
        by=by,
        now=NOW,
    )


def test_one_of_two_saves_wins_and_the_other_is_told(people: Cast) -> None:
    rubric = add_shipped_rubric(season=season_of(people.association), by=people.admin, now=NOW)
    for _round in range(ROUNDS):
        rubric.refresh_from_db()
        before = rubric.version
        answers = at_once(
            renamed(rubric, "First", people.admin), renamed(rubric, "Second", people.second_admin)
        )
        refusals = [a for a in answers if isinstance(a, StaleVersion)]
        assert len(refusals) == 1
        rubric.refresh_from_db()
        assert rubric.version == before + 1
        won = "First" if isinstance(answers[0], Rubric) else "Second"
        signals = rubric.areas.get(key="signals")
        assert signals.texts.get(language="en").label == won


def test_approval_and_withdrawal_at_once_leave_one_of_them(people: Cast) -> None:
    rubric = add_shipped_rubric(season=season_of(people.association), by=people.admin, now=NOW)
    proposed = propose(rubric=rubric, version=rubric.version, by=people.admin, now=NOW)
    version = proposed.version
    answers = at_once(
        lambda: approve(rubric=proposed, version=version, by=people.second_admin, now=NOW),
        lambda: withdraw_proposal(rubric=proposed, version=version, by=people.admin, now=NOW),
    )
    done = [a for a in answers if isinstance(a, Rubric)]
    assert len(done) == 1
    assert Rubric.objects.get(pk=rubric.pk).state == done[0].state


def test_two_admins_who_begin_a_season_at_once_make_one_draft(people: Cast) -> None:
    season: Season = season_of(people.association)
    answers = at_once(
        lambda: add_shipped_rubric(season=season, by=people.admin, now=NOW),
        lambda: add_shipped_rubric(season=season, by=people.second_admin, now=NOW),
    )
    assert sorted(type(a).__name__ for a in answers) == ["Rubric", "ValidationError"]
    assert season.rubrics.count() == 1
