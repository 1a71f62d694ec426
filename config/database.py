"""How Crewmark talks to SQLite, its embedded default, and to PostgreSQL."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from config import environment

# FULL makes an acknowledged save survive a power cut. Triggers that keep the log append-only
# must also see INSERT OR REPLACE, hence recursive_triggers. WAL is a property of the file:
# from the second connection on this asks for what is already so.
SQLITE_PRAGMAS = "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA recursive_triggers=ON; "
# Seconds that a writer waits for another one.
SQLITE_TIMEOUT = 20
# Seconds that an idle connection is kept, so that each request needn't open its own.
KEEP_CONNECTION = 60


def database_settings(var: Path) -> dict[str, Any]:
    """DATABASE_URL as one entry of DATABASES; without it an SQLite file in `var`."""
    settings = environment.database("DATABASE_URL", default=f"sqlite:///{var / 'crewmark.sqlite3'}")
    if settings["ENGINE"] == "django.db.backends.sqlite3":
        Path(settings["NAME"]).parent.mkdir(parents=True, exist_ok=True)
        return settings | {
            "CONN_MAX_AGE": KEEP_CONNECTION,
            "OPTIONS": {
                # A transaction that begins to write later may meet "database is locked" at once.
                "transaction_mode": "IMMEDIATE",
                "timeout": SQLITE_TIMEOUT,
                "init_command": SQLITE_PRAGMAS,
            },
        }
    options = settings.get("OPTIONS", {})
    return settings | {
        "CONN_HEALTH_CHECKS": True,
        "OPTIONS": options | {"pool": {"min_size": 1, "max_size": 10, "timeout": 10}},
    }
