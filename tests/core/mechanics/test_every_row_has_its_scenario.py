"""The scenario tables leave nothing out: no row, no side, no caller, no situation."""

from __future__ import annotations

from collections import Counter

import pytest

from evaluations.core.mechanics.code import row_for, situations
from tests.core.mechanics.crews import ALL_CODES, code
from tests.core.mechanics.scenario_tables import NO_SOURCE, TABLES, table


def test_every_shipped_code_has_its_table() -> None:
    assert {file.stem for file in TABLES.iterdir()} == set(ALL_CODES)


@pytest.mark.parametrize("key", ALL_CODES)
def test_a_table_has_every_situation_once(key: str) -> None:
    told = Counter(situation for scenario in table(key) for situation in scenario.situations)
    assert set(told) == set(situations(code(key).crews[0]))
    assert set(told.values()) == {1}


@pytest.mark.parametrize("key", ALL_CODES)
def test_every_row_has_a_scenario(key: str) -> None:
    rows = {row_for(code(key), s) for scenario in table(key) for s in scenario.situations}
    assert rows == set(range(len(code(key).rows)))


@pytest.mark.parametrize("key", ALL_CODES)
def test_every_scenario_has_its_own_name_a_situation_and_a_source(key: str) -> None:
    names = [scenario.name for scenario in table(key)]
    assert len(names) == len(set(names))
    assert all(scenario.situations for scenario in table(key))
    assert {scenario.source for scenario in table(key)} == {NO_SOURCE}
