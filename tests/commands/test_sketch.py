"""`manage.py sketch`: measures as JSON, a picture, clear errors."""

from __future__ import annotations

import json
import re
from io import StringIO
from pathlib import Path
from typing import Any
from xml.sax.saxutils import quoteattr

import pytest
from django.core.management import CommandError, call_command

from evaluations.management.commands.sketch import Command

EXAMPLE = Command.help[Command.help.index("    {\n") : Command.help.index("\n\nLengths")]


def sketched(tmp_path: Path, text: str = EXAMPLE, *more: str) -> dict[str, Any]:
    file, out = tmp_path / "sketch.json", StringIO()
    file.write_text(text, encoding="utf-8")
    call_command("sketch", str(file), *more, stdout=out)
    answer: dict[str, Any] = json.loads(out.getvalue())
    return answer


def test_the_example_of_the_help_is_measured(tmp_path: Path) -> None:
    answer = sketched(tmp_path)
    assert answer["schema"] == 1
    assert answer["watchers"] == ["referee", "umpire"]
    assert answer["coverage"] == 1
    assert answer["route"]["around"] is True
    assert answer["sentence"].startswith("2 of 2 players are in an official's view")


def test_a_picture_is_written_that_says_the_same(tmp_path: Path) -> None:
    picture = tmp_path / "sketch.svg"
    answer = sketched(tmp_path, EXAMPLE, "--svg", str(picture))
    drawing = picture.read_text(encoding="utf-8")
    assert f"aria-label={quoteattr(answer['sentence'])}" in drawing
    assert {"referee", "umpire", "table"} <= set(re.findall(r">([^<>]+)</text>", drawing))
    assert drawing.count('class="figure-dark"') == 1


def test_whom_nobody_sees_is_named_so_in_the_picture(tmp_path: Path) -> None:
    turned = re.sub(r'"facing": 300', '"facing": 120', EXAMPLE)
    answer = sketched(tmp_path, turned, "--svg", str(tmp_path / "s.svg"))
    assert answer["unseen"] == [0, 1]
    assert (tmp_path / "s.svg").read_text(encoding="utf-8").count(">unseen<") == 2


def test_the_schema_is_printed() -> None:
    out = StringIO()
    call_command("sketch", "--schema", stdout=out)
    assert json.loads(out.getvalue())["$schema"].endswith("2020-12/schema")


@pytest.mark.parametrize(
    ("old", "new", "complaint"),
    [
        ('"crew": 2', '"crew": 5', r"\$\.crew"),
        ('"team": "dark"', '"team": "red"', r"\$\.players\[1\]\.team.*allowed: light, dark"),
        ('"x": 4.5', '"x": 99.5', r"\$\.players\[0\]\.x: must be -3 to 31 metres"),
        ('"schema": 1', '"schema": "one"', r"\$\.schema"),
    ],
)
def test_bad_input_ends_with_2_and_names_the_field(
    old: str, new: str, complaint: str, tmp_path: Path
) -> None:
    assert old in EXAMPLE
    with pytest.raises(CommandError, match=complaint) as refusal:
        sketched(tmp_path, EXAMPLE.replace(old, new, 1))
    assert refusal.value.returncode == 2


def test_a_picture_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    with pytest.raises(CommandError) as refusal:
        sketched(tmp_path, EXAMPLE, "--svg", str(tmp_path / "nowhere" / "s.svg"))
    assert refusal.value.returncode == 2
