"""manage.py send_mail: what is due goes out once, and a refusal is seen by the scheduler."""

from __future__ import annotations

import io
from smtplib import SMTPException
from typing import Any

import pytest
from django.core import mail
from django.core.management import CommandError, call_command
from django.utils import timezone

from evaluations.models import Mail
from tests.factories.accounts import Cast
from tests.factories.releases import OPEN_AT, released_crew


@pytest.fixture(autouse=True)
def two_letters(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    released_crew(cast)
    monkeypatch.setattr(timezone, "now", lambda: OPEN_AT)


def run(*options: str) -> tuple[str, str]:
    out, err = io.StringIO(), io.StringIO()
    call_command("send_mail", *options, stdout=out, stderr=err)
    return out.getvalue(), err.getvalue()


def test_it_says_how_many_went_out_and_how_far_it_is() -> None:
    assert run() == ("2 sent\n", "2 of 2 mails\n")
    assert len(mail.outbox) == 2


def test_with_nothing_due_it_says_nothing() -> None:
    run()
    assert run() == ("", "")
    assert len(mail.outbox) == 2


def test_quiet_leaves_the_progress_out() -> None:
    assert run("--verbosity", "0") == ("2 sent\n", "")


def test_a_refusal_ends_with_1_and_keeps_the_mail(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*arguments: Any) -> None:
        raise SMTPException("no such mailbox")

    monkeypatch.setattr("evaluations.services.mail.send_mail", refuse)
    with pytest.raises(CommandError, match="2 refused") as refusal:
        run()
    assert refusal.value.returncode == 1
    assert Mail.objects.filter(sent_at__isnull=True).count() == 2
