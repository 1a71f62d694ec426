"""Signing in by email address and password."""

from __future__ import annotations

import re
from concurrent.futures import ThreadPoolExecutor
from unittest.mock import patch

import pytest
from django.core import mail
from django.db import connection
from django.test import Client
from django.urls import reverse

from accounts.models import User
from tests.factories.accounts import PASSWORD, Cast, PersonFactory, signed_in

LOGIN = "/accounts/login/"


def attempt(client: Client, email: str, password: str, path: str = LOGIN) -> int:
    return client.post(path, {"login": email, "password": password}).status_code


def test_the_right_password_lets_in(cast: Cast) -> None:
    client = Client()
    assert attempt(client, cast.official.user.email, PASSWORD) == 302
    assert client.get("/profile/").status_code == 200


def test_capitals_in_the_address_make_no_difference(cast: Cast) -> None:
    client = Client()
    assert attempt(client, cast.official.user.email.upper(), PASSWORD) == 302
    assert client.get("/profile/").status_code == 200


def test_a_wrong_password_and_an_unknown_address_look_alike(cast: Cast) -> None:
    answers = [
        Client().post(LOGIN, {"login": email, "password": "not the password"}).content.decode()
        for email in (cast.official.user.email, "nobody@example.org")
    ]
    wrong, unknown = (re.sub(r'value="[^"]*"', "", answer) for answer in answers)
    assert "The email address and/or password you specified are not correct." in wrong
    assert wrong == unknown


def test_a_closed_account_stays_out(cast: Cast) -> None:
    cast.official.user.is_active = False
    cast.official.user.save()
    client = Client()
    attempt(client, cast.official.user.email, PASSWORD)
    assert client.get("/profile/").status_code == 302


@pytest.mark.parametrize(
    "elsewhere",
    [
        "https://elsewhere.example/",
        "//elsewhere.example/",
        "/\\elsewhere.example",
        "javascript:alert(1)",
    ],
)
def test_signing_in_leads_back_into_the_site_only(cast: Cast, elsewhere: str) -> None:
    answer = Client().post(
        f"{LOGIN}?next={elsewhere}",
        {"login": cast.official.user.email, "password": PASSWORD, "next": elsewhere},
    )
    assert answer["Location"] == "/"


def test_signing_in_leads_back_to_the_page_that_was_asked_for(cast: Cast) -> None:
    asked = Client().get("/a/rivers/conflicts/")
    answer = Client().post(
        asked["Location"],
        {"login": cast.observer.user.email, "password": PASSWORD, "next": "/a/rivers/conflicts/"},
    )
    assert answer["Location"] == "/a/rivers/conflicts/"


def test_a_host_that_is_not_the_site_s_gets_no_answer(db: None) -> None:
    client = Client(headers={"Host": "elsewhere.example"})
    assert client.get(LOGIN).status_code == 400
    client.post(reverse("account_reset_password"), {"email": "nobody@example.org"})
    assert mail.outbox == []


def test_nobody_can_sign_up(db: None) -> None:
    answer = Client().post(
        reverse("account_signup"),
        {"email": "new@example.org", "password1": PASSWORD, "password2": PASSWORD},
    )
    assert "Accounts are made by invitation" in answer.content.decode()
    assert not User.objects.exists()


def test_the_sign_in_page_offers_no_sign_up(db: None) -> None:
    page = Client().get(LOGIN).content.decode()
    assert reverse("account_signup") not in page
    assert reverse("account_reset_password") in page


def test_signing_out_is_a_post(cast: Cast) -> None:
    client = signed_in(cast.official)
    client.get(reverse("account_logout"))
    assert client.get("/profile/").status_code == 200
    client.post(reverse("account_logout"))
    assert client.get("/profile/").status_code == 302


def test_a_reset_link_is_good_once(cast: Cast) -> None:
    Client().post(reverse("account_reset_password"), {"email": cast.official.user.email})
    [message] = mail.outbox
    assert message.to == [cast.official.user.email]
    assert message.subject.startswith("Crewmark: ")
    found = re.search(r"http://[^/]+(/accounts/password/reset/key/\S+)", str(message.body))
    assert found is not None
    new = {"password1": "plum tallow ferry", "password2": "plum tallow ferry"}
    client = Client()
    form = client.get(found[1])
    assert client.post(form["Location"], new).status_code == 302
    assert attempt(Client(), cast.official.user.email, "plum tallow ferry") == 302
    again = Client().get(found[1], follow=True)
    assert "password1" not in again.content.decode()


def test_asking_for_a_reset_tells_nothing_about_an_address(cast: Cast) -> None:
    known = Client().post(reverse("account_reset_password"), {"email": cast.official.user.email})
    unknown = Client().post(reverse("account_reset_password"), {"email": "nobody@example.org"})
    assert (known.status_code, known["Location"]) == (unknown.status_code, unknown["Location"])
    assert [message.to for message in mail.outbox] == [[cast.official.user.email]]


@pytest.mark.usefixtures("own_sqlite")
def test_of_forty_wrong_passwords_from_forty_places_at_once_five_are_looked_at() -> None:
    person = PersonFactory.create(name="Nico Vale")
    looked_at: list[str] = []
    really = User.check_password

    def counted(self: User, raw: str) -> bool:
        if self.pk == person.pk:
            looked_at.append(raw)
        return really(self, raw)

    def guess(number: int) -> None:
        try:
            attempt(Client(REMOTE_ADDR=f"10.0.0.{number}"), person.email, f"guess {number}")
        finally:
            connection.close()

    with patch.object(User, "check_password", counted), ThreadPoolExecutor(8) as pool:
        list(pool.map(guess, range(40)))
    assert 1 <= len(looked_at) <= 5
    client = Client(REMOTE_ADDR="10.0.1.1")
    attempt(client, person.email, PASSWORD)
    assert client.get("/profile/").status_code == 302
