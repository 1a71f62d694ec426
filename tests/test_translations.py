"""The catalogue of texts keeps up with the site."""

from __future__ import annotations

import ast
import re
import shutil
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest
from babel.messages.pofile import read_po
from django.conf import settings
from django.core.management import call_command
from pytest_django import Settings

from tests.needs import program

ROOT = Path(__file__).parents[1]
ROOMS = ("accounts", "config", "evaluations", "seed_demo", "templates")
TRANSLATED = [code for code, _ in settings.LANGUAGES if code != settings.LANGUAGE_CODE]


def texts(locale: Path, language: str) -> set[tuple[str | None, Any]]:
    file = locale / language / "LC_MESSAGES" / "django.po"
    with file.open("rb") as handle:
        return {(message.context, message.id) for message in read_po(handle) if message.id}


@pytest.mark.parametrize("language", TRANSLATED)
def test_the_catalogue_has_every_text_of_the_site_and_no_other(
    language: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    settings: Settings,
) -> None:
    """`make translations` brings it up to date."""
    program("xgettext", "install GNU gettext (Debian: apt-get install gettext)")
    for room in ROOMS:
        shutil.copytree(ROOT / room, tmp_path / room, ignore=shutil.ignore_patterns("*.pyc"))
    fresh = tmp_path / "config" / "locale"
    settings.LOCALE_PATHS = [fresh]
    monkeypatch.chdir(tmp_path)
    call_command("makemessages", locale=[language], no_obsolete=True, verbosity=0)
    assert texts(ROOT / "config" / "locale", language) == texts(fresh, language)


@pytest.mark.parametrize("language", TRANSLATED)
def test_every_text_is_translated_and_keeps_its_placeholders(language: str) -> None:
    file = ROOT / "config" / "locale" / language / "LC_MESSAGES" / "django.po"
    with file.open("rb") as handle:
        messages = [message for message in read_po(handle) if message.id]
    assert [m.id for m in messages if m.fuzzy or not all(forms(m.string))] == []
    assert [
        m.id
        for m in messages
        for text in forms(m.string)
        if placeholders(text) != placeholders(forms(m.id)[-1])
    ] == []


@pytest.mark.parametrize("language", TRANSLATED)
def test_no_text_in_the_code_is_hidden_from_the_catalogue(language: str) -> None:
    """The tool that collects texts looks into no f-string, and knows `_("...")` alone."""
    known = {
        form
        for _context, found in texts(ROOT / "config" / "locale", language)
        for form in forms(found)
    }
    assert [text for text in said_in_code() if text not in known] == []


def said_in_code() -> Iterator[str]:
    modules = (file for room in ROOMS for file in (ROOT / room).rglob("*.py"))
    for module in modules:
        for call in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
            if isinstance(call, ast.Call) and ast.unparse(call.func) in ("_", "voice.text"):
                yield from (
                    part.value
                    for part in call.args
                    if isinstance(part, ast.Constant) and isinstance(part.value, str)
                )


def forms(texts: str | Sequence[str] | None) -> Sequence[str]:
    """Singular and plurals, or the one text that there is."""
    return [texts] if isinstance(texts, str) else texts or [""]


def placeholders(text: str) -> set[str]:
    return set(re.findall(r"%\(\w+\)s|%%|\{\w+\}", text))
