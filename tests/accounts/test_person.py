"""Roles and marks of one person, the end of a membership and its return."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import date

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, connection, transaction
from django.urls import reverse

from accounts.models import Membership, Role
from accounts.services.memberships import change_membership, end_membership
from tests.factories.accounts import (
    NOW,
    AssociationFactory,
    Cast,
    MembershipFactory,
    signed_in,
    terms,
)


def address(cast: Cast, membership: Membership, page: str = "person") -> str:
    return reverse(f"accounts:{page}", args=[cast.slug, membership.pk])


def test_the_page_shows_what_holds_now(cast: Cast) -> None:
    page = signed_in(cast.admin).get(address(cast, cast.young_official)).content.decode()
    assert "Kit Larkin" in page
    assert 'value="guardian@example.org"' in page


def test_an_admin_changes_roles_marks_and_clearance(cast: Cast) -> None:
    answer = signed_in(cast.admin).post(
        address(cast, cast.official),
        {"roles": ["official", "observer"], "cleared_until": "2027-04-30", "new_official": "on"},
    )
    assert answer.status_code == 302
    kept = Membership.objects.get(pk=cast.official.pk)
    assert kept.roles == {Role.OFFICIAL, Role.OBSERVER}
    assert kept.new_official
    assert kept.cleared_on(date(2027, 4, 30))
    assert not kept.cleared_on(date(2027, 5, 1))


def test_an_observer_without_a_date_is_cleared_on_no_day(cast: Cast) -> None:
    signed_in(cast.admin).post(address(cast, cast.observer), {"roles": ["observer"]})
    assert not Membership.objects.get(pk=cast.observer.pk).cleared_on(date(2026, 11, 2))


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({}, "Choose at least one role."),
        (
            {"roles": ["official"], "under_18": "on"},
            "An official under 18 needs a guardian&#x27;s address.",
        ),
        (
            {"roles": ["board"], "under_18": "on", "guardian_email": "p@example.org"},
            "The mark for under 18 is for officials only.",
        ),
        ({"roles": ["king"]}, "Select a valid choice."),
        ({"roles": ["official"], "cleared_until": "soon"}, "Enter a valid date."),
    ],
)
def test_what_makes_no_sense_is_said_and_changes_nothing(
    cast: Cast, changes: dict[str, object], says: str
) -> None:
    page = signed_in(cast.admin).post(address(cast, cast.official), changes).content.decode()
    assert says in page
    assert Membership.objects.get(pk=cast.official.pk).terms == cast.official.terms


def test_the_database_itself_refuses_a_minor_without_a_guardian(cast: Cast) -> None:
    row = Membership.objects.filter(pk=cast.official.pk)
    with pytest.raises(IntegrityError), transaction.atomic():
        row.update(under_18=True)


def test_with_the_mark_goes_the_guardian_s_address(cast: Cast) -> None:
    signed_in(cast.admin).post(
        address(cast, cast.young_official),
        {"roles": ["official"], "guardian_email": "guardian@example.org"},
    )
    assert Membership.objects.get(pk=cast.young_official.pk).guardian_email == ""


def test_an_ended_membership_opens_nothing_and_can_be_opened_again(cast: Cast) -> None:
    observer = signed_in(cast.observer)
    admin = signed_in(cast.admin)
    admin.post(address(cast, cast.observer, "person_end"))
    assert observer.get("/a/rivers/conflicts/").status_code == 404
    assert Membership.objects.get(pk=cast.observer.pk).roles == frozenset()
    page = admin.get(address(cast, cast.observer)).content.decode()
    assert "Make Orla Finch a member again" in page
    admin.post(address(cast, cast.observer, "person_return"))
    assert observer.get("/a/rivers/conflicts/").status_code == 200


def test_an_admin_may_give_up_the_role_while_another_is_left(cast: Cast) -> None:
    signed_in(cast.admin).post(address(cast, cast.admin), {"roles": ["board"]})
    assert Membership.objects.get(pk=cast.admin.pk).roles == {Role.BOARD}


def test_the_last_admin_stays_one(cast: Cast) -> None:
    client = signed_in(cast.admin)
    client.post(address(cast, cast.second_admin, "person_end"))
    page = client.post(address(cast, cast.admin), {"roles": ["board"]}).content.decode()
    assert "The association needs an admin." in page
    ended = client.post(address(cast, cast.admin, "person_end"), follow=True).content.decode()
    assert "The association needs an admin." in ended
    kept = Membership.objects.get(pk=cast.admin.pk)
    assert kept.active
    assert kept.roles == {Role.ADMIN}


def test_another_association_s_admin_counts_for_nothing(cast: Cast) -> None:
    end_membership(membership=cast.second_admin, actor=cast.admin.user, now=NOW)
    with pytest.raises(ValidationError):
        end_membership(membership=cast.admin, actor=cast.admin.user, now=NOW)


@pytest.mark.parametrize("page", ["person", "person_end", "person_return"])
def test_people_of_another_association_are_out_of_reach(cast: Cast, page: str) -> None:
    foreign = cast.other_official_elsewhere
    answer = signed_in(cast.admin).post(address(cast, foreign, page), {"roles": ["board"]})
    assert answer.status_code == 404
    kept = Membership.objects.get(pk=foreign.pk)
    assert kept.active
    assert kept.terms == foreign.terms


def admins_left_when_two_remove_each_other() -> int:
    association = AssociationFactory.create()
    admins = [
        MembershipFactory.create(association=association, terms=terms(Role.ADMIN)) for _ in range(2)
    ]

    def remove(membership: Membership) -> None:
        try:
            change_membership(
                membership=membership, actor=membership.user, terms=terms(Role.BOARD), now=NOW
            )
        except ValidationError:
            pass
        finally:
            connection.close()

    with ThreadPoolExecutor(2) as pool:
        list(pool.map(remove, reversed(admins)))
    return Membership.objects.filter(association=association, is_admin=True).count()


@pytest.mark.usefixtures("own_postgres")
def test_two_admins_can_t_remove_each_other_at_the_same_moment() -> None:
    assert [admins_left_when_two_remove_each_other() for _ in range(10)] == [1] * 10
