"""The people of the tests, and databases of their own for tests that need several threads.

A test of one request or one service uses pytest-django's `db`, which rolls back.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.core.management import call_command
from django.utils import translation
from pytest_django import DjangoDbBlocker

from tests.databases import (
    MIGRATED,
    PostgresCluster,
    SqliteFiles,
    as_default,
    migrate,
    own_copy,
    postgres_cluster,
)
from tests.factories.accounts import Cast, make_cast

# Here, because tests of several folders open pages.
pytest_plugins = ["tests.browser.pages"]

DEMO = "demo"


@pytest.fixture(autouse=True)
def the_sites_own_language() -> None:
    """A request without an account leaves the language it asked for to whatever runs next."""
    translation.deactivate()


@pytest.fixture(scope="session")
def sqlite_files(
    tmp_path_factory: pytest.TempPathFactory, django_db_blocker: DjangoDbBlocker
) -> SqliteFiles:
    """A folder with a migrated SQLite database to copy."""
    files = SqliteFiles(tmp_path_factory.mktemp("databases"))
    with django_db_blocker.unblock():
        migrate(files)
    return files


@pytest.fixture(scope="session")
def postgres(django_db_blocker: DjangoDbBlocker) -> Iterator[PostgresCluster]:
    """A throwaway PostgreSQL with a migrated database to copy."""
    with postgres_cluster() as cluster:
        with django_db_blocker.unblock():
            migrate(cluster)
        yield cluster


@pytest.fixture
def own_sqlite(sqlite_files: SqliteFiles, django_db_blocker: DjangoDbBlocker) -> Iterator[None]:
    """The default database is an SQLite file of this test's own."""
    with django_db_blocker.unblock(), own_copy(sqlite_files):
        yield


@pytest.fixture(scope="session")
def demo_files(sqlite_files: SqliteFiles, django_db_blocker: DjangoDbBlocker) -> SqliteFiles:
    """The same folder, with the demo season to copy as well."""
    with django_db_blocker.unblock():
        sqlite_files.copy(MIGRATED, DEMO)
        with as_default(sqlite_files.url(DEMO)):
            call_command("seed_demo", verbosity=0)
    return sqlite_files


@pytest.fixture
def own_demo(demo_files: SqliteFiles, django_db_blocker: DjangoDbBlocker) -> Iterator[None]:
    """The default database is an SQLite file with the demo season, of this test's own."""
    with django_db_blocker.unblock(), own_copy(demo_files, DEMO):
        yield


@pytest.fixture
def own_postgres(postgres: PostgresCluster, django_db_blocker: DjangoDbBlocker) -> Iterator[None]:
    """The default database is a PostgreSQL of this test's own."""
    with django_db_blocker.unblock(), own_copy(postgres):
        yield


@pytest.fixture
def cast(db: None) -> Cast:
    """Everybody whom the tests speak of, in two associations."""
    return make_cast()
