"""What is told literally: forms that belong to a story, and games that go another way.

Levels are written criterion by criterion in the rubric's order, an area at a time: a figure is a
level, "-" is not seen and "." is not answered yet.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import Enum, auto
from typing import Final

from evaluations.core.games import Difficulty, Seen, Talk
from seed_demo.moments import at
from seed_demo.notebook import Note
from seed_demo.profiles import KEYS


class Fate(Enum):
    """How far an observation gets. Most are released."""

    RELEASED = auto()
    SUBMITTED = auto()
    WRITING = auto()
    OPENED = auto()
    ASSIGNED = auto()


FATES: Final[Mapping[str, Fate]] = {
    "1112a": Fate.SUBMITTED,
    "1119a": Fate.SUBMITTED,
    "1120b": Fate.SUBMITTED,
    "1120c": Fate.SUBMITTED,
    "1121b": Fate.SUBMITTED,
    "1114a": Fate.WRITING,
    "1124b": Fate.WRITING,
    "1124a": Fate.OPENED,
    "1106b": Fate.ASSIGNED,
    "1107a": Fate.ASSIGNED,
    "1117a": Fate.ASSIGNED,
}

COACHING: Final = frozenset({"1124a"})
"""Observations that an admin sends somebody to for coaching alone."""

ASSIGNED_AHEAD: Final = at("2026-11-20 20:00")
"""When observers are sent to the games that are still to come."""


@dataclass(frozen=True)
class Facts:
    """What the observer says about a game; `first_dead_ball` is the first one seen."""

    talk: Talk = Talk.HELD
    seen: Seen = Seen.WHOLE
    part: str = ""
    difficulty: Difficulty | None = None
    note_to_admin: str = ""
    first_dead_ball: int = 3


FACTS: Final[Mapping[str, Facts]] = {
    "1008a": Facts(note_to_admin="Talk held at the scorer's table, with the site manager there."),
    "1008b": Facts(
        talk=Talk.IMPOSSIBLE, note_to_admin="The crew had to leave at once for a second game."
    ),
    "1013a": Facts(
        talk=Talk.DECLINED, note_to_admin="Talk declined; offered again by phone for next week."
    ),
    "1029a": Facts(seen=Seen.PART, part="second half", first_dead_ball=21),
    "1103a": Facts(note_to_admin="Talk held in the open gym, two coaches within sight."),
    "1117b": Facts(difficulty=Difficulty.DEMANDING),
    "1120a": Facts(note_to_admin="Talk held at the scorer's table, with the guardian there."),
}


@dataclass(frozen=True)
class Told:
    """A literal form. What isn't told is filled in as for every other form."""

    levels: str
    summary: str = ""
    notes: Mapping[str, Note] = field(default_factory=dict)
    comments: Mapping[str, str] = field(default_factory=dict)

    def by_criterion(self) -> dict[str, int | None]:
        """Levels by criterion, None for not seen; what is open is left out."""
        marks = zip(KEYS, self.levels.replace(" ", ""), strict=True)
        return {key: None if mark == "-" else int(mark) for key, mark in marks if mark != "."}


STILL, ROUTE, PARTS = KEYS[:3]
PLACE, SWITCH, BALL_WAITS = KEYS[3:6]
FACES, OPPOSITE, PLAYERS_FIRST = KEYS[6:9]
ARM, PRELIMINARY, HELD = KEYS[9:]

