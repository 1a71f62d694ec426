"""The demo is made the way people make a season: by services, with the calendar's time."""

from __future__ import annotations

import ast
import doctest
import importlib
from datetime import timedelta
from pathlib import Path

import pytest

import seed_demo
from accounts.models import AuditEntry
from seed_demo.moments import FOUNDED, NOW, at
from seed_demo.timeline import Timeline

FOLDER = Path(seed_demo.__file__).parent
MODULES = sorted(FOLDER.rglob("*.py"))
WRITES = {"create", "get_or_create", "update_or_create", "bulk_create", "bulk_update", "update"}
WRITES |= {"save", "delete", "full_clean", "add_to_class"}


def attributes(module: Path) -> set[str]:
    tree = ast.parse(module.read_text(encoding="utf-8"))
    return {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}


@pytest.mark.parametrize("module", MODULES, ids=lambda file: str(file.relative_to(FOLDER)))
def test_no_module_writes_rows_itself(module: Path) -> None:
    assert attributes(module) & WRITES == set()


@pytest.mark.parametrize("module", MODULES, ids=lambda file: str(file.relative_to(FOLDER)))
def test_no_module_asks_for_the_time(module: Path) -> None:
    assert attributes(module) & {"now", "utcnow", "today", "localtime", "monotonic"} == set()


@pytest.mark.parametrize("name", ["chance", "moments"])
def test_examples_of_a_module(name: str) -> None:
    assert doctest.testmod(importlib.import_module(f"seed_demo.{name}")).failed == 0


@pytest.mark.usefixtures("own_demo")
def test_the_audit_log_tells_the_season_in_order() -> None:
    times = list(AuditEntry.objects.order_by("pk").values_list("at", flat=True))
    of_season = [moment for moment in times if moment > at("2026-10-01 00:00")]
    assert of_season == sorted(of_season)
    assert min(times) >= FOUNDED
    assert max(times) <= NOW
    actions = set(AuditEntry.objects.values_list("action", flat=True))
    assert {"invitation.accepted", "rubric.published", "release.made", "review.closed"} <= actions


def test_steps_are_played_in_order_and_the_future_does_not_happen() -> None:
    timeline, played = Timeline(), []
    start = at("2026-10-01 12:00")

    def note(word: str, hours: int) -> None:
        timeline.add(start + timedelta(hours=hours), lambda _now: played.append(word))

    note("second", 2)
    note("first", 1)
    note("at the same moment", 2)
    note("tomorrow", 24)
    timeline.add(start + timedelta(hours=3), lambda _now: note("planned meanwhile", 4))
    timeline.play(until=start + timedelta(hours=5))
    assert played == ["first", "second", "at the same moment", "planned meanwhile"]
