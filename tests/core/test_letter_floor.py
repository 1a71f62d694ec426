"""What a letter shows of the floor: one own sketch, one own band, nothing of anybody else."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluations.core.documents import from_document, to_document
from evaluations.core.drawing import Box, Label, Stroke, Style
from evaluations.core.floor.eyes import DeadTime, Facing, Mark
from evaluations.core.floor.sketch import Instant, OfficialAt, Point, Sketch
from evaluations.core.floor_drawing import own_band, own_sketch_drawing
from evaluations.core.floor_evidence import OwnSketch, most_telling_ledger, most_telling_sketch
from evaluations.core.floor_rules import Seen
from evaluations.core.games import CrewPosition
from evaluations.core.letter import LetterContent, reading_order
from evaluations.core.letter_text import compose
from evaluations.core.mechanics.court import Whistle
from evaluations.core.mechanics.facts import DeadBall, Log, Source
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.mechanics.movement import Movement
from evaluations.core.next_steps import QUOTES_BESIDE_BAND
from evaluations.core.ratings import Rating
from evaluations.core.release import ReleaseSnapshot
from evaluations.core.voice import PlainEnglish
from evaluations.letters import render
from tests.core.examples import form, rate
from tests.core.floor.sketches import REFEREE, UMPIRE, facings, players, spots, two
from tests.core.snapshots import log_of, moved, snapshot_of

FORM, ENGLISH = form(), PlainEnglish()
FOUR = players((8, 7), (10, 9), (12, 5), (18, 7))
THREE_IN_VIEW = two(players=FOUR, source=Source.FILM)
"""The umpire, who doesn't report, has one player behind the back."""
ALL_IN_VIEW = replace(THREE_IN_VIEW, players=FOUR[:3])
FOUL = DeadBall(1, Whistle.COMMON, REFEREE, period=2, clock="4:10")
AWAY = Mark(REFEREE, Facing.NOT_FACING, 1_000, None)


def marked(*own: tuple[Facing, int, int], **changes: object) -> DeadTime:
    """Ten seconds from a whistle at one second, the report over after six; the umpire's marks."""
    marks = (AWAY, *(Mark(UMPIRE, *one) for one in own))
    return replace(DeadTime(2, 1_000, 11_000, 7_000, REFEREE, marks), **changes)  # type: ignore[arg-type]


GAP = marked((Facing.FACING, 1_000, 3_000), (Facing.NOT_FACING, 3_000, 5_500))


def night(*seen: Seen) -> tuple[Log, dict[int, Seen]]:
    balls = tuple(replace(FOUL, number=n) for n in range(1, len(seen) + 1))
    return Log(2, balls), dict(enumerate(seen, 1))


def drawn(*sketches: Sketch, member: CrewPosition = UMPIRE) -> OwnSketch | None:
    """The most telling of the sketches, one a dead ball."""
    return most_telling_sketch(*night(*(Seen({s.instant: s}) for s in sketches)), member)


def snapshot(
    seen: Sequence[Seen],
    member: CrewPosition = UMPIRE,
    movement: Movement | None = None,
    ratings: Sequence[Rating] = (),
) -> ReleaseSnapshot:
    log, found = night(*seen)
    evidence = log_of(
        FORM,
        {},
        movement,
        sketch=most_telling_sketch(log, found, member),
        ledger=most_telling_ledger(log, found, member),
    )
    return snapshot_of(FORM, ratings or rate(FORM, 3), log=evidence)


def letter(seen: Seen, *others: Seen, **fields: object) -> LetterContent:
    return compose(snapshot([seen, *others], **fields), ENGLISH)  # type: ignore[arg-type]


def of(sketch: Sketch, time: DeadTime | None = None) -> Seen:
    return Seen({sketch.instant: sketch}, time)


# --- The sketch ---------------------------------------------------------------------------------
def test_the_one_who_does_not_report_reads_what_was_in_the_own_view() -> None:
    picture = letter(of(THREE_IN_VIEW)).sketch
    assert picture is not None
    assert picture.caption == (
        "Dead ball 1, period 2, 4:10, common foul. While your partner reported, your view (broken "
        "lines) held 3 of 4 players; out of it (crossed): 1. From film."
    )
    assert picture.alt.startswith("You among the players on a court. While your partner reported")


@pytest.mark.parametrize("source", [Source.LIVE, Source.MEMORY])
def test_a_drawing_that_is_not_from_film_says_so(source: Source) -> None:
    picture = letter(of(replace(THREE_IN_VIEW, source=source))).sketch
    assert picture is not None
    assert picture.caption.endswith("Observer's drawing, not to scale.")


