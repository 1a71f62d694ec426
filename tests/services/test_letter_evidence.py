"""What a letter takes from the dead-ball log, and that it is the official's own alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any

import pytest
from pytest_django import DjangoAssertNumQueries

from accounts.models import Membership
from evaluations.core.floor.eyes import Facing
from evaluations.core.games import CrewPosition
from evaluations.core.log_document import dead_ball_document
from evaluations.core.mechanics.court import End, Place, Position, Resumes, Side, Whistle
from evaluations.core.mechanics.facts import (
    DeadBall,
    Eyes,
    Kept,
    Moment,
    NumberShown,
    Report,
    Route,
    Source,
    Stood,
    Watching,
)
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.release import LogEvidence
from evaluations.core.sketch_document import sketch_document
from evaluations.models import DeadBall as DeadBallRow
from evaluations.models import Evaluation, EyesMarks, FloorSketch, Observation
from evaluations.queries.evaluations import worksheet
from evaluations.queries.log_evidence import log_evidence
from evaluations.queries.releases import content_of, snapshot_of
from evaluations.services.letters import PreparedLetter, prepare_letter
from evaluations.services.releases import release_crew
from tests.factories.accounts import Cast
from tests.factories.floor import SOME_UNSEEN, from_film
from tests.factories.logs import REFEREE, UMPIRE, lead_calls, log_with
from tests.factories.releases import OPEN_AT, RELEASED_AT, crew_of, hand_in
from tests.letters.reading import pages, structure

FORCES = "non-caller-starts-switch"
TABLE, OPPOSITE = Side


def seen(referee: str, umpire: str) -> dict[Any, Stood]:
    """Where both ended, such as "trail table"."""
    return {
        member: Stood(Position(place.split()[0]), Side(place.split()[1]))
        for member, place in ((REFEREE, referee), (UMPIRE, umpire))
    }


DONE = seen("trail table", "lead opposite")


def night(**of_the_referee: Any) -> list[DeadBall]:
    """Five switches that the umpire forced, one not, and a whistle of the umpire's own.

    What the referee alone did is in `of_the_referee`: it must not reach the umpire's letter.
    """
    ended: dict[Any, Stood] = {**DONE, **of_the_referee.get("ended", {})}
    forced = lead_calls(None, after=ended, report=of_the_referee.get("report", Report()))
    missed = lead_calls(False, period=2, clock="4:10", basket=End.RIGHT)
    own = lead_calls(
        None,
        UMPIRE,
        after=seen(of_the_referee.get("at_own", "lead opposite"), "trail table"),
        report=Report(full_stop=True),
        watching={REFEREE: of_the_referee.get("watching", Watching())},
    )
    return [*(replace(forced, number=n) for n in range(1, 6)), missed, own]


def evidence(observation: Observation, official: Membership) -> LogEvidence:
    """What the log says about an official, in his or her language."""
    evaluation = observation.evaluations.get(official=official)
    position = CrewPosition(evaluation.position)
    found = log_evidence(worksheet(evaluation), position, official.user.language)
    assert found is not None
    return found


def prepared(evaluation: Evaluation, now: datetime = RELEASED_AT) -> PreparedLetter:
    return prepare_letter(evaluation=evaluation, serial=1, now=now, opens_at=OPEN_AT)


def rewrite(observation: Observation, balls: Sequence[DeadBall]) -> None:
    """Change the log's raw facts, the rest of the observation aside."""
    rows = DeadBallRow.objects.filter(log__observation=observation).order_by("number")
    for row, ball in zip(rows, balls, strict=True):
        document = dead_ball_document(ball)
        del document["number"]
        row.facts = document
        row.save()


# --- Own counts, own movement --------------------------------------------------------------------
def test_each_official_has_the_own_counts(cast: Cast) -> None:
    observation = crew_of(cast)
    log_with(observation, night())
    umpire = evidence(observation, cast.other_official).counted[FORCES].count
    assert (umpire.met, umpire.not_met, umpire.dead_balls) == (5, 1, (6,))
    referee = evidence(observation, cast.official).counted[FORCES].count
    assert (referee.met, referee.not_met) == (1, 0)


