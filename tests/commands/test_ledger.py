"""`manage.py ledger`: seconds as JSON, bands as a picture, clear errors."""

from __future__ import annotations

import json
import re
from io import StringIO
from pathlib import Path
from textwrap import dedent
from typing import Any
from xml.sax.saxutils import quoteattr

import pytest
from django.core.management import CommandError, call_command

from evaluations.management.commands.ledger import Command

EXAMPLE = dedent(
    Command.help[Command.help.index("    what,") : Command.help.index("\n\nA span")]
).strip()


def added_up(tmp_path: Path, text: str = EXAMPLE, *more: str) -> dict[str, Any]:
    file, out = tmp_path / "ledger.csv", StringIO()
    file.write_text(text, encoding="utf-8")
    call_command("ledger", str(file), *more, stdout=out)
    answer: dict[str, Any] = json.loads(out.getvalue())
    return answer


def test_the_example_of_the_help_is_added_up(tmp_path: Path) -> None:
    answer = added_up(tmp_path)
    assert answer["sums"] == [3500, 6500, 0]
    assert answer["longest"] == [8250, 12500, "crew", None]
    assert answer["gaps"][0] == [6000, 8250, "others", "umpire"]
    assert "somebody faced the players for 3.5 s, nobody for 6.5 s" in answer["sentence"]


def test_without_a_live_ball_nothing_is_added_up(tmp_path: Path) -> None:
    answer = added_up(tmp_path, EXAMPLE.replace("live,,12.5,\n", ""))
    assert answer["sums"] is None
    assert "did not become live" in answer["sentence"]


def test_the_bands_are_drawn(tmp_path: Path) -> None:
    picture = tmp_path / "bands.svg"
    answer = added_up(tmp_path, EXAMPLE, "--svg", str(picture))
    drawing = picture.read_text(encoding="utf-8")
    assert f"aria-label={quoteattr(answer['sentence'])}" in drawing
    covered = re.findall(r'<rect class="figure-value" [^>]*width="([\d.]+)"', drawing)
    assert covered == ["105", "105"], "35 % of 300 points, of the umpire and of the crew"


@pytest.mark.parametrize(
    ("old", "new", "complaint"),
    [
        ("live,,12.5,", "live,,soon,", "line 5, start"),
        ("facing,umpire", "facing,somebody", "line 6, official: allowed: referee, umpire"),
        ("whistle,,2.5,\n", "", "whistle: there must be a row"),
        ("what,official", "what,who", "line 1"),
    ],
)
def test_bad_input_ends_with_2_and_names_line_and_column(
    old: str, new: str, complaint: str, tmp_path: Path
) -> None:
    assert old in EXAMPLE
    with pytest.raises(CommandError, match=complaint) as refusal:
        added_up(tmp_path, EXAMPLE.replace(old, new, 1))
    assert refusal.value.returncode == 2
