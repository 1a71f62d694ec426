"""What is drawn and marked on film in the demo, and that it says what the logs say."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import pytest

from evaluations.core.floor.measures import measure
from evaluations.core.floor.sketch import Instant, Sketch
from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.engine import Finding
from evaluations.core.mechanics.facts import Source
from evaluations.core.mechanics.judging import Verdict, together
from evaluations.core.names import looks_like_full_name
from evaluations.core.release import LogEvidence, State
from evaluations.core.rubric import FloorRule
from evaluations.models import DeadBallLog, EyesMarks, FilmStatement, FloorSketch, Release, Rubric
from evaluations.queries.floor_values import sketch_value
from evaluations.queries.logs import judged
from evaluations.queries.releases import content_of, snapshot_of
from evaluations.queries.rubrics import thresholds_of
from seed_demo.people import EVERYBODY, SLUG

pytestmark = pytest.mark.usefixtures("own_demo")

SAME_DUTY = {
    "route_around": (FloorRule.ROUTE_CLEAR,),
    "eyes_kept": (FloorRule.VIEW_KEPT, FloorRule.FACED),
    "moved_opposite": (FloorRule.APART, FloorRule.BOXED_IN),
}
"""What an observer notes of a duty, and what film is judged by for the same."""


def sketches() -> list[tuple[FloorSketch, Sketch]]:
    rows = FloorSketch.objects.select_related("dead_ball__log__observation__game")
    return [(row, sketch_value(row)) for row in rows]


def evidence() -> Iterator[tuple[Release, LogEvidence]]:
    for release in Release.objects.select_related("evaluation__official__user"):
        log = snapshot_of(release).log
        if log is not None:
            yield release, log


def test_at_least_fifteen_sketches_and_six_ledgers() -> None:
    assert FloorSketch.objects.count() >= 15
    assert EyesMarks.objects.count() >= 6
    drawn_in = DeadBallLog.objects.filter(dead_balls__sketches__isnull=False).distinct()
    assert drawn_in.count() >= 8


def test_they_are_of_both_moments_of_every_source_and_of_crews_of_two_and_three() -> None:
    kinds = Counter((s.crew, s.instant, s.source) for _row, s in sketches())
    assert {crew for crew, _instant, _source in kinds} == {2, 3}
    assert {(instant, source) for _crew, instant, source in kinds} >= {
        *((Instant.REPORT, source) for source in Source),
        (Instant.LIVE, Source.FILM),
        (Instant.LIVE, Source.LIVE),
    }


def test_they_are_of_observations_in_work_waiting_and_released() -> None:
    states = set(
        FloorSketch.objects.values_list(
            "dead_ball__log__observation__evaluations__state", flat=True
        )
    )
    assert states == {State.DRAFT, State.SUBMITTED, State.RELEASED}
    marked = "dead_ball__log__observation__evaluations__state"
    assert set(EyesMarks.objects.values_list(marked, flat=True)) == states


def test_whatever_comes_from_film_says_whose_it_is_and_with_what_permission() -> None:
    stated = set(FilmStatement.objects.values_list("log", flat=True))
    drawn = {row.dead_ball.log_id for row, sketch in sketches() if sketch.source is Source.FILM}
    assert drawn | set(EyesMarks.objects.values_list("dead_ball__log", flat=True)) == stated
    owners = set(FilmStatement.objects.values_list("owner", flat=True))
    assert owners == set(FilmStatement.Owner.values)
    for row, sketch in sketches():
        if sketch.source is Source.FILM:
            assert row.dead_ball.log.film.stated_at < row.drawn_at


def test_permissions_name_nobody() -> None:
    cast = {part for person in EVERYBODY.values() for part in person.name.split()}
    for permission in FilmStatement.objects.values_list("permission", flat=True):
        assert looks_like_full_name(permission) is None
        assert not cast & set(permission.split())
        assert not permission.endswith(".")  # the page goes on after it


def test_all_was_drawn_after_the_log_began_and_before_the_forms_were_in() -> None:
    for row, _sketch in sketches():
        log = row.dead_ball.log
        assert log.began_at < row.drawn_at
        forms = log.observation.evaluations
        assert not forms.filter(submitted_at__lte=row.drawn_at).exists()


def test_everybody_is_on_the_floor_and_nobody_on_another() -> None:
    for _row, sketch in sketches():
        remembered = sketch.source is Source.MEMORY
        assert len(sketch.players) == (8 if remembered else 10)
        spots = [player.at for player in sketch.players]
        for n, spot in enumerate(spots):
            assert all(abs(spot.x - x) + abs(spot.y - y) > 0.9 for x, y in spots[:n])
        assert len(sketch.officials) == sketch.crew
        assert measure(sketch).inside == ()


# --- What the rubric asks of film, and what is counted ------------------------------------------
def test_the_rubric_in_force_asks_film_for_every_rule() -> None:
    asked = thresholds_of(Rubric.objects.get(state=Rubric.State.PUBLISHED))
    assert set(asked) == set(FloorRule)


def verdict(findings: tuple[Finding, ...], ball: int, member: CrewPosition, *rules: str) -> Verdict:
    own = (f for f in findings if f.dead_ball == ball and f.member is member and f.rule in rules)
    return together(finding.verdict for finding in own)


def test_film_says_what_the_observer_noted() -> None:
    """The same official and duty at the same dead ball; where one has nothing, the other adds."""
    compared: Counter[tuple[str, Verdict]] = Counter()
    for log in DeadBallLog.objects.filter(film__isnull=False):
        found = judged(log)
        balls = {finding.dead_ball for finding in found.findings if finding.rule in set(FloorRule)}
        for ball, member, (noted, film) in (
            (ball, member, pair)
            for ball in balls
            for member in CrewPosition
            for pair in SAME_DUTY.items()
        ):
            by_eye = verdict(found.findings, ball, member, noted)
            by_film = verdict(found.findings, ball, member, *film)
            if Verdict.NOT_JUDGED not in (by_eye, by_film):
                assert by_eye is by_film, (log, ball, member, noted)
                compared[noted, by_eye] += 1
    assert set(compared) == {
        (noted, seen) for noted in SAME_DUTY for seen in (Verdict.MET, Verdict.NOT_MET)
    }


# --- In the letters -----------------------------------------------------------------------------
def test_at_least_two_letters_show_the_telling_gap_with_a_drawing() -> None:
    telling = [
        release
        for release, log in evidence()
        if log.shows_sketch and log.ledger is not None and log.ledger.longest is not None
    ]
    assert len(telling) >= 2
    contents = [content_of(release) for release in telling]
    assert {content.language for content in contents} == {"en", "es"}
    for content in contents:
        assert content.sketch is not None and content.band is not None
        assert content.movement is None


def seen_by(key: str) -> list[LogEvidence]:
    official = EVERYBODY[key].email
    return [log for r, log in evidence() if r.evaluation.official.user.email == official]


def test_somebody_turns_away_while_a_partner_reports() -> None:
    views = [log.sketch for log in seen_by("brandvold") if log.sketch is not None]
    assert len(views) >= 2
    assert all(view.measures.coverage is not None for view in views)
    assert all((view.measures.coverage or 0) < 0.5 for view in views)


def test_somebody_walks_through_the_players_and_boxes_them_in_well() -> None:
    way = next(log.sketch for log in seen_by("castellano") if log.shows_sketch)
    assert way is not None and way.measures.route is not None
    assert way.measures.route.inside > 3
    official = EVERYBODY["castellano"].email
    across = FloorSketch.objects.filter(
        dead_ball__log__observation__game__crew__official__user__email=official,
        dead_ball__facts__caller=CrewPosition.REFEREE,
        dead_ball__log__observation__game__crew_size=2,
        instant=Instant.REPORT,
    )
    found = [measure(sketch_value(row)) for row in across]
    assert found
    for one in found:
        assert one.apart is not None and one.boxed is not None
        assert one.apart[0] > 120
        assert one.boxed > 0.6


def test_the_floor_belongs_to_the_demos_association_alone() -> None:
    slugs = "dead_ball__log__observation__game__season__association__slug"
    assert set(FloorSketch.objects.values_list(slugs, flat=True)) == {SLUG}
