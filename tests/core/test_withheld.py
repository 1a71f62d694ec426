"""A letter without a total: coaching, officials under 18, and when not enough was seen."""

import pytest

from evaluations.core.next_steps import withheld_for
from evaluations.core.scoring import Withheld, print_score, score
from tests.core.examples import ceiling, form, rate

NOT_ENOUGH = {"leaves": None, "arrives": None, "free_side": None}


@pytest.mark.parametrize(
    ("coaching", "under_18", "reason"),
    [
        (False, False, None),
        (True, False, Withheld.COACHING),
        (False, True, Withheld.UNDER_18),
        (True, True, Withheld.UNDER_18),
    ],
)
def test_coaching_and_youth_withhold_the_total(
    coaching: bool, under_18: bool, reason: Withheld | None
) -> None:
    assert withheld_for(coaching=coaching, under_18=under_18) is reason


@pytest.mark.parametrize("reason", [Withheld.COACHING, Withheld.UNDER_18])
def test_a_withheld_total_leaves_no_figure_to_work_it_out_from(reason: Withheld) -> None:
    rubric = form(ceilings=(ceiling("facing", 50),))
    card = score(rubric, rate(rubric, 3, facing=1), withhold=reason)
    assert card.withheld is reason
    assert (card.uncapped, card.total, card.band, card.between) == (None,) * 4
    assert card.bites == ()
    assert all(c.points is None and c.room is None for c in card.criteria)
    assert all(a.share is None for a in card.areas)
    assert print_score(card) is None


def test_what_was_seen_is_still_there_for_the_next_steps() -> None:
    rubric = form()
    card = score(rubric, rate(rubric, 3), withhold=Withheld.COACHING)
    assert card.share_seen == 1
    assert {c.level for c in card.criteria} == {3}


def test_not_enough_seen_withholds_the_total_of_a_scored_observation() -> None:
    rubric = form()
    card = score(rubric, rate(rubric, 3, **NOT_ENOUGH))
    assert card.withheld is Withheld.NOT_ENOUGH_SEEN
    assert print_score(card) is None


def test_the_lasting_reason_is_named_before_the_passing_one() -> None:
    rubric = form()
    card = score(rubric, rate(rubric, 3, **NOT_ENOUGH), withhold=Withheld.UNDER_18)
    assert card.withheld is Withheld.UNDER_18
