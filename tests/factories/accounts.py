"""Invented people in two invented associations: the fixed cast of the tests."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any, Final

import factory
from allauth.account.models import EmailAddress
from django.test import Client

from accounts.models import Association, Membership, Role, Terms, User
from accounts.services.authenticators import enrol_authenticator

PASSWORD: Final = "rook lantern orchard quill"
NOW: Final = datetime(2026, 11, 2, 18, tzinfo=UTC)
CLEARED_UNTIL: Final = date(2099, 6, 30)


class AssociationFactory(factory.django.DjangoModelFactory[Association]):
    class Meta:
        model = Association

    name = factory.Sequence(lambda n: f"Association {n}")
    slug = factory.Sequence(lambda n: f"association-{n}")
    time_zone = "America/Chicago"


class PersonFactory(factory.django.DjangoModelFactory[User]):
    """Somebody with a verified address and PASSWORD."""

    class Meta:
        model = User

    name = factory.Sequence(lambda n: f"Person {n}")
    email = factory.LazyAttribute(
        lambda person: f"{person.name.lower().replace(' ', '.')}@example.org"
    )
    time_zone = "America/Chicago"

    @classmethod
    def _create(cls, model_class: type[User], *args: Any, **kwargs: Any) -> User:
        person = model_class.objects.create_user(kwargs.pop("email"), PASSWORD, **kwargs)
        EmailAddress.objects.create(user=person, email=person.email, verified=True, primary=True)
        return person


class MembershipFactory(factory.django.DjangoModelFactory[Membership]):
    """An official, unless other terms are given."""

    class Meta:
        model = Membership

    association = factory.SubFactory(AssociationFactory)
    user = factory.SubFactory(PersonFactory)
    terms = Terms(roles=frozenset({Role.OFFICIAL}))

    @classmethod
    def _create(cls, model_class: type[Membership], *args: Any, **kwargs: Any) -> Membership:
        terms = kwargs.pop("terms")
        membership = model_class(**kwargs)
        membership.set_terms(terms)
        membership.full_clean()
        membership.save()
        return membership


@dataclass(frozen=True)
class Cast:
    """Who the tests speak of. All but `stranger` and `other_admin` belong to `association`."""

    association: Association
    admin: Membership
    second_admin: Membership
    observer: Membership
    other_observer: Membership
    official: Membership
    other_official: Membership
    young_official: Membership
    board: Membership
    observer_and_official: Membership
    former_official: Membership
    other_association: Association
    other_admin: Membership
    other_official_elsewhere: Membership
    stranger: User

    @property
    def slug(self) -> str:
        return self.association.slug


def terms(*roles: Role, **marks: Any) -> Terms:
    """Terms with these roles; observers are cleared."""
    cleared_until = CLEARED_UNTIL if Role.OBSERVER in roles else None
    return Terms(roles=frozenset(roles), **{"cleared_until": cleared_until, **marks})


def member(association: Association, name: str, *roles: Role, **marks: Any) -> Membership:
    """A new person of this name, holding these roles; admins have their second step."""
    membership = MembershipFactory.create(
        association=association, user__name=name, terms=terms(*roles, **marks)
    )
    if Role.ADMIN in roles:
        enrol_authenticator(user=membership.user, now=NOW)
    return membership


def make_cast() -> Cast:
    """The two associations and everybody in them."""
    rivers = AssociationFactory.create(name="Three Rivers Officials' Association", slug="rivers")
    harbor = AssociationFactory.create(name="Salt Harbor Officials' Association", slug="harbor")
    former = member(rivers, "Finn Stone", Role.OFFICIAL)
    former.active = False
    former.save()
    return Cast(
        association=rivers,
        admin=member(rivers, "Ada Moreno", Role.ADMIN),
        second_admin=member(rivers, "Bela Whitcombe", Role.ADMIN),
        observer=member(rivers, "Orla Finch", Role.OBSERVER),
        other_observer=member(rivers, "Otis Quill", Role.OBSERVER),
        official=member(rivers, "Nico Vale", Role.OFFICIAL),
        other_official=member(rivers, "Mara Odell", Role.OFFICIAL),
        young_official=member(
            rivers,
            "Kit Larkin",
            Role.OFFICIAL,
            under_18=True,
            guardian_email="guardian@example.org",
        ),
        board=member(rivers, "Bruno Hale", Role.BOARD),
        observer_and_official=member(rivers, "Tess Rowan", Role.OBSERVER, Role.OFFICIAL),
        former_official=former,
        other_association=harbor,
        other_admin=member(harbor, "Otto Berg", Role.ADMIN),
        other_official_elsewhere=member(harbor, "Pia Sund", Role.OFFICIAL),
        stranger=PersonFactory.create(name="Sam Nobody"),
    )


def signed_in(person: Membership | User) -> Client:
    """A browser in which this person is signed in."""
    client = Client()
    client.force_login(person.user if isinstance(person, Membership) else person)
    return client
