"""Found an association and invite its first admin.

Example:

    manage.py create_association "Three Rivers Officials' Association" three-rivers \\
        --time-zone America/Chicago --admin-name "Ada Moreno" --admin-email ada@example.org

Prints the invitation's link; whoever opens it within seven days becomes the admin.
"""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.management.base import CommandError
from django.db import transaction
from django.utils import timezone

from accounts.management.explained import ExplainedCommand
from accounts.models import Role, Terms
from accounts.services.associations import create_association
from accounts.services.invitations import invite
from accounts.services.mail import invitation_link


class Command(ExplainedCommand):
    help = __doc__ or ""

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("name", help="the association's name")
        parser.add_argument("slug", help="its short name in addresses: letters, digits, hyphens")
        parser.add_argument("--admin-name", required=True, help="the first admin's name")
        parser.add_argument("--admin-email", required=True, help="the first admin's address")
        parser.add_argument("--time-zone", default="UTC", help="such as America/Chicago")
        parser.add_argument(
            "--language", default="en", choices=[code for code, _name in settings.LANGUAGES]
        )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            token = self._found(options)
        except ValidationError as error:
            raise CommandError(" ".join(error.messages)) from None
        self.stdout.write(invitation_link(token))

    @transaction.atomic
    def _found(self, options: dict[str, Any]) -> str:
        now = timezone.now()
        association = create_association(
            name=options["name"],
            slug=options["slug"],
            language=options["language"],
            time_zone=options["time_zone"],
            now=now,
        )
        _invitation, token = invite(
            association=association,
            actor=None,
            email=options["admin_email"],
            name=options["admin_name"],
            terms=Terms(roles=frozenset({Role.ADMIN})),
            now=now,
        )
        return token
