"""manage.py letters: a folder of the season's current letters, which names nobody."""

from __future__ import annotations

import hashlib
import io
from datetime import timedelta
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from evaluations.models import Release
from evaluations.services.answers import amend, respond
from evaluations.services.releases import release_crew, withdraw
from tests.factories.accounts import Cast
from tests.factories.releases import OPEN_AT, hand_in, released_crew

SEASON = "2026–27"


@pytest.fixture(autouse=True)
def open_letters(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is two days after the game."""
    monkeypatch.setattr(timezone, "now", lambda: OPEN_AT)


@pytest.fixture
def letter(cast: Cast) -> Release:
    return released_crew(cast)[0]


def written(folder: Path, *options: str, season: str = SEASON) -> tuple[str, str]:
    """What the command says on standard output and on standard error."""
    out, err = io.StringIO(), io.StringIO()
    call_command("letters", "--season", season, "--out", folder, *options, stdout=out, stderr=err)
    return out.getvalue(), err.getvalue()


def test_each_letter_is_a_file_called_after_day_and_code(letter: Release, tmp_path: Path) -> None:
    said, progress = written(tmp_path / "new" / "letters")
    files = sorted((tmp_path / "new" / "letters").iterdir())
    assert {file.name for file in files} == {
        f"2026-11-10-{one.code}.pdf" for one in Release.objects.all()
    }
    stored = Release.objects.get(code=files[0].stem.removeprefix("2026-11-10-"))
    assert hashlib.sha256(files[0].read_bytes()).hexdigest() == stored.sha256
    assert said == f"{tmp_path / 'new' / 'letters'}: 2 letters, 2 written, 0 unchanged\n"
    assert progress == "2 of 2 letters\n"


def test_no_file_name_holds_a_persons_name(letter: Release, tmp_path: Path) -> None:
    written(tmp_path)
    names = " ".join(file.name.lower() for file in tmp_path.iterdir())
    assert not [word for word in ("nico", "vale", "mara", "odell", "orla") if word in names]


def test_a_second_run_writes_nothing_and_says_so(letter: Release, tmp_path: Path) -> None:
    written(tmp_path)
    before = {file: file.stat().st_mtime_ns for file in tmp_path.iterdir()}
    said, _progress = written(tmp_path)
    assert "2 letters, 0 written, 2 unchanged" in said
    assert {file: file.stat().st_mtime_ns for file in tmp_path.iterdir()} == before


def test_an_answered_letter_is_written_anew_with_its_answer(
    cast: Cast, letter: Release, tmp_path: Path
) -> None:
    written(tmp_path)
    respond(release=letter, text="I see it differently.", lines={}, by=cast.official, now=OPEN_AT)
    said, _progress = written(tmp_path)
    assert "2 letters, 1 written, 1 unchanged" in said


def test_superseded_and_withdrawn_letters_are_left_out_and_named(
    cast: Cast, letter: Release, tmp_path: Path
) -> None:
    written(tmp_path)
    hand_in(amend(release=letter, reason="Wrong game.", by=cast.admin, now=OPEN_AT))
    observation = letter.evaluation.observation
    release_crew(observation=observation, by=cast.admin, now=OPEN_AT - timedelta(hours=2))
    other = Release.objects.get(evaluation__official=cast.other_official)
    withdraw(release=other, reason="Another game was meant.", by=cast.admin, now=OPEN_AT)
    said, progress = written(tmp_path)
    assert "1 letter, 1 written" in said
    for gone in (letter, other):
        assert f"2026-11-10-{gone.code}.pdf is in the folder, but" in progress


def test_letters_that_are_not_open_yet_stay_out(
    letter: Release, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(timezone, "now", lambda: letter.opens_at - timedelta(minutes=1))
    said, progress = written(tmp_path)
    assert "0 letters" in said and "2 more are not open yet" in progress
    assert list(tmp_path.iterdir()) == []


def test_current_is_the_season_that_has_begun_last(letter: Release, tmp_path: Path) -> None:
    assert "2 letters" in written(tmp_path, season="current")[0]


def test_another_associations_letters_are_not_written(
    cast: Cast, letter: Release, tmp_path: Path
) -> None:
    assert "2 letters" in written(tmp_path, "--association", "rivers")[0]
    with pytest.raises(CommandError, match="There is no season") as refusal:
        written(tmp_path, "--association", "harbor")
    assert refusal.value.returncode == 2


def test_a_wrong_season_or_association_is_refused_and_says_what_there_is(
    letter: Release, tmp_path: Path
) -> None:
    with pytest.raises(CommandError, match="There is: 2026–27") as refusal:
        written(tmp_path, season="1999")
    assert refusal.value.returncode == 2
    with pytest.raises(CommandError, match="no association nowhere") as refusal:
        written(tmp_path, "--association", "nowhere")
    assert refusal.value.returncode == 2
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cant_be_written_ends_with_1(letter: Release, tmp_path: Path) -> None:
    file = tmp_path / "taken"
    file.write_text("a file")
    with pytest.raises(CommandError) as refusal:
        written(file)
    assert refusal.value.returncode == 1


def test_quiet_says_nothing_but_the_result(letter: Release, tmp_path: Path) -> None:
    said, progress = written(tmp_path, "--verbosity", "0")
    assert said and not progress


def test_a_seasons_name_may_be_typed_with_a_hyphen(letter: Release, tmp_path: Path) -> None:
    said, _progress = written(tmp_path, season="2026-27")
    assert ": 2 letters, " in said
