"""Queries and processor time of every page, at 90 and at 9,000 evaluations.

    python -m benchmarks.pages

Each size is an SQLite file of its own in a temporary folder, made by `benchmarks.association`; the
larger one takes 1.2 GB for as long as this runs. Each page that an admin, an observer, an official
and a board member can open is asked for several times; its time is the median of the process's
own, from the request to the last byte of the answer. The run fails when a page takes more queries
than QUERIES, or another number of them at the larger size, or more than GROWTH times as long.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from time import process_time
from typing import Final
from unittest.mock import patch

from django.core.management import call_command
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext, setup_test_environment
from django.utils import timezone

from accounts.models import Role
from benchmarks.association import NOW, build
from config.database import file_url
from tests.browser.examples import pages_of
from tests.databases import as_default
from tests.factories.accounts import Cast

SIZES: Final = (90, 9_000)
ROUNDS: Final = 7
QUERIES: Final = 42
LETTERS: Final = {"evaluations:crew_read": 2}
"""Letters that a page lays out, where it is more than one: each is read from the database anew."""
SLACK: Final = 2
"""Queries by which a page may differ between the sizes."""
GROWTH: Final = 3.0


@dataclass(frozen=True)
class Cost:
    queries: int
    seconds: float


Costs = dict[tuple[Role, str], Cost]


def main() -> int:
    setup_test_environment()
    with tempfile.TemporaryDirectory() as folder, patch.object(timezone, "now", lambda: NOW):
        small, large = (measured(Path(folder) / f"{size}.sqlite3", size) for size in SIZES)
    print(f"{'page':46}{'queries':>16}{'ms of processor':>20}{'times':>8}")
    failed = [line for page in small for line in compared(page, small[page], large[page])]
    print(f"{len(small)} pages")
    for line in failed:
        print(line)
    return 1 if failed else 0


def measured(file: Path, size: int) -> Costs:
    """What each page costs in a new database of a size."""
    with as_default(file_url(file)):
        call_command("migrate", verbosity=0)
        call_command("createcachetable", verbosity=0)
        began = process_time()
        cast = build(size)
        megabytes = file.stat().st_size / 1e6
        print(f"{size} evaluations: {megabytes:.0f} MB in {process_time() - began:.0f} s")
        return dict(costs(cast))


def costs(cast: Cast) -> Iterator[tuple[tuple[Role, str], Cost]]:
    people = {
        Role.ADMIN: cast.admin,
        Role.OBSERVER: cast.observer,
        Role.OFFICIAL: cast.official,
        Role.BOARD: cast.board,
    }
    for role, somebody in people.items():
        client = Client()
        client.force_login(somebody.user)
        for name, address in pages_of(role, somebody, NOW):
            yield (role, name), cost(client, address)


def cost(client: Client, address: str) -> Cost:
    with CaptureQueriesContext(connection) as captured:
        answer = client.get(address)
    assert answer.status_code == 200, (address, answer.status_code)
    queries = len(captured)
    times = [timed(lambda: client.get(address)) for _round in range(ROUNDS)]
    return Cost(queries, median(times))


def timed(work: Callable[[], object]) -> float:
    began = process_time()
    work()
    return process_time() - began


def compared(page: tuple[Role, str], small: Cost, large: Cost) -> list[str]:
    """Print a page's line; why it fails, if it does."""
    role, name = page
    name = f"{role.value} {name.removeprefix('evaluations:')}"
    growth = large.seconds / small.seconds
    queries = f"{small.queries} → {large.queries}"
    milliseconds = f"{small.seconds * 1e3:.1f} → {large.seconds * 1e3:.1f}"
    print(f"{name:46}{queries:>16}{milliseconds:>20}{growth:8.1f}")
    failed = []
    at_most = QUERIES * LETTERS.get(page[1], 1)
    if max(small.queries, large.queries) > at_most:
        failed.append(f"{name}: {large.queries} queries, more than {at_most}")
    if abs(large.queries - small.queries) > SLACK:
        failed.append(f"{name}: queries grow from {small.queries} to {large.queries}")
    if growth > GROWTH:
        failed.append(f"{name}: {growth:.1f} times as long at {SIZES[1]} evaluations")
    return failed


if __name__ == "__main__":
    sys.exit(main())
