"""Send the mail whose hour has come. For a scheduler, every few minutes.

Example, in a crontab:

    */5 * * * * cd /srv/crewmark && .venv/bin/python manage.py send_mail

Nothing goes out in an association's quiet hours. What the mail server refuses is tried again ten
minutes later; running this twice, or two of these at once, sends a mail once.

Says on standard output how many went out, if any did; ends with 1 if the mail server refused any.
"""

from __future__ import annotations

from typing import Any

from django.core.management.base import CommandError
from django.utils import timezone

from accounts.management.explained import ExplainedCommand
from evaluations.services.mail import deliver_due

PROGRESS_EVERY = 25


class Command(ExplainedCommand):
    help = __doc__ or ""

    def handle(self, *args: Any, **options: Any) -> None:
        self.quiet = options["verbosity"] == 0
        sent, refused = deliver_due(now=timezone.now(), progress=self._progress)
        if sent:
            self.stdout.write(f"{sent} sent")
        if refused:
            raise CommandError(f"{refused} refused by the mail server; they are tried again.")

    def _progress(self, done: int, total: int) -> None:
        if not self.quiet and (done % PROGRESS_EVERY == 0 or done == total):
            self.stderr.write(f"{done} of {total} mails", str)
