"""A season's findings as a file for a spreadsheet."""

from __future__ import annotations

import csv
from datetime import timedelta
from io import StringIO

import pytest

from accounts.models import Association
from evaluations.models import Game, Season
from evaluations.queries.findings import Asked, season_findings
from tests.factories.accounts import Cast, signed_in
from tests.factories.evaluations import GAME_AT, season_of
from tests.factories.findings import NAMES, logged, new_rubric, season_of_switches, switches

ADDRESS = "/a/rivers/findings/export/"
HEADER = (
    "season,crew_size,level_of_play,kept,rule,rule_in_words,observations,officials,met,judged,"
    "not_judged,share_met,interval_low,interval_high,training_topic"
)


@pytest.fixture(autouse=True)
def clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is a week after the last game."""
    monkeypatch.setattr("django.utils.timezone.now", lambda: GAME_AT + timedelta(days=7))


def exported(cast: Cast, **question: str) -> str:
    answer = signed_in(cast.board).get(ADDRESS, question)
    assert answer.status_code == 200
    return answer.content.decode("utf-8")


def lines(text: str) -> dict[str, dict[str, str]]:
    """The file's lines by rule."""
    read = csv.DictReader(StringIO(text, newline=""))
    return {line["rule"]: line for line in read}


def test_the_file_has_the_exact_counts_of_the_page(cast: Cast) -> None:
    rubric = new_rubric(cast)
    season_of_switches(cast, rubric)
    line = lines(exported(cast))["force_switch"]
    assert (line["season"], line["rule_in_words"]) == (
        "2026–27",
        "switch forced before the ball is live",
    )
    assert [line[name] for name in ("observations", "officials", "met", "judged")] == [
        "6",
        "6",
        "18",
        "30",
    ]
    assert (line["share_met"], line["training_topic"]) == ("0.600000", "1")
    [switch] = [
        tally
        for tally in season_findings(cast.board, Asked(rubric.season)).tallies
        if tally.rule == "force_switch"
    ]
    assert switch.interval is not None
    limits = float(line["interval_low"]), float(line["interval_high"])
    assert limits == pytest.approx(switch.interval, abs=1e-6)


def test_it_begins_with_a_header_in_utf_8_and_is_a_download(cast: Cast) -> None:
    season_of_switches(cast, new_rubric(cast))
    answer = signed_in(cast.admin).get(ADDRESS)
    assert answer.headers["Content-Type"] == "text/csv; charset=utf-8"
    name = answer.headers["Content-Disposition"]
    assert name == 'attachment; filename="findings-2026-09-01-2027-04-30.csv"'
    assert answer.content.decode("utf-8").splitlines()[0] == HEADER


def test_nobody_is_named_in_the_file_nor_by_its_name(cast: Cast) -> None:
    season_of_switches(cast, new_rubric(cast))
    answer = signed_in(cast.admin).get(ADDRESS)
    text = answer.content.decode() + answer.headers["Content-Disposition"]
    spoken_of = (*NAMES, cast.observer.user.name, Association.objects.get(slug="rivers").name)
    assert [name for name in spoken_of if name in text] == []


def test_rules_with_too_few_findings_have_empty_cells(cast: Cast) -> None:
    logged(cast, new_rubric(cast), (cast.official, cast.other_official), switches(0, 4))
    line = lines(exported(cast))["force_switch"]
    figures = ("observations", "officials", "met", "judged", "not_judged", "share_met")
    assert [line[name] for name in figures] == [""] * 6
    assert line["training_topic"] == ""


def test_the_file_answers_the_question_of_the_page_and_says_which(cast: Cast) -> None:
    season_of_switches(cast, new_rubric(cast))
    asked = exported(cast, crew_size="2", level_of_play="Varsity", kept="every_foul")
    line = lines(asked)["force_switch"]
    assert (line["crew_size"], line["level_of_play"], line["kept"]) == (
        "2",
        "Varsity",
        "every_foul",
    )
    assert lines(exported(cast, crew_size="3")) == {}


@pytest.mark.parametrize("opening", ["=", "+", "-", "@", " =", "\t="])
def test_no_text_is_taken_for_a_formula(cast: Cast, opening: str) -> None:
    season_of_switches(cast, new_rubric(cast))
    text = f'{opening}HYPERLINK("//a","b")'
    Season.objects.update(name=text)
    Game.objects.update(level_of_play=text)
    line = lines(exported(cast, level_of_play=text))["force_switch"]
    assert line["season"] == line["level_of_play"] == f"'{text.strip()}"


@pytest.mark.parametrize("question", ["?crew_size=5", "?season=0", "?kept=striking"])
def test_a_question_that_makes_no_sense_has_no_file(cast: Cast, question: str) -> None:
    season_of(cast.association)
    assert signed_in(cast.admin).get(ADDRESS + question).status_code == 404


def test_without_a_season_there_is_no_file(cast: Cast) -> None:
    assert signed_in(cast.admin).get(ADDRESS).status_code == 404
