"""A missing program skips its tests, and under CI that skip is a failure."""

from __future__ import annotations

import pytest

from tests.needs import program


def test_without_ci_the_skip_says_how_to_get_the_program(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("CI", raising=False)
    with pytest.raises(pytest.skip.Exception, match="no-such-program is not here: build it"):
        program("no-such-program", "build it")


def test_under_ci_the_same_is_a_failure(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CI", "true")
    with pytest.raises(pytest.fail.Exception, match="no-such-program is not here: build it"):
        program("no-such-program", "build it")
