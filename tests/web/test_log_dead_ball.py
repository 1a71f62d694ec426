"""The full form of one dead ball: every fact, by keyboard and without scripts."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.court import Court, End, Position, Resumes, Side, Whistle
from evaluations.core.mechanics.facts import (
    DeadBall,
    Eyes,
    Moment,
    NumberShown,
    Report,
    Route,
    Source,
    Stood,
    Watching,
)
from evaluations.models import DeadBallLog
from evaluations.queries.log_pages import ball_facts
from evaluations.services.log_edits import change_dead_ball, remove_dead_ball
from tests.factories.accounts import Cast, signed_in
from tests.factories.logs import REFEREE, UMPIRE, lead_calls, log_with
from tests.factories.releases import THAT_NIGHT, crew_of, hand_in

EVERYTHING: dict[str, str] = {
    "period": "3",
    "clock": "4:31",
    "whistle": "shooting",
    "caller": "referee",
    "court": "front",
    "resumes": "free_throws",
    "flip": "no",
    "basket": "right",
    "heated_bench": "yes",
    "switched": "yes",
    "before-referee-position": "lead",
    "before-referee-side": "opposite",
    "before-umpire-position": "trail",
    "before-umpire-side": "table",
    "after-referee-position": "trail",
    "after-referee-side": "table",
    "after-umpire-position": "not_seen",
    "after-umpire-side": "opposite",
    "report-signal_at_spot": "yes",
    "report-player_told": "no",
    "report-route": "through",
    "report-full_stop": "yes",
    "report-number_shown": "tens_then_units",
    "report-player": "23",
    "report-type_shown": "not_seen",
    "report-result_shown": "yes",
    "report-ended_before_live": "no",
    "watching-umpire-chased_ball": "no",
    "watching-umpire-moved_opposite": "yes",
    "watching-referee-chased_ball": "not_seen",
    "eyes-kept": "no",
    "eyes-lost": "after_report",
    "eyes-whose": "umpire",
    "note": "Long talk at the table.",
}
FACTS = DeadBall(
    number=1,
    period=3,
    clock="4:31",
    whistle=Whistle.SHOOTING,
    caller=REFEREE,
    court=Court.FRONT,
    resumes=Resumes.FREE_THROWS,
    flip=False,
    basket=End.RIGHT,
    heated_bench=True,
    switched=True,
    before={
        REFEREE: Stood(Position.LEAD, Side.OPPOSITE),
        UMPIRE: Stood(Position.TRAIL, Side.TABLE),
    },
    after={REFEREE: Stood(Position.TRAIL, Side.TABLE), UMPIRE: Stood(None, Side.OPPOSITE)},
    report=Report(
        signal_at_spot=True,
        player_told=False,
        route=Route.THROUGH,
        full_stop=True,
        number_shown=NumberShown.TENS_THEN_UNITS,
        player="23",
        result_shown=True,
        ended_before_live=False,
    ),
    watching={UMPIRE: Watching(chased_ball=False, moved_opposite=True)},
    eyes=Eyes(kept=False, lost=Moment.AFTER_REPORT, whose=UMPIRE),
    note="Long talk at the table.",
)


@pytest.fixture
def observer(cast: Cast) -> Client:
    return signed_in(cast.observer)


@pytest.fixture
def log(cast: Cast) -> DeadBallLog:
    return log_with(crew_of(cast), [lead_calls(False, period=2)])


def address(log: DeadBallLog, name: str, *parts: int) -> str:
    observation = log.observation
    slug = observation.game.season.association.slug
    return reverse(f"evaluations:{name}", args=[slug, observation.pk, *parts])


def stored(log: DeadBallLog, number: int) -> DeadBall:
    return ball_facts(log.dead_balls.get(number=number))


def posted_as_shown(client: Client, where: str, **changes: str) -> Any:
    """Send the form as a browser would that changed nothing but these answers."""
    form = client.get(where).context["form"]
    shown = {name: form[name].value() for name in form.fields}
    answers = {name: value for name, value in shown.items() if value is not None}
    return client.post(where, {**answers, **changes})


def errors(client: Client, log: DeadBallLog, **answers: str) -> dict[str, list[str]]:
    page = client.post(address(log, "dead_ball_add"), answers)
    assert page.status_code == 200
    found: dict[str, list[str]] = page.context["form"].errors
    return found


# --- Adding --------------------------------------------------------------------------------------
def test_every_fact_is_stored_as_it_was_answered(log: DeadBallLog, observer: Client) -> None:
    answer = observer.post(address(log, "dead_ball_add"), EVERYTHING)
    assert answer.headers["Location"] == f"{address(log, 'log')}#ball-2"
    assert stored(log, 2) == DeadBall(
        **{**{n: getattr(FACTS, n) for n in FACTS.__slots__}, "number": 2}
    )


def test_what_is_left_open_counts_as_not_seen(log: DeadBallLog, observer: Client) -> None:
    observer.post(address(log, "dead_ball_add"), {})
    assert stored(log, 2) == DeadBall(2)


def test_nothing_is_chosen_before_and_every_fact_can_be_not_seen(
    log: DeadBallLog, observer: Client
) -> None:
    page = observer.get(address(log, "dead_ball_add"))
    main = page.text.partition("<main")[2]
    assert "checked" not in main
    radios = {
        name for name, field in page.context["form"].fields.items() if hasattr(field, "facts")
    }
    not_seen = set(re.findall(r'name="([^"]+)" value="not_seen"', main))
    assert radios == not_seen
    assert page.context["form"]["period"].value() == 2


def test_the_next_one_can_be_added_at_once(log: DeadBallLog, observer: Client) -> None:
    where = address(log, "dead_ball_add")
    page = observer.post(where, {"whistle": "violation", "another": "1"}, follow=True)
    assert page.redirect_chain == [(where, 302)]
    assert "Dead ball 2 is logged." in page.text


def test_what_only_film_shows_is_asked_from_film_alone(
    cast: Cast, log: DeadBallLog, observer: Client
) -> None:
    heard = {"report-spoken", "report-benches_watched", "watching-umpire-wide"}
    asked = observer.get(address(log, "dead_ball_add")).context["form"].fields.keys()
    assert not heard & asked
    DeadBallLog.objects.update(source=Source.FILM)
    asked = observer.get(address(log, "dead_ball_add")).context["form"].fields.keys()
    assert heard <= asked
    observer.post(address(log, "dead_ball_add"), {"report-spoken": "yes"})
    assert stored(log, 2).report == Report(spoken=True)


def test_a_crew_of_three_has_a_centre_and_no_switch(cast: Cast, observer: Client) -> None:
    observation = crew_of(cast, cast.official, cast.other_official, cast.young_official)
    log = log_with(observation, [], left_end=None)
    form = observer.get(address(log, "dead_ball_add")).context["form"]
    assert "switched" not in form.fields
    observer.post(
        address(log, "dead_ball_add"),
        {"caller": "umpire_2", "before-umpire_1-position": "centre"},
    )
    ball = stored(log, 1)
    assert ball.caller is CrewPosition.UMPIRE_2
    assert ball.before == {CrewPosition.UMPIRE_1: Stood(Position.CENTRE)}


# --- Facts that don't agree ----------------------------------------------------------------------
def test_contradicting_facts_are_pointed_out_where_they_were_given(
    log: DeadBallLog, observer: Client
) -> None:
    found = errors(observer, log, whistle="player_control", flip="no")
    assert found.keys() == {"whistle", "resumes"}
    found = errors(observer, log, whistle="shooting", resumes="side_line")
    assert found.keys() == {"whistle", "resumes"}
    lead = {"before-referee-position": "lead", "before-umpire-position": "lead"}
    assert errors(observer, log, **lead) == {
        "before-umpire-position": ["Two officials can't be in one position."]
    }
    after = {"after-referee-position": "trail", "after-umpire-position": "trail"}
    assert errors(observer, log, **after).keys() == {"after-umpire-position"}
    moved = {"before-referee-position": "lead", "after-referee-position": "trail"}
    assert errors(observer, log, flip="no", switched="no", **moved) == {
        "switched": ["The positions before and after say otherwise."]
    }
    assert log.dead_balls.count() == 1


def test_facing_is_kept_or_lost(log: DeadBallLog, observer: Client) -> None:
    kept = errors(observer, log, **{"eyes-kept": "yes", "eyes-lost": "report"})
    assert kept.keys() == {"eyes-kept"}
    assert errors(observer, log, **{"eyes-whose": "umpire"}).keys() == {"eyes-kept"}


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("clock", "half past"),
        ("clock", "4:61"),
        ("period", "0"),
        ("period", "third"),
        ("report-player", "100"),
        ("report-player", "07"),
        ("note", "x" * 501),
        ("whistle", "travelling"),
    ],
)
def test_what_cannot_be_is_pointed_out_and_kept(
    log: DeadBallLog, observer: Client, field: str, typed: str
) -> None:
    answers = {"caller": "umpire", "note": "Kept.", field: typed}
    page = observer.post(address(log, "dead_ball_add"), answers)
    form = page.context["form"]
    assert form.errors.keys() == {field}
    assert (form["caller"].value(), form[field].value()) == ("umpire", typed)
    assert "Please look at these answers again" in page.text
    assert (
        f'href="#{form[field].id_for_label if field != "whistle" else "id_whistle_0"}"' in page.text
    )


# --- Changing ------------------------------------------------------------------------------------
def test_the_form_shows_what_is_stored_and_changes_only_what_was_changed(
    log: DeadBallLog, observer: Client
) -> None:
    observer.post(address(log, "dead_ball_add"), EVERYTHING)
    where = address(log, "dead_ball", 2)
    assert posted_as_shown(observer, where).status_code == 302
    before = stored(log, 2)
    answer = posted_as_shown(observer, where, **{"report-route": "around"})
    assert answer.headers["Location"] == f"{address(log, 'log')}#ball-2"
    assert before.report.route is Route.THROUGH
    assert stored(log, 2).report.route is Route.AROUND
    assert stored(log, 2).before == before.before
    page = observer.get(where).text
    assert re.search(
        r"<details class=\"more\" open>", page
    )  # a heated bench is rare, but it is there


def test_what_the_form_does_not_ask_for_is_kept(cast: Cast, observer: Client) -> None:
    ball = lead_calls(
        False,
        report=Report(spoken=False),
        watching={UMPIRE: Watching(wide=True)},
        switch_whose=REFEREE,
    )
    log = log_with(crew_of(cast), [ball])
    posted_as_shown(observer, address(log, "dead_ball", 1), clock="1:10")
    kept = stored(log, 1)
    assert (kept.clock, kept.report.spoken, kept.switch_whose) == ("1:10", False, REFEREE)
    assert kept.watching == {UMPIRE: Watching(wide=True)}


def test_a_change_in_between_is_said_and_saving_again_keeps_what_was_typed(
    cast: Cast, log: DeadBallLog, observer: Client
) -> None:
    where = address(log, "dead_ball", 1)
    form = observer.get(where).context["form"]
    row = log.dead_balls.get(number=1)
    mark, elsewhere = form["mark"].value(), lead_calls(True, clock="9:00")
    change_dead_ball(dead_ball=row, mark=mark, ball=elsewhere, by=cast.observer, now=THAT_NIGHT)
    page = observer.post(where, {"mark": mark, "note": "Mine."})
    assert "This dead ball was changed in between." in page.text
    assert page.context["form"]["note"].value() == "Mine."
    assert stored(log, 1).clock == "9:00"
    newest = page.context["form"]["mark"].value()
    assert newest != mark
    observer.post(where, {"mark": newest, "note": "Mine."})
    assert stored(log, 1).note == "Mine."


def test_a_removed_dead_ball_or_another_observers_has_no_form(
    cast: Cast, log: DeadBallLog, observer: Client
) -> None:
    where = address(log, "dead_ball", 1)
    assert observer.get(address(log, "dead_ball", 7)).status_code == 404
    for name, parts in (("dead_ball", [1]), ("dead_ball_add", [])):
        page = address(log, name, *parts)
        assert signed_in(cast.other_observer).get(page).status_code == 404
        assert signed_in(cast.admin).get(page).status_code == 403
    remove_dead_ball(dead_ball=log.dead_balls.get(number=1), by=cast.observer, now=THAT_NIGHT)
    assert observer.get(where).status_code == 404


def test_once_all_forms_are_in_the_log_stays_as_it_is(log: DeadBallLog, observer: Client) -> None:
    for evaluation in log.observation.evaluations.all():
        hand_in(evaluation)
    for name, parts in (("dead_ball", [1]), ("dead_ball_add", [])):
        page = observer.post(address(log, name, *parts), {"note": "Late."}, follow=True)
        assert page.redirect_chain[0][0] == address(log, "log")
        assert "its log stays as it is" in page.text
    assert [row.facts.get("note") for row in log.dead_balls.all()] == [None]
