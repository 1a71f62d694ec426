"""manage.py explain: a situation in, its row and the reason out."""

from __future__ import annotations

import io
import json
import re
import shlex
from dataclasses import replace
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from evaluations.core.documents import DocumentError
from evaluations.core.replay import explained as document
from evaluations.core.replay import read_situation
from evaluations.management.commands import explain as command
from evaluations.services.shipped_codes import shipped_code

SHOOTING = (
    "whistle=shooting",
    "resumes=free_throws",
    "court=front",
    "flip=no",
    "caller=lead",
    "side=opposite",
)


def explained(*words: str, code: str = "two_person_every_foul") -> Any:
    out = io.StringIO()
    call_command("explain", *words, code=code, stdout=out)
    return json.loads(out.getvalue())


def with_word(word: str) -> list[str]:
    """The situation above with one field changed."""
    name = word.partition("=")[0]
    return [*(w for w in SHOOTING if not w.startswith(f"{name}=")), word]


def test_the_row_and_the_reason() -> None:
    answer = explained(*SHOOTING)
    assert answer["row"] == 1
    assert answer["because"] == {
        "whistle": "shooting",
        "resumes": "free_throws",
        "caller": "lead",
    }
    assert answer["blank"] == ["court", "flip", "side"]
    assert answer["after"] == {
        "lead": {"position": "trail", "side": "table"},
        "trail": {"position": "lead", "side": "opposite"},
    }
    assert answer["administers"] == "lead"
    (option,) = answer["options"]
    assert (option["key"], option["needs"]) == ("caller_lead_opposite", ["agreed", "heated_bench"])
    assert answer["note"].startswith("Free throws: the caller ends trail")
    assert answer["source"] == "Common practice, no source; your association's manual prevails."


def test_the_examples_of_the_help_are_explained() -> None:
    text = (command.__doc__ or "").replace("\\\n", " ")
    examples = re.findall(r"^    manage.py explain (.*)$", text, re.MULTILINE)
    assert len(examples) == 2
    for example in examples:
        out = io.StringIO()
        call_command("explain", *shlex.split(example), stdout=out)
        assert json.loads(out.getvalue())["row"] >= 1


def test_a_situation_can_be_one_argument() -> None:
    assert explained(" ".join(SHOOTING)) == explained(*SHOOTING)


def test_a_row_that_is_not_sure_says_so() -> None:
    words = with_word("caller=centre")
    answer = explained(*words, code="three_person")
    assert answer["sure"] is False
    assert "not sure" in answer["note"]
    assert answer["after"]["centre"] == {"position": "trail", "side": "table"}


@pytest.mark.parametrize(
    ("word", "message"),
    [
        ("whistle=foul", "whistle: allowed: common, shooting, player_control"),
        ("whistle=", "whistle: allowed: common, shooting"),
        ("resumes=jump", "resumes: allowed: free_throws, end_line, side_line, division_line"),
        ("resumes=end_line", "resumes: allowed after shooting: free_throws"),
        ("court=middle", "court: allowed: front, back"),
        ("flip=maybe", "flip: allowed: yes, no"),
        ("caller=centre", "caller: allowed: lead, trail"),
        ("side=left", "side: allowed: table, opposite"),
        ("crew=3", "crew: allowed: 2"),
        ("crew=two", "crew: allowed: 2"),
        ("=fine", "=fine: is no field; allowed: crew, whistle, resumes"),
        ("weather=fine", "weather: is no field; allowed: crew, whistle, resumes, court, flip"),
    ],
)
def test_a_situation_that_can_not_be_ends_with_2_and_what_is_allowed(
    word: str, message: str
) -> None:
    with pytest.raises(CommandError) as refusal:
        explained(*with_word(word))
    assert message in str(refusal.value)
    assert refusal.value.returncode == 2


def test_a_player_control_foul_turns_the_direction() -> None:
    words = [*SHOOTING[2:], "whistle=player_control", "resumes=end_line"]
    with pytest.raises(CommandError, match="flip: allowed after player_control: yes"):
        explained(*words)


def test_a_missing_field_and_one_that_is_there_twice_are_named() -> None:
    with pytest.raises(CommandError, match="side: allowed: table, opposite"):
        explained(*SHOOTING[:-1])
    with pytest.raises(CommandError, match="side: is there twice"):
        explained(*SHOOTING, "side=table")


def test_without_a_situation_it_ends_with_2() -> None:
    with pytest.raises(CommandError, match="FIELD=VALUE"):
        call_command("explain")


def test_an_unknown_code_ends_with_2() -> None:
    with pytest.raises(CommandError, match="no shipped code") as refusal:
        explained(*SHOOTING, code="mine")
    assert refusal.value.returncode == 2


def test_a_situation_that_a_code_in_work_leaves_open_is_named() -> None:
    whole = shipped_code("two_person_every_foul")
    situation = read_situation(SHOOTING, whole)
    with pytest.raises(DocumentError, match="rows: no row covers crew 2, shooting, free_throws"):
        document(replace(whole, rows=whole.rows[2:]), situation, "en")
