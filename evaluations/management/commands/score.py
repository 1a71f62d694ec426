"""Score a rubric and ratings from a file, and write the whole score card as JSON.

The file is JSON in UTF-8; a hyphen reads standard input. For example:

    {
      "rubric": {
        "areas": [
          {"key": "signals", "weight": 40, "criteria": [{"key": "clock"}, {"key": "type"}]},
          {"key": "switching", "weight": 60, "needed": true, "criteria": [{"key": "leaves"}]}
        ],
        "bands": [{"key": "developing", "lower": 0}, {"key": "dependable", "lower": 65}],
        "ceilings": [{"criterion": "leaves", "at_most": 50}]
      },
      "ratings": [
        {"criterion": "clock", "level": 4},
        {"criterion": "type"},
        {"criterion": "leaves", "share": "0.9"}
      ]
    }

A rating has a level, the share met (0 to 1), or neither: not seen. Numbers are read exactly as
they are written: 0.1 is a tenth, "2/3" two thirds. --schema prints a JSON Schema that describes
every field, with the default of what may be left out.

The score card has exact figures as strings ("81/2"): criteria with value (0 to 1), points and
room to gain; areas with value and, after ceilings, capped (0 to 1); share_seen; the total before
ceilings (uncapped) and after (total), 0 to 100; band, the two bands that it is between, and the
ceilings that bit (bites). Beside them, printed has the figures to one decimal; printed points add
up. Without a total, withheld says why.

Ends with 2 and a message that names the field, such as $.rubric.areas[0].weight, when the file
can't be read.
"""

from __future__ import annotations

import json
from argparse import ArgumentParser
from typing import Any

from accounts.management.explained import ExplainedCommand
from evaluations.core.documents import card_document
from evaluations.core.score_request import read_score_request, score_request_schema
from evaluations.core.scoring import score
from evaluations.management.inputs import read_input, refusing


class Command(ExplainedCommand):
    help = __doc__ or ""
    requires_system_checks = []  # nothing of the site is used

    def add_arguments(self, parser: ArgumentParser) -> None:
        what = parser.add_mutually_exclusive_group(required=True)
        what.add_argument("file", nargs="?", help="a JSON file; - reads standard input")
        what.add_argument(
            "--schema", action="store_true", help="print the file's JSON Schema and end"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        answer = score_request_schema() if options["schema"] else _scored(options["file"])
        self.stdout.write(json.dumps(answer, indent=2, ensure_ascii=False))


def _scored(file: str) -> dict[str, Any]:
    data = read_input(file)
    with refusing(file):
        request = read_score_request(data)
    card = score(request.rubric, request.ratings, withhold=request.withhold)
    return card_document(request.rubric, card)
