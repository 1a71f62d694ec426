"""How Crewmark talks to SQLite, its embedded default, and to PostgreSQL."""

from __future__ import annotations

from pathlib import Path
from typing import Any
from urllib.parse import quote, unquote, urlsplit

from django.core.exceptions import ImproperlyConfigured
from environ import Env

# FULL makes an acknowledged save survive a power cut. Triggers that keep the log append-only
# must also see INSERT OR REPLACE, hence recursive_triggers. WAL is a property of the file: from
# the second connection on, asking for it changes nothing.
SQLITE_PRAGMAS = "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA recursive_triggers=ON"
# Seconds that a writer waits for another one.
SQLITE_TIMEOUT = 20
# Seconds that an idle connection is kept, so that a request needn't open its own.
KEEP_CONNECTION = 60


def file_url(file: Path) -> str:
    """The address of an SQLite file; the path must be absolute."""
    return f"sqlite:///{quote(str(file))}"


def database_settings(url: str) -> dict[str, Any]:
    """A database's address as one entry of DATABASES; SQLite or PostgreSQL.

    A socket folder may be given as the host, percent-encoded: postgres://user@%2Frun%2Fpg/name.
    """
    scheme = urlsplit(url).scheme
    if scheme == "sqlite":
        return _sqlite(dict(Env.db_url_config(url)))
    if scheme in {"postgres", "postgresql"}:
        return _postgres(dict(Env.db_url_config(url)), url)
    raise ImproperlyConfigured("DATABASE_URL must begin with sqlite:// or postgres://.")


def _sqlite(settings: dict[str, Any]) -> dict[str, Any]:
    if settings["NAME"] != ":memory:":
        Path(settings["NAME"]).parent.mkdir(parents=True, exist_ok=True)
    return settings | {
        "CONN_MAX_AGE": KEEP_CONNECTION,
        "OPTIONS": {
            # A transaction that turns to writing later may meet "database is locked" at once.
            "transaction_mode": "IMMEDIATE",
            "timeout": SQLITE_TIMEOUT,
            "init_command": SQLITE_PRAGMAS,
        },
    }


def _postgres(settings: dict[str, Any], url: str) -> dict[str, Any]:
    host = urlsplit(url).netloc.rpartition("@")[2]
    if host.lower().startswith("%2f"):
        # The parser keeps such a host as it stands and in lower case; a folder has its own case.
        folder, _, port = host.partition(":")
        settings |= {"HOST": unquote(folder), "PORT": port}
    pool = {"min_size": 1, "max_size": 10, "timeout": 10}
    return settings | {
        "CONN_HEALTH_CHECKS": True,
        "OPTIONS": settings.get("OPTIONS", {}) | {"pool": pool},
    }
