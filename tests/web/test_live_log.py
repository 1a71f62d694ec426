"""The live page: three taps a whistle by its own form, and what its script gets."""

from __future__ import annotations

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries
from pytest_django.asserts import assertRedirects

from evaluations.models import DeadBallLog, Observation
from evaluations.queries.logs import dead_ball_value
from evaluations.services.log_edits import end_log
from tests.factories.accounts import Cast, signed_in
from tests.factories.evaluations import GAME_AT
from tests.factories.logs import begun_log
from tests.factories.releases import crew_of, hand_in
from tests.web.reading import text_in

NOW = GAME_AT + timedelta(minutes=42)
TAPS = {"zone": "t1", "follows": "free_throws", "third": "switched"}


@pytest.fixture(autouse=True)
def clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is 13:42 in Chicago, in the third quarter."""
    monkeypatch.setattr(timezone, "now", lambda: NOW)


@pytest.fixture
def observation(cast: Cast) -> Observation:
    return crew_of(cast)


@pytest.fixture
def log(observation: Observation) -> DeadBallLog:
    return begun_log(observation)


@pytest.fixture
def observer(cast: Cast) -> Client:
    return signed_in(cast.observer)


def address(log: DeadBallLog, name: str = "live_log") -> str:
    return reverse(f"evaluations:{name}", args=["rivers", log.observation_id])


def post(client: Client, log: DeadBallLog, name: str = "live_whistle", **answers: Any) -> Any:
    """As the page's own form does it."""
    taps = TAPS if name == "live_whistle" else {}
    data = {"client_id": str(uuid4()), **taps, **answers}
    return client.post(address(log, name), data, follow=True)


def send(client: Client, log: DeadBallLog, name: str = "live_whistle", **answers: Any) -> Any:
    """As the page's script does it."""
    taps = TAPS if name == "live_whistle" else {}
    data = {"client_id": str(uuid4()), **taps, **answers}
    return client.post(address(log, name), data, headers={"Accept": "application/json"})


def stored(log: DeadBallLog) -> list[Any]:
    rows = log.dead_balls.filter(removed_at__isnull=True)
    return [dead_ball_value(row) for row in rows]


# --- The page -------------------------------------------------------------------------------------
def test_without_a_log_the_page_leads_to_where_one_is_begun(
    observer: Client, observation: Observation
) -> None:
    begin = reverse("evaluations:log_begin", args=["rivers", observation.pk])
    live = reverse("evaluations:live_log", args=["rivers", observation.pk])
    assertRedirects(observer.get(live), begin)


def test_the_page_names_who_is_at_which_end_and_expects_nothing(
    observer: Client, log: DeadBallLog
) -> None:
    page = observer.get(address(log)).text
    assert text_in(page, "first").endswith("Nico Vale")
    assert text_in(page, "second").endswith("Mara Odell")
    assert "No dead ball logged yet" in page
    assert not any(word in text_in(page, "whistle") for word in ("due", "met", "expected"))


@pytest.mark.parametrize(
    ("seat", "first", "second", "nearest"),
    [
        ("table", "Nico Vale", "Mara Odell", ["t1", "t2", "t3", "t4"]),
        ("opposite", "Mara Odell", "Nico Vale", ["o4", "o3", "o2", "o1"]),
        ("left_end", "Mara Odell", "Nico Vale", ["o1", "t1"]),
        ("right_end", "Nico Vale", "Mara Odell", ["t4", "o4"]),
    ],
)
def test_the_court_is_drawn_the_way_round_that_the_observer_sits(
    observer: Client,
    observation: Observation,
    seat: str,
    first: str,
    second: str,
    nearest: list[str],
) -> None:
    log = begun_log(observation, seat=seat)
    answer = observer.get(address(log))
    assert text_in(answer.text, "first").endswith(first)
    assert text_in(answer.text, "second").endswith(second)
    zones = [value for value, _label in answer.context["form"].fields["zone"].choices]
    assert zones[:-1][-len(nearest) :] == nearest
    assert zones[-1] == "not_seen"


