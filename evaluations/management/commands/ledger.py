"""Add up an eyes ledger: the seconds of a dead ball in which the players were faced, as JSON.

The ledger is CSV in UTF-8 with the columns what, official, start, end; a hyphen reads standard
input. Times are seconds with at most three decimals. For example:

    what,official,start,end
    whistle,,2.5,
    caller,referee,,
    report_ended,,8.25,
    live,,12.5,
    facing,umpire,2.5,6
    not_facing,umpire,6,
    not_facing,referee,2.5,12.5

A span has its start and not its end; without an end it runs on. A later row about an official takes
the place of an earlier one where they overlap; time without a row is "can't tell". Without live the
ledger stays open and nothing is added up.

The answer has each official's band and the crew's in milliseconds: covered where at least one faces
the players, uncovered where every one is marked not facing, otherwise unknown; the three sums; the
gaps, each with whose the players were, and the longest.

    manage.py ledger dead-ball-9.csv --crew 2

Ends with 2 and a message that names line and column when something can't be read.
"""

from __future__ import annotations

import json
from argparse import ArgumentParser, RawDescriptionHelpFormatter
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from evaluations.core import words
from evaluations.core.floor.eyes import ledger
from evaluations.core.floor_drawing import ledger_drawing
from evaluations.core.floor_words import ledger_sentence, seconds
from evaluations.core.games import POSITIONS
from evaluations.core.ledger_document import ledger_document, read_ledger
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
        parser.add_argument("file", help="a CSV file; - reads standard input")
        parser.add_argument(
            "--crew", type=int, choices=sorted(POSITIONS), default=2, help="crew size (default: 2)"
        )
        parser.add_argument("--svg", metavar="OUT", help="write the bands to this file")

    def handle(self, *args: Any, **options: Any) -> None:
        file, out, voice = options["file"], options["svg"], PlainEnglish()
        data = read_input(file)
        with refusing(file):
            found = ledger(read_ledger(data, options["crew"]))
        sentence = ledger_sentence(voice, found)
        if out:
            names = {m: words.position(voice, m) for m in POSITIONS[options["crew"]]}
            ends = ("0 s", f"{seconds(voice, found.end - found.start)} s")
            drawing = ledger_drawing(found, sentence, names=names, crew="crew", times=ends)
            with refusing(out):
                Path(out).write_text(to_svg_file(drawing), encoding="utf-8")
        answer = {"schema": 1, "sentence": sentence, **ledger_document(found)}
        self.stdout.write(json.dumps(answer, indent=2, ensure_ascii=False))