THROUGH, AROUND = (Point(5, 7), Point(22, 7)), (Point(5, 0.5), Point(22, 0.5))


@pytest.mark.parametrize(
    ("route", "source", "told"),
    [
        (THROUGH, Source.FILM, "led through the players for 12.0 m. From film."),
        (THROUGH, Source.LIVE, "led through the players. Observer's drawing, not to scale."),
        (AROUND, Source.FILM, "led around the players. From film."),
    ],
)
def test_the_caller_reads_about_the_own_way_and_lengths_are_from_film_only(
    route: tuple[Point, ...], source: Source, told: str
) -> None:
    sketch = replace(THREE_IN_VIEW, route=route, source=source)
    picture = letter(of(sketch), member=REFEREE).sketch
    assert picture is not None
    assert picture.caption.endswith(told)
    assert not picture.sketch.measures.unseen, "who reports isn't asked whom he or she sees"


def test_the_partner_is_not_drawn() -> None:
    for member in (REFEREE, UMPIRE):
        own = drawn(replace(THREE_IN_VIEW, route=THROUGH), member=member)
        assert own is not None
        assert [official.member for official in own.sketch.officials] == [member]
        assert bool(own.sketch.route) == (member is REFEREE)


@pytest.mark.parametrize(
    "sketch",
    [
        replace(THREE_IN_VIEW, instant=Instant.LIVE),
        replace(THREE_IN_VIEW, players=()),
        replace(THREE_IN_VIEW, officials=THREE_IN_VIEW.officials[:1]),
    ],
)
def test_what_is_the_crews_or_shows_nothing_of_the_own_is_not_drawn(sketch: Sketch) -> None:
    assert drawn(sketch) is None


def test_the_sketch_that_says_most_is_drawn() -> None:
    def chosen(*sketches: Sketch) -> int:
        own = drawn(*sketches)
        assert own is not None
        return own.when.dead_ball

    from_the_stand = replace(THREE_IN_VIEW, source=Source.LIVE)
    turned = replace(THREE_IN_VIEW, officials=(OfficialAt(UMPIRE, Point(15, 7), 0.0),))
    assert chosen(ALL_IN_VIEW, from_the_stand) == 2, "something to change comes first"
    assert chosen(from_the_stand, THREE_IN_VIEW) == 2, "then what is from film"
    assert chosen(THREE_IN_VIEW, turned) == 2, "then what shows more"
    assert chosen(THREE_IN_VIEW, THREE_IN_VIEW) == 1, "then the first"


@pytest.mark.parametrize(
    ("sketch", "movement", "shown"),
    [
        (THREE_IN_VIEW, None, True),
        (ALL_IN_VIEW, None, True),
        (THREE_IN_VIEW, Verdict.MET, True),
        (ALL_IN_VIEW, Verdict.MET, False),
        (THREE_IN_VIEW, Verdict.NOT_MET, False),
        (ALL_IN_VIEW, Verdict.NOT_MET, False),
    ],
)
def test_a_sketch_takes_the_courts_place_where_it_tells_more_than_the_movement(
    sketch: Sketch, movement: Verdict | None, shown: bool
) -> None:
    gone = None if movement is None else moved(verdict=movement)
    content = letter(of(sketch), movement=gone)
    assert (content.sketch is not None, content.movement is not None) == (shown, not shown)


# --- The band -----------------------------------------------------------------------------------
def test_the_band_has_the_seconds_of_the_own_duty_and_the_longest_gap() -> None:
    band = letter(of(ALL_IN_VIEW, GAP)).band
    assert band is not None
    assert band.caption == (
        "Dead ball 1, period 2, 4:10, common foul. Until your partner's report ended, from film: "
        "you faced the players (bar) for 2.0 s, did not (line) for 2.5 s, can't tell (blank) for "
        "1.5 s. The longest gap was 2.5 s, from 2.0 s on."
    )
    assert sum(stretch.length for stretch in band.band) == 6_000


def test_without_a_gap_none_is_told() -> None:
    band = letter(of(ALL_IN_VIEW, marked((Facing.FACING, 1_000, 7_000)))).band
    assert band is not None
    assert band.caption.endswith("did not (line) for 0.0 s, can't tell (blank) for 0.0 s.")


@pytest.mark.parametrize(
    "time",
    [marked(), replace(GAP, live=None), replace(GAP, report_ended=None)],
    ids=["nothing known", "never live", "the report's end not seen"],
)
def test_nothing_known_and_times_without_their_ends_give_no_band(time: DeadTime) -> None:
    assert letter(of(ALL_IN_VIEW, time)).band is None


