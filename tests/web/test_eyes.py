"""Who faced the players, typed as times on film: stored, drawn and added up without a script."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from evaluations.core.floor.eyes import DeadTime, Facing, Mark
from evaluations.core.floor.frames import Frame
from evaluations.core.floor.presets import Shape, preset
from evaluations.core.floor_words import film_time
from evaluations.core.log_document import read_log
from evaluations.core.sketch_document import sketch_document
from evaluations.forms.eyes import FilmTimeField
from evaluations.models import DeadBallLog, EyesMarks, FilmStatement
from evaluations.queries.floor_values import dead_time
from evaluations.queries.logs import log_value
from evaluations.services.floor import keep_sketch, state_film
from evaluations.services.log_edits import remove_dead_ball
from tests.factories.accounts import Cast, signed_in
from tests.factories.logs import REFEREE, UMPIRE, lead_calls, log_with
from tests.factories.releases import THAT_NIGHT, crew_of, hand_in

# From the whistle on: the referee faces away until 7.5 s and has reported at 6 s; the umpire faces
# away from 3 s to 7 s.
TYPED = {
    "whistle": "0:02.000",
    "report_ended": "8",
    "live": "0:12,000",
    "referee-0-facing": "not_facing",
    "referee-0-from": "2",
    "referee-0-to": "9.5",
    "umpire-0-facing": "facing",
    "umpire-0-from": "0:02.000",
    "umpire-0-to": "5",
    "umpire-1-facing": "not_facing",
    "umpire-1-from": "5",
    "umpire-1-to": "9",
    "umpire-2-facing": "facing",
    "umpire-2-from": "10",
    "umpire-2-to": "",
}
MARKED = DeadTime(
    crew=2,
    whistle=2_000,
    live=12_000,
    report_ended=8_000,
    caller=REFEREE,
    marks=(
        Mark(REFEREE, Facing.NOT_FACING, 2_000, 9_500),
        Mark(UMPIRE, Facing.FACING, 2_000, 5_000),
        Mark(UMPIRE, Facing.NOT_FACING, 5_000, 9_000),
        Mark(UMPIRE, Facing.FACING, 10_000, None),
    ),
)


@pytest.fixture
def observer(cast: Cast) -> Client:
    return signed_in(cast.observer)


@pytest.fixture
def log(cast: Cast) -> DeadBallLog:
    found = log_with(crew_of(cast), [lead_calls(False), lead_calls(True)])
    own = FilmStatement.Owner.OWN
    state_film(log=found, owner=own, permission="My own", by=cast.observer, now=THAT_NIGHT)
    return found


def address(log: DeadBallLog, number: int = 1, name: str = "eyes") -> str:
    return reverse(f"evaluations:{name}", args=["rivers", log.observation_id, number])


def errors(answer: Any) -> dict[str, list[str]]:
    assert answer.status_code == 200
    found: dict[str, list[str]] = answer.context["form"].errors
    return found


# --- Times on film -------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("typed", "milliseconds"),
    [
        ("83.480", 83_480),
        ("83,48", 83_480),
        ("1:23.480", 83_480),
        ("01:23.4", 83_400),
        ("1:2", 62_000),
        ("0", 0),
        ("1:02:03.5", 3_723_500),
        ("62:03", 3_723_000),
        (" 7.001 ", 7_001),
        ("", None),
    ],
)
def test_a_time_on_film_is_whole_milliseconds(typed: str, milliseconds: int | None) -> None:
    assert FilmTimeField("").clean(typed) == milliseconds


@pytest.mark.parametrize(
    "typed", ["soon", "-1", "1:60", "1:5.1234", "1:", ":5", "1:2:3:4", "1.2.3", "1e3", "٣"]
)
def test_what_is_no_time_on_film_is_refused(log: DeadBallLog, observer: Client, typed: str) -> None:
    found = errors(observer.post(address(log), {**TYPED, "umpire-0-from": typed}))
    assert found == {"umpire-0-from": ["Give a time on film, such as 1:23.480 or 83.480."]}


def test_a_time_is_shown_as_it_can_be_typed() -> None:
    for milliseconds in (0, 999, 60_000, 83_480, 3_723_500):
        assert FilmTimeField("").clean(film_time(milliseconds)) == milliseconds


# --- Kept and shown ------------------------------------------------------------------------------
@pytest.mark.parametrize("name", ["eyes", "film_desk"])
def test_what_is_typed_is_stored(log: DeadBallLog, observer: Client, name: str) -> None:
    answer = observer.post(address(log, name=name), TYPED)
    assert answer.headers["Location"] == address(log, name=name)
    assert dead_time(EyesMarks.objects.get()) == MARKED


def test_the_form_shows_what_is_stored_and_saves_it_unchanged(
    log: DeadBallLog, observer: Client
) -> None:
    observer.post(address(log), TYPED)
    form = observer.get(address(log)).context["form"]
    as_shown = {name: form[name].value() for name in form.fields}
    assert as_shown["umpire-2-from"] == "0:10.000"
    assert as_shown["umpire-6-facing"] in ("", None)
    observer.post(address(log), {n: value for n, value in as_shown.items() if value is not None})
    assert dead_time(EyesMarks.objects.get()) == MARKED


def test_an_emptied_line_is_gone(log: DeadBallLog, observer: Client) -> None:
    observer.post(address(log), TYPED)
    gone = {f"umpire-1-{part}": "" for part in ("facing", "from", "to")}
    observer.post(address(log), {**TYPED, **gone})
    assert len(dead_time(EyesMarks.objects.get()).marks) == 3


def test_the_page_adds_up_the_seconds_and_says_whose_the_players_were(
    log: DeadBallLog, observer: Client
) -> None:
    page = observer.post(address(log), TYPED, follow=True).text
    assert '<svg xmlns="http://www.w3.org/2000/svg" class="figure"' in page
    assert (
        "In 10.0 s somebody faced the players for 5.0 s, nobody for 4.0 s, and for 1.0 s nobody "
        "can tell. The longest gap is 3.0 s, from 3.0 s on" in page
    )
    gaps = re.findall(r"<li>([^<]*after the whistle on[^<]*)</li>", page)
    assert gaps == [
        "3.0 s, from 3.0 s after the whistle on; the players were Mara Odell&#x27;s while the "
        "other reported",
        "1.0 s, from 6.0 s after the whistle on; the players were the crew&#x27;s",
    ]
    assert "facing 0.0 s, not facing 7.5 s, can&#x27;t tell 2.5 s" in page


def test_a_ball_that_never_became_live_adds_up_to_nothing(
    log: DeadBallLog, observer: Client
) -> None:
    page = observer.post(address(log), {**TYPED, "live": ""}, follow=True).text
    assert "did not become live on this film" in page
    assert dead_time(EyesMarks.objects.get()).live is None


def test_of_three_while_one_reports_the_players_are_the_others(
    cast: Cast, observer: Client
) -> None:
    observation = crew_of(cast, cast.official, cast.other_official, cast.young_official)
    log = log_with(observation, [lead_calls(None)], left_end=None)
    own = FilmStatement.Owner.OWN
    state_film(log=log, owner=own, permission="My own", by=cast.observer, now=THAT_NIGHT)
    typed = {"whistle": "0", "report_ended": "4", "live": "9"}
    for member in ("referee", "umpire_1", "umpire_2"):
        typed |= {f"{member}-0-facing": "not_facing", f"{member}-0-from": "1"}
    page = observer.post(address(log), typed, follow=True).text
    assert "3.0 s, from 1.0 s after the whistle on; the players were the others&#x27;" in page


# --- Refusing ------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("typed", "field", "why"),
    [
        ({"whistle": ""}, "whistle", "Give the time on film."),
        ({"live": "1.999"}, "live", "This can't be before the whistle."),
        ({"report_ended": "1"}, "report_ended", "This can't be before the whistle."),
        ({"umpire-0-from": ""}, "umpire-0-from", "Say from when on, or empty this line."),
        ({"umpire-0-facing": ""}, "umpire-0-facing", "Say what was seen, or empty this line."),
        ({"umpire-0-facing": "asleep"}, "umpire-0-facing", "Select a valid choice. asleep is not"),
        ({"umpire-1-to": "4.9"}, "umpire-1-to", "This must be after the time from which on"),
        ({"umpire-1-to": "5"}, "umpire-1-to", "This must be after the time from which on"),
        ({"referee-60-from": ""}, "__all__", "An official has at most 60 lines."),
    ],
)
def test_what_is_wrong_is_said_at_its_field(
    log: DeadBallLog, observer: Client, typed: dict[str, str], field: str, why: str
) -> None:
    found = errors(observer.post(address(log), {**TYPED, **typed}))
    assert list(found) == [field]
    assert found[field][0].startswith(why)
    assert not EyesMarks.objects.exists()


@pytest.mark.parametrize("name", ["eyes", "film_desk"])
def test_whatever_was_typed_is_still_there_and_every_error_is_said_at_once(
    log: DeadBallLog, observer: Client, name: str
) -> None:
    wrong = {"whistle": "soon", "umpire-9-facing": "facing", "umpire-9-from": "late"}
    answer = observer.post(address(log, name=name), {**TYPED, **wrong})
    assert set(errors(answer)) == {"whistle", "umpire-9-from"}
    for typed in ('value="soon"', 'value="late"', 'value="0:12,000"', 'value="9.5"'):
        assert typed in answer.text
    assert "<title>Error:" in answer.text.replace("\n", "")


def test_times_wait_until_it_is_said_whose_film_it_is(log: DeadBallLog, observer: Client) -> None:
    FilmStatement.objects.all().delete()
    found = errors(observer.post(address(log), TYPED))
    assert found["__all__"][0].startswith("Say first whose film it is")
    assert not EyesMarks.objects.exists()


def test_a_final_log_shows_its_ledger_and_takes_no_other(
    log: DeadBallLog, observer: Client
) -> None:
    observer.post(address(log), TYPED)
    for evaluation in log.observation.evaluations.all():
        hand_in(evaluation)
    page = observer.get(address(log, name="film_desk")).text
    assert "The log stays as it is" in page
    assert "In 10.0 s somebody faced the players" in page
    assert 'id="eyes"' not in page and "data-desk" not in page
    found = errors(observer.post(address(log), {**TYPED, "live": "13"}))
    assert "so that its log stays as it is" in found["__all__"][0]
    assert dead_time(EyesMarks.objects.get()) == MARKED


def test_a_removed_dead_ball_has_no_times(cast: Cast, log: DeadBallLog, observer: Client) -> None:
    assert observer.get(address(log, 3)).status_code == 404
    ball = log.dead_balls.get(number=2)
    remove_dead_ball(dead_ball=ball, by=cast.observer, now=THAT_NIGHT)
    assert observer.get(address(log, 2)).status_code == 404


# --- Ways to it, the log's file ------------------------------------------------------------------
def test_the_dead_balls_page_leads_to_desk_and_form(log: DeadBallLog, observer: Client) -> None:
    page = observer.get(address(log, name="dead_ball")).text
    assert f'href="{address(log)}"' in page
    assert f'href="{address(log, name="film_desk")}"' in page


def test_the_logs_file_has_times_and_sketches_and_replays_as_before(
    cast: Cast, log: DeadBallLog, observer: Client
) -> None:
    observer.post(address(log), TYPED)
    sketch = preset(Shape.FREE_THROW, 2, Frame.FEET_84)
    ball = log.dead_balls.get(number=2)
    keep_sketch(dead_ball=ball, sketch=sketch, by=cast.observer, now=THAT_NIGHT)
    answer = observer.get(reverse("evaluations:log_file", args=["rivers", log.observation_id]))
    film, drawn = json.loads(answer.content)["floor"]
    assert (film["number"], film["sketches"], film["film"]["live"]) == (1, [], 12_000)
    assert film["film"]["marks"][3] == {
        "member": "umpire",
        "facing": "facing",
        "start": 10_000,
        "end": None,
    }
    assert drawn == {"number": 2, "sketches": [sketch_document(sketch)], "film": None}
    assert read_log(answer.content) == log_value(log)


def test_the_page_asks_the_database_a_few_times(
    log: DeadBallLog, observer: Client, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    observer.post(address(log), TYPED)
    with django_assert_max_num_queries(15):
        observer.get(address(log))
