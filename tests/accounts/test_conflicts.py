"""Declared conflicts between an observer and an official."""

from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from accounts.models import Conflict, Membership
from accounts.services.conflicts import declare_conflict
from tests.factories.accounts import NOW, Cast, signed_in

CONFLICTS = "/a/rivers/conflicts/"


def declared(cast: Cast, observer: Membership, official: Membership) -> Conflict:
    return declare_conflict(
        observer=observer, official=official, reason="cousins", actor=observer.user, now=NOW
    )


def test_an_observer_declares_a_conflict(cast: Cast) -> None:
    answer = signed_in(cast.observer).post(
        CONFLICTS, {"official": cast.official.pk, "reason": "cousins"}
    )
    assert answer.status_code == 302
    conflict = Conflict.objects.get()
    assert (conflict.observer, conflict.official) == (cast.observer, cast.official)


def test_an_observer_sees_the_own_ones_and_an_admin_all(cast: Cast) -> None:
    declared(cast, cast.observer, cast.official)
    declared(cast, cast.other_observer, cast.other_official)
    own = signed_in(cast.observer).get(CONFLICTS).content.decode()
    assert "Nico Vale</td>" in own
    assert "Mara Odell</td>" not in own
    every = signed_in(cast.admin).get(CONFLICTS).content.decode()
    assert "Nico Vale</td>" in every
    assert "Mara Odell</td>" in every


def test_an_observer_speaks_for_nobody_else(cast: Cast) -> None:
    signed_in(cast.observer).post(
        CONFLICTS, {"observer": cast.other_observer.pk, "official": cast.official.pk}
    )
    assert Conflict.objects.get().observer == cast.observer


def test_an_admin_declares_one_for_an_observer(cast: Cast) -> None:
    signed_in(cast.admin).post(
        CONFLICTS, {"observer": cast.observer.pk, "official": cast.official.pk}
    )
    assert Conflict.objects.get().observer == cast.observer


def test_an_admin_has_to_say_for_whom(cast: Cast) -> None:
    page = signed_in(cast.admin).post(CONFLICTS, {"official": cast.official.pk})
    assert "This field is required." in page.content.decode()
    assert not Conflict.objects.exists()


@pytest.mark.parametrize(
    "who", ["other_official_elsewhere", "former_official", "board", "other_observer"]
)
def test_only_officials_of_the_association_can_be_chosen(cast: Cast, who: str) -> None:
    chosen: Membership = getattr(cast, who)
    page = signed_in(cast.observer).post(CONFLICTS, {"official": chosen.pk})
    assert "Select a valid choice." in page.content.decode()
    assert not Conflict.objects.exists()


def test_only_observers_of_the_association_can_be_chosen(cast: Cast) -> None:
    for chosen in (cast.other_admin, cast.board):
        signed_in(cast.admin).post(CONFLICTS, {"observer": chosen.pk, "official": cast.official.pk})
    assert not Conflict.objects.exists()


def test_a_pair_is_declared_once(cast: Cast) -> None:
    declared(cast, cast.observer, cast.official)
    page = signed_in(cast.observer).post(CONFLICTS, {"official": cast.official.pk})
    assert "This conflict is declared already." in page.content.decode()
    assert Conflict.objects.count() == 1


def test_nobody_is_in_conflict_with_himself_or_herself(cast: Cast) -> None:
    both = cast.observer_and_official
    signed_in(both).post(CONFLICTS, {"official": both.pk})
    with pytest.raises(ValidationError):
        declared(cast, both, both)
    assert not Conflict.objects.exists()


def test_a_pair_of_two_associations_is_refused(cast: Cast) -> None:
    with pytest.raises(ValidationError, match="different associations"):
        declared(cast, cast.observer, cast.other_official_elsewhere)


def test_the_observer_or_an_admin_withdraws_it_and_nobody_else(cast: Cast) -> None:
    conflict = declared(cast, cast.observer, cast.official)
    address = reverse("accounts:conflict_withdraw", args=[cast.slug, conflict.pk])
    assert signed_in(cast.other_observer).post(address).status_code == 404
    assert signed_in(cast.official).post(address).status_code == 403
    assert Conflict.objects.exists()
    assert signed_in(cast.observer).post(address).status_code == 302
    assert not Conflict.objects.exists()


def test_another_association_s_conflict_is_out_of_reach(cast: Cast) -> None:
    conflict = declared(cast, cast.observer, cast.official)
    address = reverse("accounts:conflict_withdraw", args=["harbor", conflict.pk])
    assert signed_in(cast.other_admin).post(address).status_code == 404
    assert Conflict.objects.exists()
