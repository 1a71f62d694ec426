"""The lists that first pages are made of."""

from __future__ import annotations

from evaluations.models import Observation
from evaluations.queries.work import overdue, to_do, waiting_for_release
from tests.factories.accounts import Cast
from tests.factories.releases import OPEN_AT, crew_of, hand_in


def counts(observation: Observation) -> tuple[int, int]:
    """Forms that are open, and forms that wait for release."""
    counted = vars(observation)
    return counted["open_forms"], counted["waiting"]


def test_a_crew_s_open_and_submitted_forms_are_counted(cast: Cast) -> None:
    observation = crew_of(cast)
    first, second = observation.evaluations.all()
    hand_in(first)
    [to_finish] = to_do(cast.observer)
    assert counts(to_finish) == (1, 1)
    assert not waiting_for_release(cast.admin).exists()
    hand_in(second)
    [ready] = waiting_for_release(cast.admin)
    assert counts(ready) == (0, 2)
    assert not to_do(cast.observer).exists()


def test_only_what_is_due_and_not_in_is_overdue(cast: Cast) -> None:
    observation = crew_of(cast)
    assert list(overdue(cast.admin, OPEN_AT)) == []
    late = observation.due_at.replace(day=observation.due_at.day + 1)
    [found] = overdue(cast.admin, late)
    assert counts(found) == (2, 0)
    for form in observation.evaluations.all():
        hand_in(form)
    assert list(overdue(cast.admin, late)) == []