def test_each_official_has_the_own_movement(cast: Cast) -> None:
    observation = crew_of(cast)
    log_with(observation, night())
    umpire = evidence(observation, cast.other_official).movement
    assert umpire is not None
    assert (umpire.dead_ball, umpire.verdict) == (6, Verdict.NOT_MET)
    assert (umpire.period, umpire.clock, umpire.basket) == (2, "4:10", End.RIGHT)
    assert umpire.expected == Place(Position.LEAD, OPPOSITE)
    referee = evidence(observation, cast.official).movement
    assert referee is not None
    assert (referee.dead_ball, referee.expected) == (1, Place(Position.TRAIL, TABLE))


def test_the_letter_says_how_the_log_was_kept_and_by_which_code(cast: Cast) -> None:
    cast.official.user.language = "es"
    cast.official.user.save()
    observation = crew_of(cast)
    log_with(observation, night(), kept=Kept.ONE_DUTY, source=Source.MEMORY)
    found = evidence(observation, cast.official)
    assert (found.kept, found.source, found.dead_balls) == (Kept.ONE_DUTY, Source.MEMORY, 7)
    assert found.code.startswith("Dos árbitros: cambio en cada falta")
    other = evidence(observation, cast.other_official)
    assert other.code == "Two-person: switch on every foul, edition 1"


def test_what_only_struck_the_observer_suggests_nothing(cast: Cast) -> None:
    observation = crew_of(cast)
    log_with(observation, night(), kept=Kept.STRIKING)
    found = evidence(observation, cast.other_official)
    assert {c.suggested for c in found.counted.values()} == {None}
    assert found.movement is not None


def test_without_a_log_or_a_finding_in_it_a_letter_says_nothing_of_logs(cast: Cast) -> None:
    observation = crew_of(cast)
    evaluation = hand_in(observation.evaluations.get(official=cast.official))
    assert prepared(evaluation).snapshot.log is None
    log_with(observation, [])
    assert prepared(evaluation).snapshot.log is None


def test_a_release_keeps_the_evidence_as_it_was(cast: Cast) -> None:
    observation = crew_of(cast)
    log_with(observation, night())
    for evaluation in observation.evaluations.all():
        hand_in(evaluation)
    expected = evidence(observation, cast.other_official)
    letters = release_crew(observation=observation, by=cast.admin, now=RELEASED_AT)
    rewrite(observation, [replace(ball, after={}, switched=None) for ball in night()])
    stored = snapshot_of(letters[1])
    assert stored.log == expected
    content = content_of(letters[1])
    assert content.movement is not None
    assert content.movement.movement == expected.movement
    assert "5 of 6" in [row.counted for area in content.form.areas for row in area.rows]


