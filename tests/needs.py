"""Programs that some tests want and that no Python package brings.

Where one is missing, its tests are skipped with a line that says how to get it. Under CI that skip
is a failure, so that nothing goes untested unseen.
"""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from typing import NoReturn

import pytest

CHROMIUM_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")


def missing(what: str, how_to_get_it: str) -> NoReturn:
    message = f"{what} is not here: {how_to_get_it}"
    if os.environ.get("CI", "").lower() in {"1", "true", "yes"}:
        pytest.fail(message, pytrace=False)
    pytest.skip(message)


def program(name: str, how_to_get_it: str) -> Path:
    """The path of the program, wherever PATH finds it."""
    found = shutil.which(name)
    if found is None:
        missing(name, how_to_get_it)
    return Path(found)


def chromium() -> Path:
    """The system's Chromium or one of its relatives."""
    for name in CHROMIUM_NAMES:
        if found := shutil.which(name):
            return Path(found)
    missing("Chromium", "install Chromium or Chrome (Debian: apt-get install chromium)")


def postgres_folder() -> Path:
    """The folder with initdb and pg_ctl of the newest PostgreSQL."""
    candidates = sorted(
        Path("/usr/lib/postgresql").glob("*/bin"), key=lambda folder: float(folder.parent.name)
    )
    if on_path := shutil.which("initdb"):
        candidates.insert(0, Path(on_path).resolve().parent)
    for folder in reversed(candidates):
        if (folder / "initdb").exists() and (folder / "pg_ctl").exists():
            return folder
    missing("PostgreSQL", "install its server (Debian: apt-get install postgresql)")
