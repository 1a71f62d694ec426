"""Fingerprints of the sample letters.

A letter that was sent never changes, but the next one may come out differently when fonts, texts
or layout change. After a change that is meant, look at the letters and renew the fingerprints:

    python -m tests.letters.golden
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

from evaluations.core.letter import LetterContent
from evaluations.letters import render
from tests.letters import samples
from tests.letters.reading import fingerprint

FILE = Path(__file__).with_name("golden.json")

KINDS: dict[str, Callable[[str, str], LetterContent]] = {
    "full": samples.full,
    "typical": samples.typical,
    "coaching": samples.coaching,
    "full_logged": samples.full_logged,
    "typical_logged": samples.typical_logged,
    "typical_sketched": samples.typical_sketched,
}


def letters() -> dict[str, LetterContent]:
    return {
        f"{kind} {language} {paper}": make(language, paper)
        for kind, make in KINDS.items()
        for language, paper in (("en", "letter"), ("es", "a4"))
    }


def fingerprints() -> dict[str, str]:
    return {name: fingerprint(render(content)) for name, content in letters().items()}


if __name__ == "__main__":
    FILE.write_text(json.dumps(fingerprints(), indent=2) + "\n", "utf-8")
