"""`manage.py seed_demo`: what it prints, that it is the same each time, and where it refuses."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import sha256
from io import StringIO
from pathlib import Path
from time import monotonic
from typing import Any

import pytest
from django.apps import apps
from django.conf import settings
from django.core.management import CommandError, call_command
from django.core.serializers.json import DjangoJSONEncoder
from pytest_django import DjangoDbBlocker, Settings

from accounts.models import Association, User
from accounts.queries.authenticators import authenticator_key, unused_recovery_codes
from evaluations.models import EyesMarks, FloorSketch, Release
from seed_demo.people import FIRST_ADMIN, PASSWORD, sign_ins
from tests.databases import MIGRATED, SqliteFiles, as_default

ROOT = Path(__file__).parents[2]
QUICK = 2.0
"""Seconds that a second run may take."""


@dataclass(frozen=True)
class Run:
    """The command in a process of its own, and the contents of the database it left."""

    stdout: str
    stderr: str
    content: str


@pytest.fixture(scope="module")
def other_run(sqlite_files: SqliteFiles, django_db_blocker: DjangoDbBlocker) -> Iterator[Run]:
    """Loaded by another process, whose sets and dictionaries hash in another order."""
    name = "demo_of_another_process"
    sqlite_files.copy(MIGRATED, name)
    environment = os.environ | {
        "DJANGO_SETTINGS_MODULE": "tests.settings",
        "DATABASE_URL": sqlite_files.url(name),
        "SECRET_KEY": settings.SECRET_KEY,
        "PYTHONHASHSEED": "7",
        "TZ": "Asia/Kathmandu",
    }
    done = subprocess.run(
        [sys.executable, "-m", "django", "seed_demo"],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    )
    with django_db_blocker.unblock(), as_default(sqlite_files.url(name)):
        yield Run(done.stdout, done.stderr, content())


def content() -> str:
    """A digest of every letter of the demo, its frozen form, its text and its bytes; and of what
    was drawn and marked on film, also where no letter tells of it."""
    digest = sha256()
    for release in Release.objects.order_by("pk"):
        digest.update(json.dumps([release.snapshot, release.content], sort_keys=True).encode())
        digest.update(f"{release.sha256} {release.code} {release.opens_at.isoformat()}".encode())
    for sketch in FloorSketch.objects.order_by("pk"):
        digest.update(json.dumps([sketch.dead_ball_id, sketch.content], sort_keys=True).encode())
    for eyes in EyesMarks.objects.order_by("pk"):
        digest.update(json.dumps([eyes.whistle_at, eyes.live_at, eyes.marks]).encode())
    return digest.hexdigest()


def rows() -> dict[str, list[Any]]:
    """Every row of every table."""
    return {
        model._meta.label: json.loads(
            json.dumps(list(model._default_manager.order_by("pk").values()), cls=_Readable)
        )
        for model in apps.get_models()
    }


class _Readable(DjangoJSONEncoder):
    def default(self, o: Any) -> Any:
        return sha256(o).hexdigest() if isinstance(o, bytes) else super().default(o)


def test_the_demo_is_the_same_in_every_process(own_demo: None, other_run: Run) -> None:
    assert content() == other_run.content


def test_sign_ins_are_printed_and_progress_goes_to_stderr(other_run: Run) -> None:
    for sign_in in sign_ins():
        assert f"{sign_in.role}: {sign_in.person.email}" in other_run.stdout
    assert PASSWORD in other_run.stdout
    assert re.search(
        r"^  Recovery codes, each good once: \d{8}( \d{8}){9}$", other_run.stdout, re.M
    )
    assert "game by game" in other_run.stderr
    assert PASSWORD not in other_run.stderr


def test_a_second_run_is_quick_changes_nothing_and_prints_the_sign_ins_again(
    own_demo: None,
) -> None:
    before, out, err = rows(), StringIO(), StringIO()
    begin = monotonic()
    call_command("seed_demo", stdout=out, stderr=err)
    took = monotonic() - begin
    assert rows() == before
    assert err.getvalue() == ""
    admin = User.objects.get(email=FIRST_ADMIN.email)
    assert f"  Recovery codes, each good once: {' '.join(unused_recovery_codes(admin))}" in (
        out.getvalue()
    )
    assert authenticator_key(admin) in out.getvalue()
    assert took < QUICK


def test_a_recovery_code_that_was_used_is_printed_no_more(own_demo: None) -> None:
    from allauth.mfa.models import Authenticator
    from allauth.mfa.recovery_codes.internal.auth import RecoveryCodes

    admin = User.objects.get(email=FIRST_ADMIN.email)
    used = unused_recovery_codes(admin)[0]
    stored = Authenticator.objects.get(user=admin, type=Authenticator.Type.RECOVERY_CODES)
    assert RecoveryCodes(stored).validate_code(used)
    out = StringIO()
    call_command("seed_demo", stdout=out)
    assert used not in out.getvalue()


def test_a_run_that_breaks_leaves_nothing(
    own_sqlite: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_anything: Any, **_names: Any) -> None:
        raise RuntimeError("the power went")

    monkeypatch.setattr("seed_demo.stories.move_game", broken)
    before = rows()
    with pytest.raises(RuntimeError, match="the power went"):
        call_command("seed_demo", verbosity=0)
    assert rows() == before


def test_it_refuses_in_production(db: None, settings: Settings) -> None:
    settings.PRODUCTION = True
    with pytest.raises(CommandError, match="not loaded in production"):
        call_command("seed_demo")
    assert not Association.objects.exists()
