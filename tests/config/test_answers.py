"""What every answer of the site forbids the browser, pages that don't exist included."""

from __future__ import annotations

import pytest
from django.test import Client


@pytest.mark.django_db
@pytest.mark.parametrize("address", ["/accounts/login/", "/no-such-page/"])
def test_every_answer_says_what_a_browser_may_not_do(client: Client, address: str) -> None:
    headers = client.get(address).headers
    policy = dict(
        directive.split(" ", 1) for directive in headers["Content-Security-Policy"].split("; ")
    )
    assert policy["default-src"] == policy["object-src"] == policy["base-uri"] == "'none'"
    assert policy["script-src"] == policy["style-src"] == "'self'"
    assert policy["form-action"] == "'self'"
    assert policy["frame-ancestors"] == "'none'"
    assert headers["X-Frame-Options"] == "DENY"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "same-origin"
    assert headers["Cross-Origin-Opener-Policy"] == "same-origin"


@pytest.mark.django_db
def test_a_host_that_is_not_the_site_gets_no_page(client: Client) -> None:
    answer = client.get("/accounts/login/", headers={"host": "elsewhere.example.org"})
    assert answer.status_code == 400
