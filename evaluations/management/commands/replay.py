"""Play a dead-ball log through a mechanics code, and write what was due and what was found as JSON.

    manage.py replay LOG.json
    manage.py replay LOG.json --code two_person_no_long_switch
    manage.py replay LOG.json --code our_code.toml --film-rules
    manage.py replay --schema

The log is JSON in UTF-8, in version 1 of its schema; a hyphen reads standard input. For example:

    {
      "schema": 1,
      "crew": 2,
      "kept": "every_foul",
      "source": "live",
      "agreed": [],
      "dead_balls": [
        {
          "number": 1,
          "period": 1,
          "clock": "6:41",
          "whistle": "shooting",
          "caller": "referee",
          "resumes": "free_throws",
          "court": "front",
          "flip": false,
          "before": {"referee": {"position": "lead", "side": "opposite"}},
          "after": {
            "referee": {"position": "trail", "side": "table"},
            "umpire": {"position": "lead", "side": "table"}
          },
          "report": {"route": "through", "full_stop": true, "player": "14"}
        },
        {
          "number": 2,
          "whistle": "player_control",
          "caller": "umpire",
          "resumes": "end_line",
          "court": "front",
          "flip": true,
          "before": {"umpire": {"position": "trail"}},
          "switched": false,
          "eyes": {"kept": false, "lost": "report"}
        }
      ]
    }

Members of a crew of two are referee and umpire, of three referee, umpire_1 and umpire_2. What is
left out or null was not seen, and not seen is never a miss. --schema prints a JSON Schema that
describes every field. --code names a shipped code or a TOML file with one.

The answer has, for each dead ball, the row of the code that applies (from 1; null when too little
was seen to tell), whether that row is sure, each member's place when the ball is live, who
administers, and the switch: none, short or long. Then the findings: rule, duty, member (null:
nobody's in particular), verdict (met, not_met, not_judged), the row that says so, the option that
was used. Then the counts by member and rule: met, not met, not judged, share met of those judged
with its 95 % interval (Wilson), null below 5.

Ends with 2 and a message that names the field, such as $.dead_balls[0].caller, when something
can't be read.
"""

from __future__ import annotations

import json
from argparse import ArgumentParser, RawDescriptionHelpFormatter
from typing import Any

from django.core.management.base import BaseCommand

from evaluations.core import replay
from evaluations.core.log_document import log_schema, read_log
from evaluations.core.voice import PlainEnglish
from evaluations.management.inputs import read_code_named, read_input, refusing


class Command(BaseCommand):
    help = __doc__ or ""
    requires_system_checks = []  # nothing of the site is used

    def create_parser(self, prog_name: str, subcommand: str, **kwargs: Any) -> Any:
        return super().create_parser(
            prog_name, subcommand, formatter_class=RawDescriptionHelpFormatter, **kwargs
        )

    def add_arguments(self, parser: ArgumentParser) -> None:
        what = parser.add_mutually_exclusive_group(required=True)
        what.add_argument("file", nargs="?", help="a JSON file; - reads standard input")
        what.add_argument(
            "--schema", action="store_true", help="print the log's JSON Schema and end"
        )
        parser.add_argument(
            "--code",
            default="two_person_every_foul",
            help="a shipped code or a TOML file (default: two_person_every_foul)",
        )
        parser.add_argument(
            "--film-rules",
            action="store_true",
            help="judge what can't be seen from the stand as well, where the source is film",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        answer = log_schema() if options["schema"] else _replayed(options)
        self.stdout.write(json.dumps(answer, indent=2, ensure_ascii=False))


def _replayed(options: dict[str, Any]) -> dict[str, Any]:
    code = read_code_named(options["code"])
    file = options["file"]
    data = read_input(file)
    with refusing(file):
        return replay.replay(read_log(data), code, PlainEnglish(), film_rules=options["film_rules"])
