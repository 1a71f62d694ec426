"""Two admins at one mechanics code at the same moment, on a database that lets both run."""

from __future__ import annotations

from functools import partial

import pytest

from evaluations.models import CodeEdition, Rubric
from evaluations.queries.code_pages import open_situations
from evaluations.queries.codes import mechanics_code
from evaluations.services.code_edits import move_row, remove_row
from evaluations.services.codes import start_from_shipped
from evaluations.services.errors import Refused, StaleVersion
from evaluations.services.rubrics import propose, withdraw_proposal
from evaluations.services.shipped_rubric import add_shipped_rubric
from tests.factories.accounts import NOW, Cast, make_cast
from tests.factories.evaluations import season_of
from tests.services.test_rubric_races import ROUNDS, at_once

pytestmark = pytest.mark.usefixtures("own_postgres")


@pytest.fixture
def people() -> Cast:
    return make_cast()


def begun(people: Cast) -> CodeEdition:
    return start_from_shipped(
        association=people.association, key="two_person_every_foul", by=people.admin, now=NOW
    )


def test_one_of_two_saves_wins_and_the_other_is_told(people: Cast) -> None:
    code = begun(people)
    for version in range(1, ROUNDS + 1):
        rows = mechanics_code(CodeEdition.objects.get()).rows
        answers = at_once(
            *(
                partial(move_row, code=code, version=version, number=1, up=False, by=by, now=NOW)
                for by in (people.admin, people.second_admin)
            )
        )
        assert [type(a) for a in answers].count(StaleVersion) == 1
        assert mechanics_code(CodeEdition.objects.get()).rows[:2] == (rows[1], rows[0])


def test_no_rubric_is_proposed_with_a_row_taken_out_at_that_moment(people: Cast) -> None:
    code = begun(people)
    rubric = add_shipped_rubric(season=season_of(people.association), by=people.admin, now=NOW)
    for _round in range(ROUNDS):
        rubric, code = Rubric.objects.get(), CodeEdition.objects.get()
        answers = at_once(
            partial(
                propose, rubric=rubric, version=rubric.version, by=people.second_admin, now=NOW
            ),
            partial(
                remove_row, code=code, version=code.version, number=26, by=people.admin, now=NOW
            ),
        )
        assert [isinstance(a, Refused) for a in answers].count(True) == 1
        proposed, stored = Rubric.objects.get(), CodeEdition.objects.get()
        if proposed.state == Rubric.State.DRAFT:
            assert open_situations(stored) > 0
            return
        assert open_situations(stored) == 0
        withdraw_proposal(
            rubric=proposed, version=proposed.version, by=people.second_admin, now=NOW
        )


def test_two_admins_begin_two_editions(people: Cast) -> None:
    admins = (people.admin, people.second_admin)
    start = partial(start_from_shipped, association=people.association, key="three_person", now=NOW)
    at_once(*(partial(start, by=by) for by in admins))
    assert sorted(CodeEdition.objects.values_list("edition", flat=True)) == [1, 2]
