"""Say which row of a mechanics code applies in a situation, and why, as JSON.

    manage.py explain whistle=shooting resumes=free_throws court=front flip=no \\
        caller=lead side=table
    manage.py explain --code three_person \\
        "whistle=common resumes=side_line court=front flip=no caller=centre side=opposite"

The fields: whistle (common, shooting, player_control, intentional, technical, disqualifying,
double, violation, held_ball), resumes (free_throws, end_line, side_line, division_line), court of
the whistle as the attacking team has it (front, back), flip of the direction (yes, no), the
caller's position before (lead, trail, centre) and side (table, opposite), and crew where the code
is for crews of two and of three.

because has what the row names, blank what it leaves open; after, by the position before, where
each member goes, a side of null being free. options may be used instead when all needs hold.

Ends with 2 and a message with the field and what is allowed when the situation can't be read.
"""

from __future__ import annotations

import json
from argparse import ArgumentParser, RawDescriptionHelpFormatter
from typing import Any

from django.core.management.base import BaseCommand

from evaluations.core.replay import explained, read_situation
from evaluations.management.inputs import read_code_named, refusing


class Command(BaseCommand):
    help = __doc__ or ""
    requires_system_checks = []  # nothing of the site is used

    def create_parser(self, prog_name: str, subcommand: str, **kwargs: Any) -> Any:
        return super().create_parser(
            prog_name, subcommand, formatter_class=RawDescriptionHelpFormatter, **kwargs
        )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "situation", nargs="+", metavar="FIELD=VALUE", help="such as whistle=shooting"
        )
        parser.add_argument(
            "--code",
            default="two_person_every_foul",
            help="a shipped code or a TOML file (default: two_person_every_foul)",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        code = read_code_named(options["code"])
        words = [word for argument in options["situation"] for word in argument.split()]
        with refusing("situation"):
            answer = explained(code, read_situation(words, code), "en")
        self.stdout.write(json.dumps(answer, indent=2, ensure_ascii=False))
