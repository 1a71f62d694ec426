"""Databases of their own for tests that need real commits and several threads.

A test of one request or one service uses pytest-django's `db`, which rolls back.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from pytest_django import DjangoDbBlocker

from tests.databases import PostgresCluster, SqliteFiles, migrate, own_copy, postgres_cluster


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


@pytest.fixture
def own_postgres(postgres: PostgresCluster, django_db_blocker: DjangoDbBlocker) -> Iterator[None]:
    """The default database is a PostgreSQL of this test's own."""
    with django_db_blocker.unblock(), own_copy(postgres):
        yield