def test_the_page_takes_few_queries_however_long_the_log(
    observer: Client, log: DeadBallLog, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    for _whistle in range(5):
        send(observer, log)
    with django_assert_max_num_queries(24):
        observer.get(address(log))


# --- By its own form ------------------------------------------------------------------------------
def test_three_taps_log_a_whistle_and_the_ends_say_who_called(
    observer: Client, log: DeadBallLog
) -> None:
    page = post(observer, log)
    assert page.redirect_chain == [(address(log), 302)]
    [ball] = stored(log)
    assert (ball.caller, ball.switched, ball.resumes) == ("referee", True, "free_throws")
    assert "Dead ball 1 : switch due, met" in text_in(page.text, "told")
    assert "Nico Vale: trail, table side; Mara Odell: lead, opposite the table" in page.text
    post(observer, log)
    assert [b.caller for b in stored(log)] == ["referee", "umpire"]


def test_the_other_one_corrects_and_the_ends_follow(observer: Client, log: DeadBallLog) -> None:
    post(observer, log, caller="umpire", third="stayed")
    page = post(observer, log, third="stayed")
    assert [ball.caller for ball in stored(log)] == ["umpire", "umpire"]
    assert text_in(page.text, "first").endswith("Mara Odell")


@pytest.mark.parametrize("third", ["not_seen", "switched"])
def test_when_the_ends_are_not_known_the_page_asks_who_called(
    observer: Client, log: DeadBallLog, third: str
) -> None:
    post(observer, log, third=third, period="1")
    period = "1" if third == "not_seen" else "2"
    page = post(observer, log, period=period)
    assert "Say who called, or that you didn&#x27;t see it." in page.text
    assert len(stored(log)) == 1
    post(observer, log, period=period, caller="not_seen")
    assert [ball.caller for ball in stored(log)] == ["referee", None]


@pytest.mark.parametrize(
    ("missing", "words"),
    [
        ("zone", "Tap where the caller stood."),
        ("follows", "Tap what follows."),
        ("third", "Make the third tap."),
    ],
)
def test_a_tap_that_is_missing_is_asked_for_and_the_others_are_kept(
    observer: Client, log: DeadBallLog, missing: str, words: str
) -> None:
    page = post(observer, log, **{missing: "", "back_court": "on"})
    assert words in page.text
    assert stored(log) == []
    form = page.context["form"]
    kept = TAPS | {missing: ""}
    assert (form["zone"].value(), form["follows"].value()) == (kept["zone"], kept["follows"])
    assert form["back_court"].value() is True


def test_what_was_not_seen_is_said_so(observer: Client, log: DeadBallLog) -> None:
    unseen = dict.fromkeys(("zone", "caller", "follows", "third"), "not_seen")
    post(observer, log, **unseen)
    [ball] = stored(log)
    assert (ball.basket, ball.caller, ball.whistle, ball.switched) == (None, None, None, None)


@pytest.mark.parametrize(
    ("follows", "turned", "flip"),
    [
        ("end_line", "", False),
        ("end_line", "yes", True),
        ("technical", "", None),
        ("technical", "no", False),
        ("player_control", "no", True),
    ],
)
def test_the_direction_may_be_said(
    observer: Client, log: DeadBallLog, follows: str, turned: str, flip: bool | None
) -> None:
    post(observer, log, follows=follows, turned=turned)
    assert stored(log)[0].flip is flip


@pytest.mark.parametrize(
    ("typed", "clock"),
    [("5:12", "5:12"), ("512", "5:12"), ("5.12", "5:12"), ("42.3", "0:42.3"), ("", "")],
)
def test_the_clock_is_taken_as_a_thumb_types_it(
    observer: Client, log: DeadBallLog, typed: str, clock: str
) -> None:
    post(observer, log, clock=typed, period="3")
    assert (stored(log)[0].clock, stored(log)[0].period) == (clock, 3)


@pytest.mark.parametrize("typed", ["5:72", "twelve", "12345", "5:1"])
def test_a_clock_that_is_none_is_asked_for_again(
    observer: Client, log: DeadBallLog, typed: str
) -> None:
    page = post(observer, log, clock=typed)
    assert "Give minutes and seconds, such as 4:31 or 431." in page.text
    assert stored(log) == []


def test_the_period_carries_over_and_there_is_always_one_more(
    observer: Client, log: DeadBallLog
) -> None:
    page = post(observer, log, period="5")
    form = page.context["form"]
    assert form["period"].value() == "5"
    assert list(form.fields["period"].choices)[-2:] == [("5", "OT"), ("6", "OT2")]


def test_quick_marks_of_tonights_focus_are_optional(
    observer: Client, observation: Observation
) -> None:
    log = begun_log(observation, focus=["eyes_kept", "route_around"])
    page = post(observer, log, mark_eyes_kept="after_report")
    [ball] = stored(log)
    assert (ball.eyes.kept, ball.eyes.lost, ball.report.route) == (False, "after_report", None)
    assert "players faced all the time" in page.text
    assert page.context["form"]["mark_eyes_kept"].value() is None


# --- A crew of three ------------------------------------------------------------------------------
@pytest.fixture
def log_of_three(cast: Cast) -> DeadBallLog:
    crew = (cast.official, cast.other_official, cast.observer_and_official)
    return begun_log(crew_of(cast, *crew), left_end=None)


def test_of_a_crew_of_three_who_and_where_is_one_tap_and_the_third_is_where_the_caller_ended(
    observer: Client, log_of_three: DeadBallLog
) -> None:
    post(observer, log_of_three, zone="o1", caller="umpire_1-lead", third="trail-table")
    [ball] = stored(log_of_three)
    assert (ball.caller, ball.before["umpire_1"].position) == ("umpire_1", "lead")
    assert (ball.after["umpire_1"].position, ball.after["umpire_1"].side) == ("trail", "table")
    assert ball.switched is None


def test_of_a_crew_of_three_the_caller_is_asked_every_time(
    observer: Client, log_of_three: DeadBallLog
) -> None:
    page = post(observer, log_of_three, third="lead-table")
    assert "Say who called" in page.text
    assert "Switched" not in text_in(page.text, "third")
    unseen = {"caller": "referee-not_seen", "third": "not_seen"}
    post(observer, log_of_three, **unseen)
    [ball] = stored(log_of_three)
    assert (ball.before["referee"].position, ball.before["referee"].side) == (None, "table")
    assert ball.after == {}


# --- Undo, put back, note -------------------------------------------------------------------------
def test_the_last_whistle_is_undone_and_put_back(observer: Client, log: DeadBallLog) -> None:
    last = post(observer, log).context["sheet"].last.row
    page = post(observer, log, "live_undo", client_id=str(last.client_id))
    assert stored(log) == [] and "Put 1 back" in page.text
    page = post(observer, log, "live_put_back", client_id=str(last.client_id))
    assert len(stored(log)) == 1 and "Undo 1" in page.text


def test_undoing_what_is_not_there_is_refused_in_words(observer: Client, log: DeadBallLog) -> None:
    page = post(observer, log, "live_undo")
    assert text_in(page.text, "messages") == "This whistle isn't in the log."


def test_the_last_whistle_gets_a_note(observer: Client, log: DeadBallLog) -> None:
    last = post(observer, log).context["sheet"].last.row
    text = "Spoke to Gregor Hansen."
    page = post(observer, log, "live_note", client_id=str(last.client_id), note=text)
    assert stored(log)[0].note == text
    assert "“Gregor Hansen” looks like somebody's name" in page.text
    too_long = post(observer, log, "live_note", client_id=str(last.client_id), note="x" * 501)
    assert stored(log)[0].note == text
    assert too_long.context["note_form"].errors.keys() == {"note"}


# --- For its script -------------------------------------------------------------------------------
def test_the_script_gets_what_is_new_on_the_page(observer: Client, log: DeadBallLog) -> None:
    answer = send(observer, log, period="1").json()
    assert answer["saved_at"] == "2026-11-10T19:42:00Z"
    assert answer["standing"] == {"left": "umpire", "periods": ["1"]}
    assert answer["parts"].keys() == {"last", "details"}
    assert "switch due" in answer["parts"]["last"] and "row 1" in answer["parts"]["details"]


def test_what_is_sent_twice_is_logged_once(observer: Client, log: DeadBallLog) -> None:
    sent = str(uuid4())
    answers = [send(observer, log, client_id=sent).json() for _twice in range(2)]
    assert len(stored(log)) == 1
    assert answers[0]["standing"] == answers[1]["standing"]


@pytest.mark.parametrize("wrong", [{"zone": "t9"}, {"client_id": "no id"}, {"clock": "x"}])
def test_the_script_is_told_what_is_refused(
    observer: Client, log: DeadBallLog, wrong: dict[str, str]
) -> None:
    answer = send(observer, log, **wrong)
    assert answer.status_code == 422
    assert answer.json()["message"]
    assert stored(log) == []


def test_the_script_undoes_and_notes_too(observer: Client, log: DeadBallLog) -> None:
    sent = str(uuid4())
    send(observer, log, client_id=sent)
    noted = send(observer, log, "live_note", client_id=sent, note="Late whistle.")
    assert "Late whistle." in noted.json()["parts"]["details"]
    assert send(observer, log, "live_note", client_id=sent, note="x" * 501).status_code == 422
    undone = send(observer, log, "live_undo", client_id=sent).json()
    assert undone["standing"]["left"] == "referee"
    assert send(observer, log, "live_undo").status_code == 422
    assert send(observer, log, "live_put_back", client_id=sent).status_code == 200


# --- When it is over ------------------------------------------------------------------------------
def test_after_the_final_whistle_the_page_says_so_and_still_logs(
    cast: Cast, observer: Client, log: DeadBallLog
) -> None:
    assert "Final whistle" in observer.get(address(log)).text
    end_log(log=log, by=cast.observer, now=NOW)
    assert "The final whistle is logged" in observer.get(address(log)).text
    post(observer, log)
    assert len(stored(log)) == 1


def test_once_all_forms_are_in_there_is_nothing_to_tap(
    observer: Client, observation: Observation, log: DeadBallLog
) -> None:
    for form in observation.evaluations.all():
        hand_in(form)
    page = observer.get(address(log))
    assert "The log stays as it is" in page.text and 'name="zone"' not in page.text
    assert send(observer, log).status_code == 422
    assert "All forms of this observation are in" in post(observer, log).text


# --- Who may --------------------------------------------------------------------------------------
PAGES = ["live_log", "live_whistle", "live_undo", "live_put_back", "live_note"]


@pytest.mark.parametrize("name", PAGES)
def test_a_log_is_live_for_its_own_observer_alone(cast: Cast, log: DeadBallLog, name: str) -> None:
    others = {
        cast.other_observer: 404,
        cast.observer_and_official: 404,
        cast.admin: 403,
        cast.official: 403,
        cast.board: 403,
        cast.other_admin: 404,
    }
    for somebody, status in others.items():
        client = signed_in(somebody)
        ask = client.get if name == "live_log" else client.post
        assert ask(address(log, name)).status_code == status
    assert stored(log) == []


def test_without_a_log_nothing_can_be_sent(observer: Client, observation: Observation) -> None:
    for name in PAGES[1:]:
        where = reverse(f"evaluations:{name}", args=["rivers", observation.pk])
        assert observer.post(where).status_code == 404
