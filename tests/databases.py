"""Real databases for tests whose work is seen from several threads.

A test that is rolled back at its end can neither serve a browser nor show a race. Such a test gets
a database of its own: a copy of a migrated one, thrown away afterwards. So nothing is emptied, and
tables that refuse to be emptied need no exception.
"""

from __future__ import annotations

import getpass
import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol
from urllib.parse import quote
from uuid import uuid4

import psycopg
from django.core.management import call_command
from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper
from psycopg import sql

from config.database import database_settings, file_url
from tests.needs import missing, postgres_folder

MIGRATED = "migrated"


class Server(Protocol):
    """Where databases are made by name."""

    def url(self, name: str) -> str: ...
    def create(self, name: str) -> None: ...
    def copy(self, source: str, target: str) -> None: ...
    def drop(self, name: str) -> None: ...


@dataclass(frozen=True)
class SqliteFiles:
    folder: Path

    def file(self, name: str) -> Path:
        return self.folder / f"{name}.sqlite3"

    def url(self, name: str) -> str:
        return file_url(self.file(name))

    def create(self, name: str) -> None:
        self.file(name).touch(exist_ok=False)

    def copy(self, source: str, target: str) -> None:
        shutil.copyfile(self.file(source), self.file(target))

    def drop(self, name: str) -> None:
        for file in self.folder.glob(f"{name}.sqlite3*"):
            file.unlink()


@dataclass(frozen=True)
class PostgresCluster:
    """Reached by a socket in its folder alone."""

    folder: Path
    user: str

    def url(self, name: str) -> str:
        return f"postgres://{self.user}@{quote(str(self.folder), safe='')}/{name}"

    def create(self, name: str) -> None:
        self._run(sql.SQL("CREATE DATABASE {}").format(sql.Identifier(name)))

    def copy(self, source: str, target: str) -> None:
        names = sql.Identifier(target), sql.Identifier(source)
        self._run(sql.SQL("CREATE DATABASE {} TEMPLATE {}").format(*names))

    def drop(self, name: str) -> None:
        self._run(sql.SQL("DROP DATABASE {} WITH (FORCE)").format(sql.Identifier(name)))

    def _run(self, statement: sql.Composed) -> None:
        host = str(self.folder)
        with psycopg.connect(
            host=host, user=self.user, dbname="postgres", autocommit=True
        ) as connection:
            connection.execute(statement)


@contextmanager
def postgres_cluster() -> Iterator[PostgresCluster]:
    """A PostgreSQL in a temporary folder, run by the user postgres where the tests run as root."""
    programs = postgres_folder()
    user = "postgres" if os.geteuid() == 0 else getpass.getuser()
    with tempfile.TemporaryDirectory(prefix="crewmark-pg-", ignore_cleanup_errors=True) as name:
        folder = Path(name)
        data = folder / "data"
        as_user = _as_user(user, folder)
        # Losing this database to a power cut would cost nothing.
        options = f"-k {folder} -c listen_addresses= -c fsync=off -c full_page_writes=off"
        control = [*as_user, str(programs / "pg_ctl"), "-D", str(data), "-s", "-w"]
        _run(*as_user, str(programs / "initdb"), "-D", str(data), "-U", user, "-A", "trust", "-N")
        _run(*control, "-l", str(folder / "log"), "-o", options, "start")
        try:
            yield PostgresCluster(folder, user)
        finally:
            _run(*control, "-m", "immediate", "stop")


def _as_user(user: str, folder: Path) -> list[str]:
    if os.geteuid() != 0:
        return []
    try:
        pwd.getpwnam(user)
    except KeyError:
        missing("PostgreSQL's user", "install its server (Debian: apt-get install postgresql)")
    shutil.chown(folder, user, user)
    return ["runuser", "-u", user, "--"]


def _run(*command: str) -> None:
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode:
        raise RuntimeError(f"{command}: {done.stdout} {done.stderr}")


@contextmanager
def as_default(url: str) -> Iterator[None]:
    """Inside the with block the default database is the one at `url`, in every thread."""
    before = connections.settings["default"]
    connection_before = connections["default"]
    _close(connection_before)
    entry = {"default": database_settings(url)}
    connections.settings["default"] = connections.configure_settings(entry)["default"]
    del connections["default"]
    try:
        yield
    finally:
        _close(connections["default"])
        connections.settings["default"] = before
        connections["default"] = connection_before


def _close(connection: BaseDatabaseWrapper) -> None:
    """Close it and its pool, which Django keeps by alias; a database in memory stays open."""
    connection.close()
    close_pool = getattr(connection, "close_pool", None)
    if close_pool is not None:
        close_pool()


def migrate(server: Server) -> None:
    """Make the database that the others are copied from."""
    server.create(MIGRATED)
    with as_default(server.url(MIGRATED)):
        call_command("migrate", verbosity=0)
        call_command("createcachetable", verbosity=0)


@contextmanager
def own_copy(server: Server, source: str = MIGRATED) -> Iterator[None]:
    """Work on a fresh copy of `source` and throw it away."""
    name = f"copy_{uuid4().hex}"
    server.copy(source, name)
    try:
        with as_default(server.url(name)):
            yield
    finally:
        server.drop(name)
