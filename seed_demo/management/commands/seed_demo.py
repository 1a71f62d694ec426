"""Load the demo: an invented association with a season of games, forms and letters.

Prints the sign-in of one person for each role. A second time it changes nothing and prints them
again. Progress goes to stderr.
"""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from seed_demo.season import is_loaded, load
from seed_demo.signing_in import lines


class Command(BaseCommand):
    help = __doc__ or ""

    def handle(self, *args: Any, **options: Any) -> None:
        if settings.PRODUCTION:
            raise CommandError(
                "The demo's passwords are known to everybody, so that it is not loaded in "
                "production. Set CREWMARK_ENV=demo on a machine of your own."
            )
        if not is_loaded():
            load(self._progress if options["verbosity"] else _silence)
        if options["verbosity"]:
            self.stdout.write("\n".join(lines()))

    def _progress(self, text: str) -> None:
        self.stderr.write(text, str)


def _silence(text: str) -> None:
    del text