TOLD: Final[Mapping[tuple[str, str], Told]] = {
    # Somebody gets better over four observations.
    ("1006a", "birdsong"): Told(
        "223 233 122 433",
        summary="The whistle came in good time and was stood by. There is most to gain in the "
        "seconds after it: facing the players, with the table second.",
        notes={
            FACES: Note(14, "At 5:05 of the 2nd quarter body and head were to the table."),
            OPPOSITE: Note(23, "At 4:11 of the 3rd quarter the table side was kept to the end."),
            STILL: Note(9, "At 1:52 of the 1st quarter the number came in stride."),
            ARM: Note(20, "At 0:31 of the 2nd quarter whistle and straight arm were one movement."),
        },
        comments={FACES: "Players faced to the end of the report in 2 of 8 judged."},
    ),
    ("1020a", "birdsong"): Told(
        "233 334 233 343",
        summary="The players are now faced when a report begins. Next come the end of long "
        "reports, and both feet still before the first sign.",
        notes={
            FACES: Note(12, "At 6:20 of the 2nd quarter the turn to the table came at the number."),
            STILL: Note(27, "At 3:32 of the 3rd quarter the first sign came a step early."),
            PRELIMINARY: Note(33, "At 6:02 of the 4th quarter the push was shown at the spot."),
        },
        comments={FACES: "Players faced to the end of the report in 5 of 10 judged."},
    ),
    ("1105a", "birdsong"): Told(
        "334 344 343 444",
        summary="The place across was taken in most dead balls, and early. What is left is the "
        "stop before the first sign and the end of a long report.",
        notes={
            OPPOSITE: Note(18, "At 1:14 of the 2nd quarter five steps put the group in between."),
            FACES: Note(25, "At 5:58 of the 3rd quarter the ball won over the last sign."),
        },
        comments={FACES: "Players faced to the end of the report in 7 of 10 judged."},
    ),
    ("1117b", "birdsong"): Told(
        "445 444 445 454",
        summary="From the whistle to the end of the report the players were faced in nearly every "
        "dead ball judged. To stretch for: the last second of a long report.",
        notes={
            FACES: Note(36, "At 2:20 of the 4th quarter, in the noise, the chest stayed to Red."),
            PLAYERS_FIRST: Note(7, "At 3:41 of the 1st quarter the ball lay until all had turned."),
            PARTS: Note(29, "At 0:48 of the 3rd quarter the table wrote along without a question."),
        },
        comments={FACES: "Four observations: 2 of 8, 5 of 10, 7 of 10, and now 9 of 10."},
    ),
    # Somebody is seen twice by an observer who rates lower than the others, once by another.
    ("1009a", "thornquist"): Told("223 232 223 333"),
    ("1030a", "thornquist"): Told(
        "323 232 232 332",
        notes={
            SWITCH: Note(11, "At 7:02 of the 2nd quarter the switch began after the report."),
            OPPOSITE: Note(24, "At 4:37 of the 3rd quarter there was no move across."),
        },
    ),
    ("1110a", "thornquist"): Told("434 344 344 444"),
    # An answer leads to an amended letter.
    ("1022a", "mabry"): Told(
        "343 344 431 343",
        summary="Switches began unasked and ended in the code's place. There is most to gain in "
        "leaving the ball where it is until the players have parted.",
        notes={
            PLAYERS_FIRST: Note(
                17,
                "At 2:48 of the 2nd quarter the ball was fetched with Red and Green face to face.",
            )
        },
    ),
    # A review corrects one line from film.
    ("1015a", "zizka"): Told(
        "244 344 234 234",
        notes={
            FACES: Note(21, "At 7:31 of the 3rd quarter the table was faced from the number on."),
            ARM: Note(33, "At 5:30 of the 4th quarter the arm followed the whistle."),
        },
    ),
    # A review is asked for and still open.
    ("1114b", "brandvold"): Told(
        "323 233 322 323",
        notes={
            OPPOSITE: Note(6, "At 4:02 of the 1st quarter the place beside the group was kept."),
            SWITCH: Note(18, "At 1:40 of the 2nd quarter the switch began when the ball was live."),
        },
    ),
    # Too little is seen of one, just enough of the other.
    ("1029a", "haddadin"): Told("4-3 34- --3 43-"),
    ("1029a", "oshaughlin"): Told("34- 343 -34 4-3"),
    # A new official: two coaching letters, then a first total.
    ("1010a", "pritchett"): Told("222 232 222 233"),
    ("1031a", "pritchett"): Told("233 233 232 333"),
    ("1113a", "pritchett"): Told("333 334 333 343"),
    # A form that comes back.
    ("1112a", "demirel"): Told(
        "444 344 434 553",
        notes={ARM: Note(None, "Every time."), PRELIMINARY: Note(None, "Every time, at the spot.")},
    ),
    # Forms that are being written; the others of their crews are blank.
    ("1114a", "vuletin"): Told("344 334 4.. ..."),
    ("1124b", "oakley"): Told("344 3.. ... ..."),
}

RETURNED: Final = (
    "1112a",
    "demirel",
    "Two lines stand at “every time” and say no more than that. Please write what was seen, and "
    "at which dead ball.",
)


@dataclass(frozen=True)
class Answer:
    """An official's answer to a letter, with "this is not what happened" by criterion."""

    game: str
    official: str
    moment: datetime
    text: str
    lines: Mapping[str, str] = field(default_factory=dict)


ANSWERS: Final = (
    Answer(
        "1006a",
        "eddings",
        at("2026-10-14 21:05"),
        "Fair, and quick to read. I have asked for the film of the second half.",
    ),
    Answer(
        "1010b",
        "quintero",
        at("2026-10-19 20:40"),
        "Gracias por la carta. Lo que dice de los saques es cierto; lo probaré el lunes.",
    ),
    Answer(
        "1022a",
        "mabry",
        at("2026-10-26 20:10"),
        "The rest I recognise. One line I do not.",
        {
            PLAYERS_FIRST: "At dead ball 17 I had not moved. Green walked over and handed me the "
            "ball after the group had parted. It is on the home team's film."
        },
    ),
    Answer(
        "1030a",
        "thornquist",
        at("2026-11-04 19:20"),
        "The routes are right and I am working on them. At dead ball 11 I had made the call, so "
        "there was no switch for me to start.",
    ),
)

UNREAD: Final = frozenset({("1117b", "birdsong")})
"""Open letters that their official hasn't read yet, whatever chance says."""
