"""Areas and criteria of a draft: added, moved, taken away and put back."""

from __future__ import annotations

from decimal import Decimal

import pytest

from evaluations.core.rubric_content import CRITERIA_AT_MOST
from evaluations.models import Rubric
from evaluations.queries.rubrics import rubric_content, rubric_spec
from evaluations.services.errors import Refused
from evaluations.services.rubric_edits import set_ceiling, set_levels
from evaluations.services.rubric_parts import (
    add_area,
    add_criterion,
    move_area,
    move_criterion,
    remove_area,
    remove_criterion,
)
from evaluations.services.rubrics import undo_removal
from evaluations.services.shipped_rubric import add_shipped_rubric
from tests.factories.accounts import NOW, Cast
from tests.factories.evaluations import season_of


@pytest.fixture
def draft(cast: Cast) -> Rubric:
    return add_shipped_rubric(season=season_of(cast.association), by=cast.admin, now=NOW)


def area_keys(draft: Rubric) -> list[str]:
    return [a.key for a in rubric_content(draft).areas]


def criteria_of(draft: Rubric, area: str) -> list[str]:
    found = rubric_content(draft).area(area)
    assert found is not None
    return [c.key for c in found.criteria]


def stored(draft: Rubric) -> Rubric:
    return Rubric.objects.get(pk=draft.pk)


def new_area(draft: Rubric, cast: Cast, label: str = "Game control") -> str:
    return add_area(
        rubric=draft,
        version=stored(draft).version,
        label=label,
        weight=Decimal("12.5"),
        first_criterion="Settles the bench early",
        by=cast.admin,
        now=NOW,
    )


def new_criterion(draft: Rubric, cast: Cast, label: str, area: str = "signals") -> str:
    version = stored(draft).version
    return add_criterion(
        rubric=draft, version=version, area=area, label=label, by=cast.admin, now=NOW
    )


def test_a_new_area_comes_last_with_its_first_criterion(draft: Rubric, cast: Cast) -> None:
    key = new_area(draft, cast)
    assert area_keys(draft)[-1] == key == "game-control"
    area = rubric_content(draft).area(key)
    assert area and (area.weight, dict(area.labels)) == (
        Decimal("12.5"),
        {"en": "Game control"},
    )
    assert [(c.key, c.texts["en"].label) for c in area.criteria] == [
        ("settles-the-bench-early", "Settles the bench early")
    ]
    assert rubric_spec(draft).areas_weight == Decimal("112.5")


def test_a_new_criterion_comes_last_in_its_area_with_weight_1(draft: Rubric, cast: Cast) -> None:
    key = new_criterion(draft, cast, "Shows the count")
    assert criteria_of(draft, "signals")[-1] == key == "shows-the-count"
    assert rubric_spec(draft).area_of[key].criteria[-1].weight == 1


def test_keys_stay_apart_whatever_the_names(draft: Rubric, cast: Cast) -> None:
    keys = [new_criterion(draft, cast, name) for name in ("Count", "Count", "計数", "x" * 60)]
    assert keys == ["count", "count-2", "criterion", "x" * 40]
    assert new_criterion(draft, cast, "x" * 60) == "x" * 38 + "-2"


def test_a_criterion_of_another_area_does_not_lend_its_key(draft: Rubric, cast: Cast) -> None:
    new_criterion(draft, cast, "Count", area="signals")
    assert new_criterion(draft, cast, "Count", area="switching") == "count-2"


def test_the_21st_criterion_is_refused(draft: Rubric, cast: Cast) -> None:
    for n in range(CRITERIA_AT_MOST - 12):
        new_criterion(draft, cast, f"Number {n}")
    with pytest.raises(Refused, match="20 criteria"):
        new_criterion(draft, cast, "One too many")
    with pytest.raises(Refused, match="20 criteria"):
        new_area(draft, cast)


def test_areas_change_places(draft: Rubric, cast: Cast) -> None:
    before = area_keys(draft)
    moved = move_area(
        rubric=draft, version=draft.version, area=before[1], up=True, by=cast.admin, now=NOW
    )
    assert area_keys(draft) == [before[1], before[0], *before[2:]]
    move_area(rubric=draft, version=moved.version, area=before[1], up=True, by=cast.admin, now=NOW)
    assert area_keys(draft)[0] == before[1]


def test_criteria_change_places_within_their_area(draft: Rubric, cast: Cast) -> None:
    first, second, third = criteria_of(draft, "signals")
    moved = move_criterion(
        rubric=draft, version=draft.version, criterion=first, up=False, by=cast.admin, now=NOW
    )
    assert criteria_of(draft, "signals") == [second, first, third]
    move_criterion(
        rubric=draft, version=moved.version, criterion=third, up=False, by=cast.admin, now=NOW
    )
    assert criteria_of(draft, "signals") == [second, first, third]


def test_an_area_is_removed_with_all_it_has_and_put_back(draft: Rubric, cast: Cast) -> None:
    set_ceiling(
        rubric=draft,
        version=draft.version,
        criterion=criteria_of(draft, "signals")[0],
        area=None,
        at_most=Decimal(60),
        by=cast.admin,
        now=NOW,
    )
    before = rubric_content(draft)
    version = stored(draft).version
    removed = remove_area(rubric=draft, version=version, area="signals", by=cast.admin, now=NOW)
    assert "signals" not in area_keys(draft)
    assert rubric_spec(draft).ceilings == ()
    assert removed.undo is not None and removed.undo["removed"] == "Signals"
    undo_removal(rubric=draft, version=removed.version, by=cast.second_admin, now=NOW)
    assert rubric_content(stored(draft)) == before


def test_a_criterion_is_removed_and_put_back(draft: Rubric, cast: Cast) -> None:
    before = rubric_content(draft)
    key = criteria_of(draft, "signals")[1]
    removed = remove_criterion(
        rubric=draft, version=draft.version, criterion=key, by=cast.admin, now=NOW
    )
    assert key not in criteria_of(draft, "signals")
    undo_removal(rubric=draft, version=removed.version, by=cast.admin, now=NOW)
    assert rubric_content(stored(draft)) == before


def test_after_the_next_save_there_is_nothing_to_put_back(draft: Rubric, cast: Cast) -> None:
    removed = remove_area(
        rubric=draft, version=draft.version, area="signals", by=cast.admin, now=NOW
    )
    later = set_levels(rubric=draft, version=removed.version, levels=4, by=cast.admin, now=NOW)
    with pytest.raises(Refused, match="nothing to put back"):
        undo_removal(rubric=draft, version=later.version, by=cast.admin, now=NOW)


def test_the_last_criterion_of_an_area_stays(draft: Rubric, cast: Cast) -> None:
    key = new_area(draft, cast)
    only = criteria_of(draft, key)[0]
    with pytest.raises(Refused, match="Remove the area instead"):
        remove_criterion(
            rubric=draft, version=stored(draft).version, criterion=only, by=cast.admin, now=NOW
        )
    assert criteria_of(draft, key) == [only]


def test_the_last_area_stays(draft: Rubric, cast: Cast) -> None:
    for key in area_keys(draft)[1:]:
        version = stored(draft).version
        remove_area(rubric=draft, version=version, area=key, by=cast.admin, now=NOW)
    with pytest.raises(Refused, match="at least one area"):
        remove_area(
            rubric=draft,
            version=stored(draft).version,
            area=area_keys(draft)[0],
            by=cast.admin,
            now=NOW,
        )
    assert len(area_keys(draft)) == 1
