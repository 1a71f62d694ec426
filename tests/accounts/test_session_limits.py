"""A session ends 3 hours after the last request and 12 hours after the sign-in."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.contrib.sessions.models import Session
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from accounts.middleware import SEEN_AT, SEEN_EVERY, SIGNED_IN_AT
from tests.factories.accounts import PASSWORD, Cast, signed_in

PROFILE = "/profile/"


def hours_ago(client: Client, key: str, hours: float) -> None:
    session = client.session
    session[key] -= hours * 3600
    session.save()


def test_a_signed_in_person_may_go_on_for_hours(cast: Cast) -> None:
    client = signed_in(cast.official)
    client.get(PROFILE)
    hours_ago(client, SIGNED_IN_AT, 11.9)
    assert client.get(PROFILE).status_code == 200


def test_twelve_hours_after_signing_in_it_is_over_even_in_use(cast: Cast) -> None:
    client = signed_in(cast.official)
    client.get(PROFILE)
    hours_ago(client, SIGNED_IN_AT, 12)
    answer = client.get(PROFILE)
    assert answer.status_code == 302
    assert answer["Location"] == f"{reverse('account_login')}?next={PROFILE}"
    assert SIGNED_IN_AT not in client.session


def test_three_hours_without_a_request_end_it(cast: Cast) -> None:
    client = signed_in(cast.official)
    client.get(PROFILE)
    kept = Session.objects.get()
    left = kept.expire_date - timezone.now()
    assert timedelta(hours=2, minutes=59) < left <= timedelta(hours=3)
    kept.expire_date = timezone.now()
    kept.save()
    assert client.get(PROFILE).status_code == 302


def test_each_request_a_minute_apart_starts_the_three_hours_anew(cast: Cast) -> None:
    client = signed_in(cast.official)
    client.get(PROFILE)
    hours_ago(client, SEEN_AT, SEEN_EVERY / 3600)
    Session.objects.update(expire_date=timezone.now() + timedelta(minutes=5))
    client.get(PROFILE)
    assert Session.objects.get().expire_date > timezone.now() + timedelta(hours=2)


def test_requests_within_a_minute_write_no_session(
    cast: Cast, django_assert_num_queries: pytest.FixtureRequest
) -> None:
    client = signed_in(cast.official)
    client.get(PROFILE)
    before = Session.objects.get().session_data
    client.get(PROFILE)
    assert Session.objects.get().session_data == before


def test_changing_the_password_ends_the_other_sessions(cast: Cast) -> None:
    here, elsewhere = Client(), Client()
    for client in (here, elsewhere):
        client.post(
            reverse("account_login"), {"login": cast.official.user.email, "password": PASSWORD}
        )
        assert client.get(PROFILE).status_code == 200
    answer = here.post(
        reverse("account_change_password"),
        {
            "oldpassword": PASSWORD,
            "password1": "plum tallow ferry",
            "password2": "plum tallow ferry",
        },
    )
    assert answer.status_code == 302
    assert here.get(PROFILE).status_code == 200
    assert elsewhere.get(PROFILE).status_code == 302


def test_nothing_that_a_signed_in_person_sees_is_kept_by_a_cache(cast: Cast) -> None:
    client = signed_in(cast.official)
    for address in (PROFILE, "/a/rivers/people/", "/a/nowhere/", "/nothing-here/"):
        assert client.get(address)["Cache-Control"] == "no-store, private", address
