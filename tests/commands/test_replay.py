"""manage.py replay: a log and a code in, places due, findings and counts out."""

from __future__ import annotations

import io
import json
import re
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from evaluations.management.commands import replay as command
from evaluations.services.shipped_codes import SHIPPED, SHIPPED_CODES, shipped_code

ROOT = Path(__file__).parents[2]
EXAMPLE = re.search(r"^    \{.*?^    \}", command.__doc__ or "", re.DOTALL | re.MULTILINE)
assert EXAMPLE is not None
EXAMPLE_TEXT = EXAMPLE[0]


def replayed(text: str, tmp_path: Path, *options: str) -> Any:
    file = tmp_path / "log.json"
    file.write_text(text, encoding="utf-8")
    out = io.StringIO()
    call_command("replay", str(file), *options, stdout=out)
    return json.loads(out.getvalue())


def refused(text: str, tmp_path: Path, *options: str) -> CommandError:
    file = tmp_path / "log.json"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(CommandError) as refusal:
        call_command("replay", str(file), *options, stdout=io.StringIO())
    assert refusal.value.returncode == 2
    return refusal.value


def verdicts(answer: Any, ball: int) -> dict[tuple[str, str], str]:
    return {
        (f["rule"], f["member"]): f["verdict"]
        for f in answer["findings"]
        if f["dead_ball"] == ball and f["verdict"] != "not_judged"
    }


def test_the_example_of_the_help_is_replayed(tmp_path: Path) -> None:
    answer = replayed(EXAMPLE_TEXT, tmp_path)
    assert answer["code"] == {"key": "two_person_every_foul", "edition": "1"}
    first, second = answer["dead_balls"]
    assert first == {
        "number": 1,
        "row": 1,
        "sure": True,
        "expected": {
            "referee": {"position": "trail", "side": "table"},
            "umpire": {"position": "lead", "side": "opposite"},
        },
        "administers": "umpire",
        "switch": "short",
    }
    assert (second["switch"], second["administers"]) == ("long", "umpire")
    assert verdicts(answer, 1) == {
        ("route_around", "referee"): "not_met",
        ("full_stop", "referee"): "met",
        ("end", "referee"): "met",
        ("end", "umpire"): "met",
        ("side", "referee"): "met",
        ("side", "umpire"): "not_met",
        ("force_switch", "umpire"): "met",
    }
    assert verdicts(answer, 2) == {
        ("force_switch", "referee"): "not_met",
        ("eyes_kept", "referee"): "not_met",
    }


def test_a_finding_has_its_duty_in_words_and_the_row_that_says_so(tmp_path: Path) -> None:
    answer = replayed(EXAMPLE_TEXT, tmp_path)
    found = [f for f in answer["findings"] if f["rule"] == "side" and f["member"] == "umpire"]
    assert found[0] == {
        "dead_ball": 1,
        "rule": "side",
        "member": "umpire",
        "verdict": "not_met",
        "row": 1,
        "expected": {"position": "lead", "side": "opposite"},
        "option": None,
        "duty": "Be in your place when the ball is live: lead, opposite the table.",
    }


def logged(balls: int, **fields: Any) -> str:
    ball = json.loads(EXAMPLE_TEXT)["dead_balls"][0]
    numbered = [{**ball, "number": n + 1} for n in range(balls)]
    return json.dumps({"schema": 1, "crew": 2, "dead_balls": numbered, **fields})


def counted(answer: Any, member: str, rule: str) -> Any:
    (found,) = [c for c in answer["counts"] if (c["member"], c["rule"]) == (member, rule)]
    return found


def test_findings_are_counted_by_member_and_rule(tmp_path: Path) -> None:
    few = counted(replayed(logged(4), tmp_path), "referee", "full_stop")
    assert (few["met"], few["share"], few["interval"]) == (4, None, None)
    enough = counted(replayed(logged(5), tmp_path), "referee", "full_stop")
    assert (enough["met"], enough["share"], enough["interval"]) == (5, "1", [0.5655, 1.0])
    missed = counted(replayed(logged(5), tmp_path), "umpire", "side")
    assert (missed["not_met"], missed["dead_balls"]) == (5, [1, 2, 3, 4, 5])


def test_a_log_of_what_struck_the_observer_has_no_shares(tmp_path: Path) -> None:
    answer = replayed(logged(20, kept="striking"), tmp_path)
    assert {(c["share"], c["interval"]) for c in answer["counts"]} == {(None, None)}
    assert counted(answer, "referee", "full_stop")["met"] == 20


@pytest.mark.parametrize("key", [key for key in SHIPPED_CODES if key != "three_person"])
def test_every_shipped_code_can_be_named(key: str, tmp_path: Path) -> None:
    assert replayed(EXAMPLE_TEXT, tmp_path, "--code", key)["code"]["key"] == key


def test_the_shipped_codes_are_all_that_there_are() -> None:
    assert sorted(SHIPPED_CODES) == sorted(file.stem for file in SHIPPED.glob("*.toml"))
    assert [shipped_code(key).key for key in SHIPPED_CODES] == list(SHIPPED_CODES)


