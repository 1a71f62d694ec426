"""Mail says only that something is there, keeps quiet hours, and goes out once."""

from __future__ import annotations

from datetime import datetime, timedelta
from smtplib import SMTPException
from typing import Any

import pytest
from django.core import mail as outbox_of
from django.utils import translation

from accounts.models import Membership
from accounts.services.memberships import end_membership
from evaluations.models import Mail, Release
from evaluations.services import mail as service
from evaluations.services.mail import TRY_AGAIN_AFTER, deliver_due, tell
from evaluations.services.releases import release_crew
from tests.factories.accounts import Cast
from tests.factories.evaluations import game_with
from tests.factories.releases import RELEASED_AT, released_crew, submitted_crew
from tests.services.test_releases import at

MORNING = at("2026-11-11 09:00")


def sent() -> list[str]:
    return [to for message in outbox_of.outbox for to in message.to]


def note(member: Membership, now: datetime, key: str = "note") -> Mail:
    tell(member=member, key=key, path="/a/rivers/letters/7/", now=now)
    return Mail.objects.get(key=key)


# --- What it says --------------------------------------------------------------------------------
def test_the_news_of_a_letter_holds_no_name_score_or_level(cast: Cast) -> None:
    for letter in released_crew(cast):
        mail = Mail.objects.get(key=f"letter-{letter.pk}")
        assert mail.to == letter.evaluation.official.user.email
        assert mail.not_before == letter.opens_at
        assert f"/a/rivers/letters/{letter.pk}/" in mail.body
        said = mail.subject + mail.body
        secrets = ("Nico", "Mara", "Orla", "Herons", "Millstone", str(letter.total), letter.band)
        assert [secret for secret in secrets if secret in said] == []


def test_the_guardian_of_an_official_under_18_is_told_and_nobody_elses_is(cast: Cast) -> None:
    young, grown = released_crew(cast, cast.young_official, cast.official)
    guardian = Mail.objects.get(key=f"letter-{young.pk}-guardian")
    assert guardian.to == "guardian@example.org"
    assert "Kit" not in guardian.subject + guardian.body
    assert not Mail.objects.filter(key=f"letter-{grown.pk}-guardian").exists()


def test_every_note_to_an_official_under_18_is_copied_to_the_guardian(cast: Cast) -> None:
    note(cast.young_official, MORNING)
    assert set(Mail.objects.values_list("to", flat=True)) == {
        cast.young_official.user.email,
        "guardian@example.org",
    }


def test_mail_speaks_the_readers_language(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(service, "_", lambda text: f"[{translation.get_language()}] {text}")
    cast.official.user.language = "es"
    assert note(cast.official, MORNING).body.startswith("[es] ")
    assert note(cast.observer, MORNING, "other").body.startswith("[en] ")


def test_the_same_news_is_told_once(cast: Cast) -> None:
    first = note(cast.official, MORNING)
    assert note(cast.official, MORNING + timedelta(hours=1)) == first
    assert Mail.objects.count() == 1


def test_who_has_left_is_told_nothing(cast: Cast) -> None:
    tell(member=cast.former_official, key="note", path="/", now=MORNING)
    assert not Mail.objects.exists()


def test_a_letter_to_who_has_left_is_kept_and_not_announced(cast: Cast) -> None:
    observation = submitted_crew(cast)
    end_membership(membership=cast.official, actor=cast.admin.user, now=RELEASED_AT)
    letters = release_crew(observation=observation, by=cast.admin, now=RELEASED_AT)
    assert len(letters) == 2
    assert list(Mail.objects.values_list("to", flat=True)) == [cast.other_official.user.email]


# --- When it goes out ----------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("now", "goes"),
    [
        ("2026-11-11 20:59", "2026-11-11 20:59"),
        ("2026-11-11 21:00", "2026-11-12 08:00"),
        ("2026-11-11 03:00", "2026-11-11 08:00"),
    ],
)
def test_no_note_goes_out_at_night(cast: Cast, now: str, goes: str) -> None:
    assert note(cast.observer, at(now)).not_before == at(goes)