def test_the_one_who_reports_has_no_band() -> None:
    assert letter(of(THREE_IN_VIEW, GAP), member=REFEREE).band is None


def test_of_several_ledgers_the_longest_gap_is_told() -> None:
    longer = marked((Facing.NOT_FACING, 1_000, 6_000))
    band = letter(of(ALL_IN_VIEW, GAP), of(ALL_IN_VIEW, longer)).band
    assert band is not None
    assert band.caption.startswith("Dead ball 2,")


def test_quotations_beside_a_band_have_less_room() -> None:
    ratings = [replace(r, comment="x" * 90) for r in rate(FORM, 3)]
    content = compose(snapshot([of(ALL_IN_VIEW, GAP)], ratings=ratings), ENGLISH)
    in_all = sum(len(q.label) + len(q.text) + len(q.where) for q in content.quotes)
    assert QUOTES_BESIDE_BAND - 130 < in_all <= QUOTES_BESIDE_BAND
    assert content.quotes_note


# --- Read, kept and drawn -----------------------------------------------------------------------
def test_both_are_read_where_they_stand_and_come_back_from_a_stored_release() -> None:
    frozen = snapshot([of(THREE_IN_VIEW, GAP)])
    content = compose(frozen, ENGLISH)
    assert content.sketch and content.band
    order = reading_order(content)
    assert order.index(content.sketch.caption) < order.index(content.band.caption)
    assert from_document(ReleaseSnapshot, to_document(frozen)) == frozen
    assert from_document(LetterContent, to_document(content)) == content


def test_a_drawing_has_the_own_wedge_alone_and_a_cross_for_whom_it_does_not_see() -> None:
    content = letter(of(THREE_IN_VIEW, GAP))
    assert content.sketch and content.band
    alone = own_sketch_drawing(content.sketch, "")
    assert [s.text for s in alone.shapes if isinstance(s, Label)] == ["table", "you"]
    assert sum(isinstance(s, Stroke) and s.style is Style.DUE for s in alone.shapes) == 1
    # Two strokes make the one cross; without a route nothing else is drawn so.
    assert sum(isinstance(s, Stroke) and s.style is Style.WAY for s in alone.shapes) == 2


def test_a_band_is_thin_its_bars_as_long_as_the_players_were_faced() -> None:
    band = letter(of(ALL_IN_VIEW, GAP)).band
    assert band
    drawing = own_band(band, "")
    [bar] = [shape for shape in drawing.shapes if isinstance(shape, Box)]
    assert bar.width == pytest.approx(drawing.width * 2_000 / 6_000)
    assert drawing.height == 20.0


# --- Nobody else --------------------------------------------------------------------------------
def marks_of(member: CrewPosition, start: int) -> st.SearchStrategy[Mark]:
    return st.builds(
        lambda facing, at, length: Mark(member, facing, at, at + length),
        st.sampled_from(Facing),
        st.integers(start, 12_000),
        st.integers(0, 9_000),
    )


NOT_OWN = st.lists(marks_of(REFEREE, 0) | marks_of(UMPIRE, 7_000), max_size=4)
"""Whatever was marked about the partner, and what was marked after the own duty."""


@given(spots, facings, NOT_OWN, st.integers(7_000, 20_000))
def test_what_the_partner_did_and_what_came_after_the_own_duty_change_no_byte(
    spot: Point, facing: float, others: list[Mark], live: int
) -> None:
    partner = OfficialAt(REFEREE, spot, facing)
    sketch = replace(THREE_IN_VIEW, officials=(partner, THREE_IN_VIEW.officials[1]))
    time = replace(GAP, marks=(*GAP.marks, *others), live=live)
    assert compose(snapshot([of(sketch, time)]), ENGLISH) == UNCHANGED


def test_the_same_holds_for_the_file() -> None:
    partner = OfficialAt(REFEREE, Point(27, 14), 45.0)
    gone = replace(
        THREE_IN_VIEW, officials=THREE_IN_VIEW.officials[1:], route=THROUGH, reporter=UMPIRE
    )
    moved_on = replace(THREE_IN_VIEW, officials=(partner, THREE_IN_VIEW.officials[1]))
    later = replace(GAP, marks=(*GAP.marks, Mark(REFEREE, Facing.FACING, 1_000, None)))
    files = {
        render(compose(snapshot([of(sketch, time)]), ENGLISH))
        for sketch in (THREE_IN_VIEW, moved_on, gone)
        for time in (GAP, later)
    }
    assert len(files) == 1


UNCHANGED = compose(snapshot([of(THREE_IN_VIEW, GAP)]), ENGLISH)
