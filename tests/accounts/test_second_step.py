"""Admins sign in with a second step; everybody may."""

from __future__ import annotations

import re

from allauth.mfa.models import Authenticator
from allauth.mfa.totp.internal.auth import (
    format_hotp_value,
    hotp_value,
    yield_hotp_counters_from_time,
)
from django.test import Client
from django.urls import reverse

from accounts.services.authenticators import enrol_authenticator
from tests.factories.accounts import NOW, PASSWORD, Cast, signed_in

LOGIN = "/accounts/login/"


def code_for(secret: str) -> str:
    """The six digits that an authenticator app shows now."""
    return format_hotp_value(hotp_value(secret, next(yield_hotp_counters_from_time())))


def sign_in(email: str) -> Client:
    client = Client()
    client.post(LOGIN, {"login": email, "password": PASSWORD})
    return client


def without_second_step(cast: Cast) -> None:
    Authenticator.objects.filter(user=cast.admin.user).delete()


def test_an_admin_without_a_second_step_is_led_to_its_set_up(cast: Cast) -> None:
    without_second_step(cast)
    client = signed_in(cast.admin)
    for name in ("people", "settings", "conflicts", "invite"):
        answer = client.get(reverse(f"accounts:{name}", args=[cast.slug]))
        assert answer.status_code == 302, name
        assert answer["Location"] == reverse("mfa_activate_totp"), name


def test_nor_can_such_an_admin_change_anything(cast: Cast) -> None:
    without_second_step(cast)
    answer = signed_in(cast.admin).post(f"/a/rivers/people/{cast.official.pk}/end/")
    assert answer["Location"] == reverse("mfa_activate_totp")
    cast.official.refresh_from_db()
    assert cast.official.active


def test_an_observer_needs_none(cast: Cast) -> None:
    assert signed_in(cast.observer).get("/a/rivers/conflicts/").status_code == 200


def test_the_set_up_opens_the_association(cast: Cast) -> None:
    without_second_step(cast)
    client = sign_in(cast.admin.user.email)
    asked_again = client.get(reverse("mfa_activate_totp"))
    page = client.post(asked_again["Location"], {"password": PASSWORD}, follow=True)
    secret = re.search(r"<code>([A-Z2-7]+)</code>", page.content.decode())
    assert secret is not None
    assert b"<svg" in page.content
    assert b"style=" not in page.content
    answer = client.post(reverse("mfa_activate_totp"), {"code": code_for(secret[1])}, follow=True)
    assert answer.redirect_chain[-1][0] == reverse("mfa_view_recovery_codes")
    assert len(re.findall(r"<li><code>\d{8}</code></li>", answer.content.decode())) == 10
    assert client.get("/a/rivers/people/").status_code == 200


def test_who_has_a_second_step_is_asked_for_it(cast: Cast) -> None:
    client = sign_in(cast.admin.user.email)
    assert client.get("/a/rivers/people/").status_code == 302
    secret = Authenticator.objects.get(user=cast.admin.user, type="totp").data["secret"]
    client.post(reverse("mfa_authenticate"), {"code": code_for(secret)})
    assert client.get("/a/rivers/people/").status_code == 200


def test_a_wrong_code_lets_nobody_in(cast: Cast) -> None:
    client = sign_in(cast.admin.user.email)
    answer = client.post(reverse("mfa_authenticate"), {"code": "000000x"})
    assert answer.status_code == 200
    assert client.get("/a/rivers/people/").status_code == 302


def test_a_recovery_code_is_good_once(cast: Cast) -> None:
    _secret, codes = enrol_authenticator(user=cast.official.user, now=NOW)
    for good in (True, False):
        client = sign_in(cast.official.user.email)
        client.post(reverse("mfa_authenticate"), {"code": codes[0]})
        assert (client.get("/profile/").status_code == 200) is good
