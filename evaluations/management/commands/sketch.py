"""Measure a floor sketch: who is seen, who is boxed in, where the route led, as JSON.

The sketch is JSON in UTF-8; a hyphen reads standard input. For example:

    {
      "schema": 1,
      "crew": 2,
      "frame": "fiba",
      "source": "film",
      "reporter": "referee",
      "officials": [
        {"member": "referee", "x": 14.0, "y": -0.5, "facing": 270},
        {"member": "umpire", "x": 3.0, "y": 12.0, "facing": 300}
      ],
      "players": [
        {"x": 4.5, "y": 6.0, "team": "light"},
        {"x": 5.0, "y": 8.5, "team": "dark"}
      ],
      "route": [{"x": 6.0, "y": 7.0}, {"x": 14.0, "y": -0.5}]
    }

Lengths are metres: x from the left end line as seen from the table, y from the table's side line.
A facing is in degrees: 0 to the right end, 90 away from the table. frame is fiba (28 m x 15 m),
feet_84 or feet_94 (84 or 94 ft x 50 ft). field_of_view is 120 degrees if left out, 190 at most.
--schema prints a JSON Schema that describes every field.

The answer has the share of players in view and the places in the list of those who aren't, the
share of players between the officials, the angle between these in degrees, who stands inside the
group, and the metres of the route within a metre of it. What can't be measured is null. It is
geometry, never accuracy of calls. --svg writes a picture beside.

    manage.py sketch dead-ball-9.json --svg dead-ball-9.svg

Ends with 2 and a message that names the field, such as $.players[3].x, when something can't be
read.
"""

from __future__ import annotations

import json
from argparse import ArgumentParser, RawDescriptionHelpFormatter
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from evaluations.core import words
from evaluations.core.floor.measures import measure
from evaluations.core.floor_drawing import sketch_drawing
from evaluations.core.floor_words import sketch_sentence
from evaluations.core.games import POSITIONS
from evaluations.core.sketch_document import measures_document, read_sketch, sketch_schema
from evaluations.core.voice import PlainEnglish
from evaluations.letters.svg import to_svg_file
from evaluations.management.inputs import read_input, refusing


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
            "--schema", action="store_true", help="print the sketch's JSON Schema and end"
        )
        parser.add_argument("--svg", metavar="OUT", help="write the picture to this file")

    def handle(self, *args: Any, **options: Any) -> None:
        answer = sketch_schema() if options["schema"] else _measured(options)
        self.stdout.write(json.dumps(answer, indent=2, ensure_ascii=False))


def _measured(options: dict[str, Any]) -> dict[str, Any]:
    file, out, voice = options["file"], options["svg"], PlainEnglish()
    data = read_input(file)
    with refusing(file):
        sketch = read_sketch(data)
    found = measure(sketch)
    sentence = sketch_sentence(voice, sketch, found)
    if out:
        names = {member: words.position(voice, member) for member in POSITIONS[sketch.crew]}
        drawing = sketch_drawing(
            sketch, found, sentence, names=names, unseen="unseen", table="table"
        )
        with refusing(out):
            Path(out).write_text(to_svg_file(drawing), encoding="utf-8")
    return {"schema": 1, "sentence": sentence, **measures_document(found)}
