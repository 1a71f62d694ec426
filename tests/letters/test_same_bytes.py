"""The same release gives the same bytes, whoever makes them and whenever."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from hashlib import sha256
from pathlib import Path

import pytest

from evaluations.core.letter import LetterContent
from evaluations.letters import render
from evaluations.letters.fonts import SANS, SANS_BOLD, SERIF, SERIF_BOLD
from tests.letters import golden, samples
from tests.letters.reading import reader

ROOT = Path(__file__).parents[2]

HASHES = """
from hashlib import sha256
from evaluations.letters import render
from tests.letters.golden import letters
print(*(sha256(render(content)).hexdigest() for content in letters().values()))
"""


def _hashes_in_a_new_process(seed: str, epoch: str) -> list[str]:
    environment = {**os.environ, "PYTHONHASHSEED": seed, "SOURCE_DATE_EPOCH": epoch}
    run = subprocess.run(
        [sys.executable, "-c", HASHES],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    )
    return run.stdout.split()


def test_another_process_makes_the_same_letters() -> None:
    here = [sha256(render(content)).hexdigest() for content in golden.letters().values()]
    assert _hashes_in_a_new_process("1", "") == here
    assert _hashes_in_a_new_process("4711", "1700000000") == here


def test_the_letters_are_the_ones_that_were_looked_at() -> None:
    """When this fails after a change that is meant, see `golden` for how to renew it."""
    assert golden.fingerprints() == json.loads(golden.FILE.read_text("utf-8"))


def test_four_hundred_letters_in_four_threads_equal_those_made_one_by_one() -> None:
    letters = [
        replace(make(language, paper), official=f"{name} {number}")
        for make in (samples.typical, samples.coaching)
        for language, paper in (("en", "letter"), ("es", "a4"))
        for number, name in enumerate(("Łukasz Žižka", "İlkay Þórsson"))
    ]
    one_by_one = [render(content) for content in letters]
    for face in (SANS, SANS_BOLD, SERIF, SERIF_BOLD):
        face.program.cache_clear()

    with ThreadPoolExecutor(4) as threads:
        together = list(threads.map(render, letters * 50))

    assert len(together) == 400
    assert together == one_by_one * 50


@pytest.mark.parametrize("issued", ["2026-11-12", "2027-02-01"])
def test_the_file_is_dated_by_the_release(issued: str) -> None:
    file = reader(render(replace(samples.coaching(), issued=issued)))
    assert file.metadata is not None
    assert str(file.metadata["/CreationDate"]) == f"D:{issued.replace('-', '')}000000+00'00'"
    assert file.metadata["/ModDate"] == file.metadata["/CreationDate"]


def test_another_letter_has_another_identifier() -> None:
    def identifier(content: LetterContent) -> str:
        return str(reader(render(content)).trailer["/ID"])

    letter = samples.coaching()
    assert identifier(letter) != identifier(replace(letter, summary="Other words."))
    assert identifier(letter) == identifier(samples.coaching())