def test_a_longer_log_takes_no_more_queries(
    cast: Cast, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    observation = crew_of(cast)
    evaluation = observation.evaluations.get(official=cast.other_official)
    log_with(observation, [*night(), *night(), *night()])
    with django_assert_max_num_queries(17):
        assert log_evidence(worksheet(evaluation), UMPIRE, "en") is not None


# --- Nothing of a crew mate ----------------------------------------------------------------------
BADLY_DONE = Report(
    signal_at_spot=False,
    player_told=False,
    route=Route.THROUGH,
    full_stop=False,
    player="23",
    number_shown=NumberShown.NOT_SHOWN,
    type_shown=False,
    result_shown=False,
)

OF_THE_REFEREE: list[dict[str, Any]] = [
    {"report": BADLY_DONE},
    {"ended": {REFEREE: Stood(Position.TRAIL, OPPOSITE)}},
    {"at_own": "lead table"},
    {"watching": Watching(wide=False, chased_ball=True, moved_opposite=False)},
]


@pytest.mark.parametrize("facts", OF_THE_REFEREE)
def test_what_a_mate_did_changes_no_byte_of_the_own_letter(
    cast: Cast, facts: dict[str, Any]
) -> None:
    """The mate's report, places, sight, ratings and name; the mate's own letter does change."""
    observation = crew_of(cast)
    log_with(observation, night())
    for evaluation in observation.evaluations.all():
        hand_in(evaluation)
    own = observation.evaluations.get(official=cast.other_official)
    mates = observation.evaluations.get(official=cast.official)
    before, mates_before = prepared(own), prepared(mates)

    rewrite(observation, night(**facts))
    mates.ratings.update(level=1, not_seen=False)
    cast.official.user.name = "Quillon Sepulveda"
    cast.official.user.save()

    own.refresh_from_db()
    after = prepared(Evaluation.objects.get(pk=own.pk))
    assert after.snapshot == before.snapshot
    assert after.pdf == before.pdf
    mates_after = prepared(Evaluation.objects.get(pk=mates.pk))
    assert mates_after.snapshot.log != mates_before.snapshot.log


def test_neither_text_nor_alternative_text_names_a_mate(cast: Cast) -> None:
    observation = crew_of(cast)
    log_with(observation, night(report=Report(full_stop=True, player="23")))
    for evaluation in observation.evaluations.all():
        hand_in(evaluation)
    for official, mate in (
        (cast.official, cast.other_official),
        (cast.other_official, cast.official),
    ):
        letter = prepared(observation.evaluations.get(official=official))
        told = [*pages(letter.pdf), *(node.alt for node in structure(letter.pdf).walk())]
        assert any(official.user.name in text for text in told)
        assert not any(mate.user.name in text or "23" in text.split() for text in told)


def test_a_partners_miss_is_in_no_picture_of_the_one_who_stood_wrong_through_it(
    cast: Cast,
) -> None:
    observation = crew_of(cast)
    log_with(observation, [lead_calls(False), lead_calls(False)])
    assert evidence(observation, cast.official).movement is None
    found = evidence(observation, cast.other_official).movement
    assert found is not None
    assert found.verdict is Verdict.NOT_MET


def test_a_crews_gap_in_sight_is_nobodys_and_in_no_letter(cast: Cast) -> None:
    observation = crew_of(cast)
    common = lead_calls(None, whistle=Whistle.COMMON, resumes=Resumes.SIDE_LINE)
    lost = replace(common, eyes=Eyes(kept=False, lost=Moment.AFTER_REPORT))
    log_with(observation, [lost] * 6)
    for official in (cast.official, cast.other_official):
        counts = evidence(observation, official).counted
        assert sum(found.count.not_met for found in counts.values()) == 0


# --- Own sketch, own ledger -----------------------------------------------------------------------
def test_the_one_who_did_not_report_has_the_own_view_and_the_own_seconds(cast: Cast) -> None:
    observation = crew_of(cast)
    log = log_with(observation, [lead_calls(None)])
    from_film(log.dead_balls.get())
    umpire = evidence(observation, cast.other_official)
    assert umpire.sketch is not None and umpire.sketch.missed > 0
    assert [one.member for one in umpire.sketch.sketch.officials] == [UMPIRE]
    assert umpire.ledger is not None
    assert [umpire.ledger.total(state) for state in Facing] == [2_000, 2_500, 1_500]
    referee = evidence(observation, cast.official)
    assert (referee.sketch, referee.ledger) == (None, None), "the players were the partner's"


def test_a_partners_place_and_what_was_marked_later_change_no_byte_of_a_letter(cast: Cast) -> None:
    observation = crew_of(cast)
    log = log_with(observation, [lead_calls(None)])
    ball = log.dead_balls.get()
    from_film(ball)
    for evaluation in observation.evaluations.all():
        hand_in(evaluation)
    own = observation.evaluations.get(official=cast.other_official)
    before = prepared(own)
    assert before.snapshot.log and before.snapshot.log.sketch and before.snapshot.log.ledger
    partner, umpire = SOME_UNSEEN.officials
    moved = replace(partner, at=partner.at._replace(x=27.0), facing=12.0)
    sketch = replace(
        SOME_UNSEEN, officials=(moved, umpire), route=(moved.at, partner.at), reporter=REFEREE
    )
    row = FloorSketch.objects.get(dead_ball=ball)
    row.content = sketch_document(sketch)
    row.save()
    eyes = EyesMarks.objects.get(dead_ball=ball)
    eyes.marks += [["referee", "facing", 6_000, None], ["umpire", "not_facing", 6_500, 9_000]]
    eyes.live_at = 12_000
    eyes.save()
    assert prepared(Evaluation.objects.get(pk=own.pk)).pdf == before.pdf
