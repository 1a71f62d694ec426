"""manage.py score: a file in, a score card out, and a field's name when something is wrong."""

from __future__ import annotations

import io
import json
import re
import subprocess
import sys
from fractions import Fraction
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from evaluations.management.commands import score as command

ROOT = Path(__file__).parents[2]
EXAMPLE = re.search(r"^    \{.*?^    \}", command.__doc__ or "", re.DOTALL | re.MULTILINE)
assert EXAMPLE is not None
EXAMPLE_TEXT = EXAMPLE[0]


def scored(text: str, tmp_path: Path) -> Any:
    file = tmp_path / "form.json"
    file.write_text(text, encoding="utf-8")
    out = io.StringIO()
    call_command("score", str(file), stdout=out)
    return json.loads(out.getvalue())


def refused(text: str, tmp_path: Path) -> CommandError:
    file = tmp_path / "form.json"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(CommandError) as refusal:
        call_command("score", str(file), stdout=io.StringIO())
    assert str(refusal.value).startswith(f"{file}: ")
    return refusal.value


def test_the_example_of_the_help_is_scored(tmp_path: Path) -> None:
    card = scored(EXAMPLE_TEXT, tmp_path)
    # 40 x 3/4 and 60 x 9/10: what was not seen leaves its weight to the rest of its area.
    assert (card["total"], card["printed"]["total"], card["band"]) == ("84", "84.0", "dependable")
    assert card["withheld"] is None
    assert card["bites"] == []
    assert [c["value"] for c in card["criteria"]] == ["3/4", None, "9/10"]


def test_a_ceiling_that_bites_is_listed_with_its_scores(tmp_path: Path) -> None:
    low = EXAMPLE_TEXT.replace('"0.9"', '"0.29"').replace('"at_most": 50', '"at_most": 40.5')
    card = scored(low, tmp_path)
    assert (card["uncapped"], card["total"]) == ("237/5", "81/2")
    assert card["bites"] == [
        {
            "ceiling": {"criterion": "leaves", "at_most": "81/2", "area": None},
            "before": "237/5",
            "after": "81/2",
            "rise": "99/2",
        }
    ]
    printed = card["printed"]
    assert sum(Fraction(p) for p in printed["points"].values()) == Fraction(printed["uncapped"])
    assert (printed["uncapped"], printed["ceiling"], printed["total"]) == ("47.4", "6.9", "40.5")


def test_without_a_total_the_reason_is_given(tmp_path: Path) -> None:
    card = scored(EXAMPLE_TEXT.replace('"ratings"', '"withhold": "coaching", "ratings"'), tmp_path)
    assert (card["total"], card["printed"], card["withheld"]) == (None, None, "coaching")


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('"weight": 40', '"weight": 0', "$.rubric.areas[0].weight: must be above 0"),
        ('"weight": 40', '"weight": NaN', "$.rubric.areas[0].weight: must be finite, not NaN"),
        ('"weight": 40', '"weight": true', "$.rubric.areas[0].weight: must be a number"),
        ('"level": 4', '"level": 6', "$.ratings[0].level: must be 1 to 5"),
        ('"ratings"', '"scores"', "$: Object contains unknown field scores"),
        ("[", "", "$: is no JSON"),
    ],
)
def test_bad_input_ends_with_2_and_names_the_field(
    old: str, new: str, message: str, tmp_path: Path
) -> None:
    error = refused(EXAMPLE_TEXT.replace(old, new, 1), tmp_path)
    assert message in str(error)
    assert error.returncode == 2


def test_a_file_that_is_not_there_ends_with_2(tmp_path: Path) -> None:
    with pytest.raises(CommandError, match="No such file") as refusal:
        call_command("score", str(tmp_path / "none.json"))
    assert refusal.value.returncode == 2


def test_a_hyphen_reads_standard_input(monkeypatch: pytest.MonkeyPatch) -> None:
    stdin = SimpleNamespace(buffer=io.BytesIO(EXAMPLE_TEXT.encode()))
    monkeypatch.setattr(sys, "stdin", stdin)
    out = io.StringIO()
    call_command("score", "-", stdout=out)
    assert json.loads(out.getvalue())["total"] == "84"


def test_the_schema_is_printed() -> None:
    out = io.StringIO()
    call_command("score", "--schema", stdout=out)
    assert json.loads(out.getvalue())["$schema"].endswith("2020-12/schema")


def manage(*args: str, text: str = "") -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "manage.py", "score", *args],
        cwd=ROOT,
        input=text,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )


def test_in_a_shell_the_card_goes_to_stdout_and_a_refusal_to_stderr() -> None:
    good = manage("-", text=EXAMPLE_TEXT)
    assert (good.returncode, good.stderr) == (0, "")
    assert json.loads(good.stdout)["total"] == "84"
    bad = manage("-", text=EXAMPLE_TEXT.replace('"level": 4', '"level": "four"'))
    assert (bad.returncode, bad.stdout) == (2, "")
    assert "$.ratings[0].level" in bad.stderr
    assert "Traceback" not in bad.stderr


def test_in_a_shell_a_missing_file_name_ends_with_2() -> None:
    assert manage().returncode == 2
