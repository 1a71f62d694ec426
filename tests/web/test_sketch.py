"""The floor at a dead ball as figures: stored, drawn and measured without a script."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from evaluations.core.floor.frames import FRAMES, Frame
from evaluations.core.floor.presets import Shape, preset
from evaluations.core.floor.sketch import (
    Instant,
    OfficialAt,
    PlayerAt,
    Point,
    Sketch,
    Team,
)
from evaluations.core.games import POSITIONS
from evaluations.core.mechanics.facts import Source
from evaluations.forms.sketches import placed
from evaluations.models import DeadBallLog, FloorSketch
from evaluations.queries.floor_values import sketch_value
from evaluations.services.floor import keep_sketch
from evaluations.services.log_edits import remove_dead_ball
from tests.factories.accounts import Cast, signed_in
from tests.factories.logs import REFEREE, UMPIRE, lead_calls, log_with
from tests.factories.releases import THAT_NIGHT, crew_of, hand_in

TYPED: dict[str, str] = {
    "source": "live",
    "reporter": "referee",
    "field_of_view": "110",
    "referee-x": "14",
    "referee-y": "-0,5",
    "referee-facing": "270",
    "umpire-x": "22.5",
    "umpire-y": "12.25",
    "umpire-facing": "240",
    "player-1-x": "20",
    "player-1-y": "7",
    "player-1-team": "light",
    "player-4-x": "21.2",
    "player-4-y": "8",
    "player-4-team": "dark",
    "route": "18 7\n\n14.5; 3,5\n14 -0.5",
    **{f"player-{n}-team": "light" for n in (2, 3, 5)},
    **{f"player-{n}-team": "dark" for n in (6, 7, 8, 9, 10)},
}
DRAWN = Sketch(
    crew=2,
    officials=(
        OfficialAt(REFEREE, Point(14.0, -0.5), 270.0),
        OfficialAt(UMPIRE, Point(22.5, 12.25), 240.0),
    ),
    players=(PlayerAt(Point(20.0, 7.0), Team.LIGHT), PlayerAt(Point(21.2, 8.0), Team.DARK)),
    frame=Frame.FEET_84,
    field_of_view=110.0,
    reporter=REFEREE,
    route=(Point(18.0, 7.0), Point(14.5, 3.5), Point(14.0, -0.5)),
    instant=Instant.REPORT,
    source=Source.LIVE,
)


@pytest.fixture
def observer(cast: Cast) -> Client:
    return signed_in(cast.observer)


@pytest.fixture
def log(cast: Cast) -> DeadBallLog:
    return log_with(crew_of(cast), [lead_calls(False), lead_calls(True)])


def address(log: DeadBallLog, number: int = 1, instant: str = "report", name: str = "") -> str:
    observation = log.observation
    slug = observation.game.season.association.slug
    return reverse(f"evaluations:sketch{name}", args=[slug, observation.pk, number, instant])


def errors(answer: Any) -> dict[str, list[str]]:
    assert answer.status_code == 200
    found: dict[str, list[str]] = answer.context["form"].errors
    return found


def refused(client: Client, log: DeadBallLog, **answers: str) -> dict[str, list[str]]:
    answer = client.post(address(log), {**TYPED, **answers})
    assert not FloorSketch.objects.exists()
    return errors(answer)


def shown(page: Any) -> dict[str, str]:
    found = re.findall(r'<dd data-line="([^"]+)">([^<]*)</dd>', page.text)
    return dict(found)


def draw(log: DeadBallLog, sketch: Sketch = DRAWN) -> FloorSketch:
    ball, observer = log.dead_balls.get(number=1), log.observation.observer
    return keep_sketch(dead_ball=ball, sketch=sketch, by=observer, now=THAT_NIGHT)


# --- Typing figures ------------------------------------------------------------------------------
def test_what_is_typed_is_stored(log: DeadBallLog, observer: Client) -> None:
    answer = observer.post(address(log), TYPED)
    assert answer.headers["Location"] == address(log)
    assert sketch_value(FloorSketch.objects.get()) == DRAWN


def test_the_form_shows_what_is_stored_and_saves_it_unchanged(
    log: DeadBallLog, observer: Client
) -> None:
    draw(log)
    form = observer.get(address(log)).context["form"]
    as_shown = {name: form[name].value() for name in form.fields}
    observer.post(address(log), {n: value for n, value in as_shown.items() if value is not None})
    assert sketch_value(FloorSketch.objects.get()) == DRAWN


def test_a_moment_has_one_sketch_and_the_other_moment_its_own(
    log: DeadBallLog, observer: Client
) -> None:
    observer.post(address(log), TYPED)
    observer.post(address(log), {**TYPED, "umpire-x": "23"})
    observer.post(address(log, instant="live"), TYPED)
    drawn = {row.instant: sketch_value(row) for row in FloorSketch.objects.all()}
    assert drawn["report"].officials[1].at.x == 23
    assert drawn["live"].instant is Instant.LIVE


def test_a_sketch_takes_the_associations_court_and_the_logs_source_as_given(
    log: DeadBallLog, observer: Client
) -> None:
    association = log.observation.game.season.association
    association.court = "fiba"
    association.save()
    page = observer.get(address(log))
    assert page.context["form"]["source"].value() == "live"
    assert "0 to 28.00" in page.text
    observer.post(address(log), TYPED)
    assert sketch_value(FloorSketch.objects.get()).frame is Frame.FIBA


def test_a_sketch_keeps_the_court_that_it_was_drawn_on(log: DeadBallLog, observer: Client) -> None:
    draw(log)
    association = log.observation.game.season.association
    association.court = "fiba"
    association.save()
    observer.post(address(log), TYPED)
    assert sketch_value(FloorSketch.objects.get()).frame is Frame.FEET_84


def test_an_empty_floor_can_be_saved_and_nothing_is_judged(
    log: DeadBallLog, observer: Client
) -> None:
    plain = {name: text for name, text in TYPED.items() if name.endswith(("team", "view"))}
    page = observer.post(address(log), {**plain, "source": "memory"}, follow=True)
    assert shown(page) == {
        "view-referee": "is not on the floor",
        "view-umpire": "is not on the floor",
        "coverage": "not judged",
        "unseen": "not judged",
        "boxed": "not judged",
        "apart": "not judged",
        "inside": "not judged",
        "route": "not judged",
    }
    assert "Too little is drawn to measure anything." in page.text


def test_the_page_shows_the_drawing_and_what_it_shows(log: DeadBallLog, observer: Client) -> None:
    page = observer.post(address(log), TYPED, follow=True)
    assert '<svg xmlns="http://www.w3.org/2000/svg" class="figure"' in page.text
    assert "drawing, not to scale." in page.text
    lines = shown(page)
    assert lines["view-referee"] == "nobody"
    assert lines["view-umpire"] == "1, 2"
    assert lines["coverage"] == "2 of 2"
    assert lines["unseen"] == "nobody"
    assert lines["boxed"] == "2 of 2"
    assert lines["inside"] == "not judged"
    assert lines["route"] == "around the players, 9.0 m"


def test_a_way_through_the_players_says_for_how_long(log: DeadBallLog, observer: Client) -> None:
    # Straight at the first player: from 1 m before to his or her place.
    page = observer.post(address(log), {**TYPED, "route": "18 7\n20 7"}, follow=True)
    assert shown(page)["route"] == "through the players for 1.0 of 2.0 m"


def test_only_a_drawing_from_film_is_to_scale(log: DeadBallLog, observer: Client) -> None:
    page = observer.post(address(log), {**TYPED, "source": "film"}, follow=True)
    assert "not to scale" not in page.text


def test_of_three_the_one_who_reports_is_not_measured(cast: Cast, observer: Client) -> None:
    observation = crew_of(cast, cast.official, cast.other_official, cast.young_official)
    log = log_with(observation, [lead_calls(None)], left_end=None)
    sketch = preset(Shape.SPREAD, 3, Frame.FEET_84)
    typed = {**TYPED, **placed(sketch), "reporter": POSITIONS[3][0]}
    lines = shown(observer.post(address(log), typed, follow=True))
    assert lines["view-referee"] == "reports, is not measured"
    assert lines["view-umpire_1"] not in ("not judged", "nobody")


# --- Refusing ------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("field", "typed", "why"),
    [
        ("referee-x", "middle", "Give a figure, such as 4.5."),
        ("referee-x", "28.7", "From -3 to 28.6 metres."),
        ("player-4-y", "-3.1", "From -3 to 18.24 metres."),
        ("player-4-y", "nan", "Give a figure, such as 4.5."),
        ("umpire-facing", "361", "From -360 to 360 degrees."),
        ("umpire-facing", "", "Give this as well, or take the others back."),
        ("player-1-x", "", "Give this as well, or take the others back."),
        ("field_of_view", "0", "From 1 to 190 degrees."),
        ("field_of_view", "", "This field is required."),
        ("player-1-team", "red", "Select a valid choice. red is not one of the available choices."),
        ("reporter", "umpire_1", "Select a valid choice. umpire_1 is not one"),
        ("source", "", "This field is required."),
        ("route", "18", "Line 1: give x and y, and nothing else."),
        ("route", "18 7\n14 y", "Line 2: Give a figure, such as 4.5."),
        ("route", "18 7\n14 40", "Line 2: From -3 to 18.24 metres."),
        ("route", "\n".join(["18 7"] * 201), "Give at most 200 points."),
    ],
)
def test_a_wrong_figure_is_pointed_out_at_its_field(
    log: DeadBallLog, observer: Client, field: str, typed: str, why: str
) -> None:
    found = refused(observer, log, **{field: typed})
    assert list(found) == [field]
    assert found[field][0].startswith(why)


def test_whatever_was_typed_is_still_there_and_every_error_is_said_at_once(
    log: DeadBallLog, observer: Client
) -> None:
    answer = observer.post(address(log), {**TYPED, "referee-x": "middle", "player-4-y": "99"})
    assert set(errors(answer)) == {"referee-x", "player-4-y"}
    for typed in ('value="middle"', 'value="99"', 'value="-0,5"', "14.5; 3,5"):
        assert typed in answer.text


def test_a_final_log_shows_its_sketch_and_takes_no_other(
    cast: Cast, log: DeadBallLog, observer: Client
) -> None:
    draw(log)
    for evaluation in log.observation.evaluations.all():
        hand_in(evaluation)
    page = observer.get(address(log))
    assert "The log stays as it is" in page.text
    assert shown(page)["coverage"] == "2 of 2"
    assert 'id="sketch"' not in page.text
    answer = observer.post(address(log), {**TYPED, "umpire-x": "23"})
    assert errors(answer)["__all__"] == [
        "All forms of this observation are in, so that its log stays as it is."
    ]
    assert answer.text.count("so that its log stays as it is") == 1
    assert sketch_value(FloorSketch.objects.get()) == DRAWN


def test_only_the_observer_opens_it_and_only_for_dead_balls_that_are_there(
    cast: Cast, log: DeadBallLog, observer: Client
) -> None:
    assert signed_in(cast.other_observer).get(address(log)).status_code == 404
    assert signed_in(cast.official).get(address(log)).status_code == 403
    assert signed_in(cast.stranger).get(address(log)).status_code == 404
    assert observer.get(address(log, number=3)).status_code == 404
    assert observer.get(address(log, instant="later")).status_code == 404
    ball = log.dead_balls.get(number=2)
    remove_dead_ball(dead_ball=ball, by=cast.observer, now=THAT_NIGHT)
    assert observer.get(address(log, number=2)).status_code == 404


# --- Shapes, links, taking away ------------------------------------------------------------------
@pytest.mark.parametrize("shape", Shape)
@pytest.mark.parametrize("end", ["left", "right"])
def test_a_shape_fills_the_figures_and_stores_nothing(
    log: DeadBallLog, observer: Client, shape: str, end: str
) -> None:
    page = observer.get(address(log), {"shape": shape, "end": end})
    form = page.context["form"]
    assert form["player-10-x"].value() is not None
    assert (float(form["umpire-x"].value()) < FRAMES[Frame.FEET_84].length / 2) == (end == "left")
    assert not FloorSketch.objects.exists()


def test_an_unknown_shape_is_refused(log: DeadBallLog, observer: Client) -> None:
    page = observer.get(address(log), {"shape": "pyramid", "end": "left"})
    assert page.context["form"]["player-1-x"].value() is None
    assert page.context["shape_form"].errors.keys() == {"shape"}


def test_the_dead_balls_page_leads_to_both_moments(log: DeadBallLog, observer: Client) -> None:
    observation = log.observation
    page = observer.get(reverse("evaluations:dead_ball", args=["rivers", observation.pk, 1]))
    for instant in Instant:
        assert f'href="{address(log, instant=instant)}"' in page.text


def test_a_sketch_can_be_taken_away(log: DeadBallLog, observer: Client) -> None:
    draw(log)
    page = observer.post(address(log, name="_remove"), follow=True)
    assert "The sketch is removed." in page.text
    assert not FloorSketch.objects.exists()
    assert observer.post(address(log, name="_remove")).status_code == 404


def test_a_final_logs_sketch_stays(log: DeadBallLog, observer: Client) -> None:
    draw(log)
    for evaluation in log.observation.evaluations.all():
        hand_in(evaluation)
    page = observer.post(address(log, name="_remove"), follow=True)
    assert "so that its log stays as it is" in page.text
    assert FloorSketch.objects.exists()


def test_the_page_asks_the_database_a_few_times(
    log: DeadBallLog, observer: Client, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    draw(log)
    with django_assert_max_num_queries(13):
        observer.get(address(log))
