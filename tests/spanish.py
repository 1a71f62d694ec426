"""What of a text is still English, for tests of what a reader of Spanish meets."""

from __future__ import annotations

import re
from functools import cache
from html import unescape
from pathlib import Path
from typing import Final

from babel.messages.pofile import read_po
from django.conf import settings

CATALOGUE: Final = Path(settings.LOCALE_PATHS[0]) / "es" / "LC_MESSAGES" / "django.po"
PLACEHOLDER: Final = re.compile(r"%\(\w+\)s|%%|\{\w+\}|<[^>]+>|\n+")
TELLING: Final = 3
"""Words; fewer may be the same in both languages."""


@cache
def english() -> tuple[str, ...]:
    """What the site says in English, cut at its placeholders."""
    with CATALOGUE.open("rb") as handle:
        ids = [message.id for message in read_po(handle) if message.id]
    texts = {text for found in ids for text in ([found] if isinstance(found, str) else found)}
    parts = {part.strip(" .,;:") for text in texts for part in PLACEHOLDER.split(text)}
    return tuple(sorted(part for part in parts if len(part.split()) >= TELLING))


def english_in(text: str) -> list[str]:
    plain = " ".join(unescape(text).split())
    found = (part for part in english() if part in plain)
    return [part for part in found if re.search(rf"(?<!\w){re.escape(part)}(?!\w)", plain)]
