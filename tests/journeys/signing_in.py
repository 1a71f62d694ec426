"""Through the sign-in form, as everybody comes in."""

from __future__ import annotations

import time
from typing import Final

from allauth.mfa.models import Authenticator
from allauth.mfa.recovery_codes.internal.auth import RecoveryCodes
from allauth.mfa.totp.internal.auth import format_hotp_value, hotp_value
from django.utils.translation import gettext
from playwright.sync_api import Page

from accounts.models import Membership
from tests.factories.accounts import PASSWORD
from tests.journeys.hand import Hand

PERIOD: Final = 30
"""Seconds for which an authenticator app shows a code."""


def sign_in(page: Page, person: Membership) -> Hand:
    """With address and password, from wherever the page is: the site's door if it is nowhere.

    The form is in the language that is active here, which must be the browser's.
    """
    if page.url == "about:blank":
        page.goto("/")
    hand = Hand(page)
    hand.fill(gettext("Email"), person.user.email)
    hand.fill(gettext("Password"), PASSWORD)
    hand.press(gettext("Sign in"))
    return hand


def sign_in_with_authenticator(page: Page, admin: Membership) -> Hand:
    """As an admin does, with the six digits that the authenticator app shows."""
    hand = sign_in(page, admin)
    secret = Authenticator.objects.get(user=admin.user, type=Authenticator.Type.TOTP).data["secret"]
    left = PERIOD - time.time() % PERIOD
    if left < 5:  # nobody begins to type a code that is about to change
        time.sleep(left)
    counter = int(time.time() // PERIOD)
    return _second_step(hand, format_hotp_value(hotp_value(secret, counter)))


def sign_in_with_recovery_code(page: Page, admin: Membership) -> Hand:
    """As an admin does whose phone is lost."""
    hand = sign_in(page, admin)
    codes = Authenticator.objects.get(user=admin.user, type=Authenticator.Type.RECOVERY_CODES)
    return _second_step(hand, RecoveryCodes(codes).get_unused_codes()[0])


def _second_step(hand: Hand, code: str) -> Hand:
    hand.is_at("Second step")
    hand.fill("Code", code)
    hand.press("Sign in")
    return hand
