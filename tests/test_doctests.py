"""The examples in docstrings and in DEVELOPERS.md say what really comes out."""

from __future__ import annotations

import doctest
import importlib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
MODULES = sorted(
    ".".join(file.relative_to(ROOT).with_suffix("").parts)
    for room in ("core", "letters")
    for file in (ROOT / "evaluations" / room).rglob("[a-z]*.py")
)


@pytest.mark.parametrize("name", MODULES)
def test_examples_of_a_module(name: str) -> None:
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def test_examples_for_developers() -> None:
    text = doctest.testfile(str(ROOT / "DEVELOPERS.md"), module_relative=False)
    assert text.attempted > 0
    assert text.failed == 0
