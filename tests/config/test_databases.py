"""What the site's databases are set to do, seen on real ones."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from django.core.cache import cache
from django.core.exceptions import ImproperlyConfigured
from django.db import connection, transaction

from config.database import database_settings, file_url


def pragma(name: str) -> object:
    with connection.cursor() as cursor:
        cursor.execute(f"PRAGMA {name}")
        return cursor.fetchone()[0]


@pytest.mark.usefixtures("own_sqlite")
def test_a_save_on_sqlite_survives_a_power_cut_and_readers_do_not_wait_for_it() -> None:
    assert pragma("journal_mode") == "wal"
    assert pragma("synchronous") == 2
    assert pragma("recursive_triggers") == 1


@pytest.mark.usefixtures("own_sqlite")
def test_a_transaction_on_sqlite_holds_the_right_to_write_from_its_first_moment() -> None:
    order: list[str] = []
    begun = threading.Event()

    def second() -> None:
        begun.set()
        with transaction.atomic():
            order.append("second")
        connection.close()

    thread = threading.Thread(target=second)
    with transaction.atomic():
        thread.start()
        begun.wait()
        thread.join(timeout=0.2)
        order.append("first")
    thread.join()
    assert order == ["first", "second"]


@pytest.mark.usefixtures("own_postgres")
def test_postgres_answers_through_a_pool_and_a_socket() -> None:
    assert connection.vendor == "postgresql"
    assert connection.settings_dict["OPTIONS"]["pool"]
    cache.set("limit", 3)
    assert cache.get("limit") == 3


def test_a_socket_folder_keeps_its_own_case() -> None:
    settings = database_settings("postgres://me@%2Frun%2FMyPg:5433/season")
    assert (settings["HOST"], settings["PORT"], settings["NAME"]) == ("/run/MyPg", "5433", "season")


def test_a_file_in_a_folder_with_a_space_is_found(tmp_path: Path) -> None:
    file = tmp_path / "our season" / "site.sqlite3"
    assert database_settings(file_url(file))["NAME"] == str(file)
    assert file.parent.is_dir()


def test_another_kind_of_database_is_refused() -> None:
    with pytest.raises(ImproperlyConfigured, match="DATABASE_URL must begin with"):
        database_settings("mysql://me@db.example.org/season")