def test_a_crew_of_three_is_replayed(tmp_path: Path) -> None:
    log = {"schema": 1, "crew": 3, "dead_balls": [{"number": 1, "caller": "umpire_2"}]}
    answer = replayed(json.dumps(log), tmp_path, "--code", "three_person")
    assert set(answer["dead_balls"][0]["expected"]) == {"referee", "umpire_1", "umpire_2"}
    assert answer["dead_balls"][0]["row"] is None
    assert {f["verdict"] for f in answer["findings"]} == {"not_judged"}


def test_an_own_code_is_read_from_a_file(tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    text = (SHIPPED / "two_person_every_foul.toml").read_text(encoding="utf-8")
    own.write_text(text.replace('edition = "1"', 'edition = "2"', 1), encoding="utf-8")
    answer = replayed(EXAMPLE_TEXT, tmp_path, "--code", str(own))
    assert answer["code"] == {"key": "two_person_every_foul", "edition": "2"}
    own.write_text(text.replace('administers = "lead"', 'administers = "me"', 1), encoding="utf-8")
    refusal = refused(EXAMPLE_TEXT, tmp_path, "--code", str(own))
    assert f"{own}: $.rows[0].administers: " in str(refusal)
    assert "allowed: lead, trail, centre, line_owner" in str(refusal)


def test_rules_for_film_are_judged_when_asked_for_and_from_film(tmp_path: Path) -> None:
    film = logged(1, source="film")
    rules = {f["rule"] for f in replayed(film, tmp_path, "--film-rules")["findings"]}
    assert {"benches_watched", "spoken", "vision_wide"} <= rules
    for answer in (replayed(film, tmp_path), replayed(EXAMPLE_TEXT, tmp_path, "--film-rules")):
        assert "spoken" not in {f["rule"] for f in answer["findings"]}


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('"shooting"', '"shot"', "$.dead_balls[0].whistle: "),
        ('"shooting"', '"shot"', "allowed: common, shooting, player_control"),
        ('"lead", "side": "opp', '"lead", "side": "left opp', "allowed: table, opposite"),
        ('"flip": true', '"flip": "yes"', "$.dead_balls[1].flip: Expected bool | null, got str"),
        ('"number": 2', '"number": 1', "$.dead_balls[1].number: is there twice"),
        ('"schema": 1', '"schema": 9', "$.schema: "),
        ('"agreed": []', '"agreed": ["stay"]', "$.agreed: the code has no stay; allowed: caller_"),
        ("[", "", "$: is no JSON"),
    ],
)
def test_bad_input_ends_with_2_and_names_the_field_and_what_is_allowed(
    old: str, new: str, message: str, tmp_path: Path
) -> None:
    assert message in str(refused(EXAMPLE_TEXT.replace(old, new, 1), tmp_path))


def test_a_code_for_other_crews_is_refused(tmp_path: Path) -> None:
    refusal = refused(EXAMPLE_TEXT, tmp_path, "--code", "three_person")
    assert "$.crew: the code three_person is for crews of 3" in str(refusal)


def test_an_unknown_code_is_refused_with_the_shipped_ones(tmp_path: Path) -> None:
    refusal = refused(EXAMPLE_TEXT, tmp_path, "--code", "mine")
    assert str(refusal).startswith("--code mine: ")
    assert all(key in str(refusal) for key in SHIPPED_CODES)


def test_a_folder_is_no_code_and_no_log(tmp_path: Path) -> None:
    assert "Is a directory" in str(refused(EXAMPLE_TEXT, tmp_path, "--code", str(tmp_path)))
    with pytest.raises(CommandError, match="Is a directory") as refusal:
        call_command("replay", str(tmp_path))
    assert refusal.value.returncode == 2


def test_a_hyphen_reads_standard_input(monkeypatch: pytest.MonkeyPatch) -> None:
    stdin = SimpleNamespace(buffer=io.BytesIO(EXAMPLE_TEXT.encode()))
    monkeypatch.setattr(sys, "stdin", stdin)
    out = io.StringIO()
    call_command("replay", "-", stdout=out)
    assert json.loads(out.getvalue())["crew"] == 2


def test_the_schema_is_printed() -> None:
    out = io.StringIO()
    call_command("replay", "--schema", stdout=out)
    assert json.loads(out.getvalue())["$schema"].endswith("2020-12/schema")


def test_in_a_shell_a_refusal_goes_to_stderr_and_ends_with_2() -> None:
    def manage(text: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "manage.py", "replay", "-"],
            cwd=ROOT,
            input=text,
            capture_output=True,
            text=True,
            check=False,
            timeout=60,
        )

    good = manage(EXAMPLE_TEXT)
    assert (good.returncode, good.stderr) == (0, "")
    bad = manage(EXAMPLE_TEXT.replace('"front"', '"middle"', 1))
    assert (bad.returncode, bad.stdout) == (2, "")
    assert "$.dead_balls[0].court: " in bad.stderr
    assert "allowed: front, back" in bad.stderr
    assert "Traceback" not in bad.stderr
