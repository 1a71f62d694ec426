"""Write a season's current letters to a folder, one PDF each.

Example:

    manage.py letters --season 2026-27 --out var/letters --association three-rivers

"--season current" means the season that has begun last. Without --association every association's
season of that name is written. A file is called after the day of the game and the letter's code,
such as 2026-11-10-K7QM-2XPA-9RTC.pdf; it names nobody. Letters that have been answered or reviewed
carry the answer. A file that is there already and the same is left as it is, so that this can run
every night; letters that their officials can't read yet are left out.

Says on standard output where the letters are and how many; ends with 2 if there is no such season
or association, with 1 if a file can't be written.
"""

from __future__ import annotations

from argparse import ArgumentParser
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from django.core.management.base import CommandError
from django.utils import timezone

from accounts.management.explained import ExplainedCommand
from accounts.models import Association
from evaluations.management.inputs import BAD_INPUT
from evaluations.models import Season
from evaluations.queries.letter_files import count_closed, letters_to_file, seasons_named
from evaluations.queries.releases import file_name
from evaluations.services.copies import letter_pdf

PROGRESS_EVERY = 25
OWNER_ONLY = 0o700


class Command(ExplainedCommand):
    help = __doc__ or ""

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--season", required=True, help="its name, or: current")
        parser.add_argument("--out", required=True, type=Path, help="the folder; made if need be")
        parser.add_argument("--association", help="its short name in addresses")

    def handle(self, *args: Any, **options: Any) -> None:
        folder: Path = options["out"]
        self.quiet = options["verbosity"] == 0
        seasons = _seasons(options["season"], options["association"])
        try:
            folder.mkdir(mode=OWNER_ONLY, parents=True, exist_ok=True)
            written, names = self._write(seasons, folder)
            stale = {path.name for path in folder.glob("????-??-??-*.pdf")} - set(names)
        except OSError as error:
            raise CommandError(f"{error.filename}: {error.strerror}") from None
        for name in sorted(stale):
            self._say(f"{name} is in the folder, but is no current letter of this season")
        count = f"{len(names)} letter" if len(names) == 1 else f"{len(names)} letters"
        unchanged = len(names) - written
        self.stdout.write(f"{folder.resolve()}: {count}, {written} written, {unchanged} unchanged")

    def _write(self, seasons: list[Season], folder: Path) -> tuple[int, list[str]]:
        """How many files were written, and the names of all letters."""
        now, names, written = timezone.now(), [], 0
        letters = letters_to_file(seasons, now)
        total = letters.count()
        for number, pk in enumerate(letters.values_list("pk", flat=True), start=1):
            letter = letters.get(pk=pk)
            names.append(file_name(letter))
            written += _write_new(folder / names[-1], letter_pdf(release=letter, annex=False))
            if number % PROGRESS_EVERY == 0 or number == total:
                self._say(f"{number} of {total} letters")
        closed = count_closed(seasons, now)
        if closed:
            self._say(f"{closed} more are not open yet")
        return written, names

    def _say(self, text: str) -> None:
        if not self.quiet:
            self.stderr.write(text, str)


def _seasons(name: str, slug: str | None) -> list[Season]:
    found = Association.objects.filter(slug=slug) if slug else Association.objects.all()
    associations = list(found)
    if slug and not associations:
        raise CommandError(f"There is no association {slug}.", returncode=BAD_INPUT)
    seasons = seasons_named(name, associations, timezone.now())
    if not seasons:
        raise CommandError(_no_season(name, associations), returncode=BAD_INPUT)
    return seasons


def _no_season(name: str, associations: Iterable[Association]) -> str:
    seasons = Season.objects.filter(association__in=associations)
    there = ", ".join(sorted(set(seasons.values_list("name", flat=True))))
    return f"There is no season {name}. There is: {there or 'none yet'}."


def _write_new(path: Path, pdf: bytes) -> bool:
    """Whether the file had to be written; it is there whole or not at all."""
    if path.exists() and path.read_bytes() == pdf:
        return False
    part = path.with_suffix(".part")
    part.write_bytes(pdf)
    part.replace(path)
    return True