def test_no_note_goes_out_in_the_six_hours_before_a_game(cast: Cast) -> None:
    observation = submitted_crew(cast)
    crew = (cast.official, cast.young_official)
    game_with(observation.game.season, *crew, plays_at=at("2026-11-12 18:00"))
    assert note(cast.official, at("2026-11-12 11:59")).not_before == at("2026-11-12 11:59")
    late = note(cast.official, at("2026-11-12 12:00"), "late")
    assert late.not_before == at("2026-11-13 08:00")
    assert note(cast.observer, at("2026-11-12 12:00"), "other").not_before == at("2026-11-12 12:00")


def test_mail_goes_out_when_its_hour_has_come_and_only_then(cast: Cast) -> None:
    mail = note(cast.official, at("2026-11-11 22:00"))
    assert deliver_due(now=mail.not_before - timedelta(seconds=1)) == (0, 0)
    assert deliver_due(now=mail.not_before) == (1, 0)
    assert sent() == [cast.official.user.email]
    mail.refresh_from_db()
    assert mail.sent_at == at("2026-11-12 08:00")


def test_a_second_run_sends_nothing_twice(cast: Cast) -> None:
    note(cast.official, MORNING)
    assert deliver_due(now=MORNING) == (1, 0)
    assert deliver_due(now=MORNING + timedelta(days=1)) == (0, 0)
    assert len(outbox_of.outbox) == 1


def test_a_run_that_comes_late_in_the_evening_waits_for_the_morning(cast: Cast) -> None:
    note(cast.official, at("2026-11-11 20:50"))
    assert deliver_due(now=at("2026-11-11 21:10")) == (0, 0)
    assert deliver_due(now=at("2026-11-12 08:00")) == (1, 0)


def test_a_game_entered_since_then_holds_the_mail_back(cast: Cast) -> None:
    observation = submitted_crew(cast)
    note(cast.official, at("2026-11-12 09:00"))
    note(cast.observer, at("2026-11-12 09:00"), "other")
    crew = (cast.official, cast.young_official)
    game_with(observation.game.season, *crew, plays_at=at("2026-11-12 14:00"))
    assert deliver_due(now=at("2026-11-12 09:00")) == (1, 0)
    assert sent() == [cast.observer.user.email]
    assert deliver_due(now=at("2026-11-13 08:00")) == (1, 0)


def test_what_the_server_refuses_is_tried_again_later_and_holds_up_nobody(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    note(cast.official, MORNING)
    note(cast.observer, MORNING, "other")

    def choosy(subject: str, body: str, sender: str, to: list[str]) -> Any:
        if to == [cast.official.user.email]:
            raise SMTPException("mailbox is full")
        return outbox_of.send_mail(subject, body, sender, to)

    monkeypatch.setattr(service, "send_mail", choosy)
    assert deliver_due(now=MORNING) == (1, 1)
    monkeypatch.undo()
    assert deliver_due(now=MORNING + TRY_AGAIN_AFTER - timedelta(seconds=1)) == (0, 0)
    assert deliver_due(now=MORNING + TRY_AGAIN_AFTER) == (1, 0)
    assert sorted(sent()) == sorted([cast.official.user.email, cast.observer.user.email])


def test_two_runs_at_once_send_a_mail_once(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    note(cast.official, MORNING)
    inner: list[tuple[int, int]] = []

    def meanwhile(*arguments: Any) -> Any:
        inner.append(deliver_due(now=MORNING))
        return outbox_of.send_mail(*arguments)

    monkeypatch.setattr(service, "send_mail", meanwhile)
    assert deliver_due(now=MORNING) == (1, 0)
    assert inner == [(0, 0)]
    assert len(outbox_of.outbox) == 1


def test_letters_released_at_night_are_announced_in_the_morning(cast: Cast) -> None:
    observation = submitted_crew(cast)
    release_crew(observation=observation, by=cast.admin, now=at("2026-11-10 22:00"))
    assert deliver_due(now=RELEASED_AT - timedelta(hours=2)) == (0, 0)
    assert deliver_due(now=RELEASED_AT) == (Release.objects.count(), 0)
