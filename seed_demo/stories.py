"""What goes another way than usual, at literal moments."""

from __future__ import annotations

from datetime import datetime
from functools import partial
from typing import Final

from evaluations.services.answers import (
    ReviewInput,
    amend,
    ask_review,
    assign_reviewer,
    close_review,
)
from evaluations.services.evaluations import return_to_observer
from evaluations.services.games import cancel_game, move_game
from evaluations.services.observations import close_observation
from evaluations.services.releases import withdraw
from seed_demo.corrections import begin_correction, correct_technical
from seed_demo.demo import Demo, Words, as_raised
from seed_demo.founding import draft_next_edition
from seed_demo.moments import HOUR, NEXT_EDITION_DRAFTED, at
from seed_demo.notebook import Note
from seed_demo.people import SECOND_ADMIN
from seed_demo.profiles import RatingFactory
from seed_demo.rows import ReviewLine, Rubric
from seed_demo.scenarios import ANSWERS, ARM, FACES, PLAYERS_FIRST, RETURNED

AMENDED: Final = ("1022a", "mabry")
REVIEWED: Final = ("1015a", "zizka")
IN_REVIEW: Final = ("1114b", "brandvold")
WITHDRAWN: Final = ("1027a", "lindqvist")


def schedule_stories(demo: Demo, rubric: Rubric) -> None:
    """Put every story on the timeline."""
    add = demo.timeline.add
    add(at("2026-10-08 20:00"), partial(_move, demo))
    add(at("2026-11-06 16:00"), partial(_close, demo))
    add(at("2026-11-07 09:00"), partial(_cancel, demo))
    for answer in ANSWERS:
        add(answer.moment, partial(_answer, demo))
    add(at("2026-10-27 19:00"), partial(_amend, demo))
    add(at("2026-10-28 17:30"), partial(_release_amended, demo, AMENDED))
    add(at("2026-10-19 12:00"), partial(_ask_review, demo))
    add(at("2026-10-24 10:00"), partial(_release_amended, demo, REVIEWED))
    add(at("2026-11-02 10:00"), partial(_withdraw, demo))
    add(at("2026-11-14 10:00"), partial(_return, demo))
    add(at("2026-11-20 07:30"), partial(_ask_second_review, demo))
    add(at("2026-11-16 20:00"), partial(correct_technical, demo, rubric))
    add(at("2026-11-23 19:00"), partial(begin_correction, demo, rubric))
    add(NEXT_EDITION_DRAFTED, partial(draft_next_edition, demo, rubric))


def _move(demo: Demo, now: datetime) -> None:
    """Two games fell on one afternoon in one gym."""
    demo.games["1010b"] = move_game(
        game=demo.games["1010b"], plays_at=at("2026-10-12 19:00"), by=demo.admin, now=now
    )


def _close(demo: Demo, now: datetime) -> None:
    close_observation(
        observation=demo.observations["1106b"],
        reason="The observer is unwell and nobody else is free.",
        by=demo.admin,
        now=now,
    )


def _cancel(demo: Demo, now: datetime) -> None:
    cancel_game(game=demo.games["1107a"], reason="No power in the gym.", by=demo.admin, now=now)


def _answer(demo: Demo, now: datetime) -> None:
    for answer in ANSWERS:
        if answer.moment == now:
            demo.answer(answer)


def _amend(demo: Demo, now: datetime) -> None:
    """The observer looks at the film, and corrects the one line within the 48 hours."""
    amend(
        release=demo.releases[AMENDED],
        reason="Dead ball 17, from film: the ball was handed over.",
        by=demo.observations[AMENDED[0]].observer,
        now=now,
    )
    seen = "On film, at 2:48 of the 2nd quarter, Green handed the ball over after the group parted."
    corrected = RatingFactory.build(
        criterion=PLAYERS_FIRST, level=4, note=Note(17, seen), comment=""
    )
    form = demo.rate(demo.form(*AMENDED), (corrected,), now)
    proposed = demo.proposed_words(form)
    summary = (
        "Switches began unasked and ended in the code's place, and the ball was left until the "
        "players had parted. There is most to gain in the place across from the report."
    )
    words = Words(summary, proposed.strengths, proposed.next_steps)
    demo.word(form, as_raised(words, apart=0), now)
    demo.timeline.add(now + HOUR / 2, partial(demo.submit, *AMENDED))


def _release_amended(demo: Demo, key: tuple[str, str], now: datetime) -> None:
    demo.release(key[0], now)
    opens_at = demo.releases[key].opens_at
    demo.timeline.add(opens_at + 3 * HOUR, partial(demo.read, *key))


def _ask_review(demo: Demo, now: datetime) -> None:
    review = ask_review(
        release=demo.releases[REVIEWED],
        reason="The arm was up with the whistle in most of the second half; please look at film.",
        by=demo.members[REVIEWED[1]],
        now=now,
    )

    def assign(moment: datetime) -> None:
        assign_reviewer(review=review, reviewer=demo.members["zajac"], by=demo.admin, now=moment)

    def close(moment: datetime) -> None:
        review.refresh_from_db()
        close_review(
            review=review,
            lines=(
                ReviewInput(
                    ARM,
                    ReviewLine.Outcome.CORRECTED,
                    "On film whistle and arm come together in 6 of 9 stops, dead ball 33 aside.",
                    level=3,
                ),
                ReviewInput(
                    FACES,
                    ReviewLine.Outcome.STANDS,
                    "Dead ball 21 on film: chest to the table from the number on.",
                ),
            ),
            by=demo.members["zajac"],
            now=moment,
        )

    demo.timeline.add(at("2026-10-20 09:00"), assign)
    demo.timeline.add(at("2026-10-23 21:00"), close)


def _withdraw(demo: Demo, now: datetime) -> None:
    withdraw(
        release=demo.releases[WITHDRAWN],
        reason="It was written from the film of another game.",
        by=demo.members[SECOND_ADMIN.key],
        now=now,
    )


def _return(demo: Demo, now: datetime) -> None:
    game, official, note = RETURNED
    return_to_observer(evaluation=demo.form(game, official), note=note, by=demo.admin, now=now)


def _ask_second_review(demo: Demo, now: datetime) -> None:
    """Nobody is assigned to it yet: the admin has to."""
    ask_review(
        release=demo.releases[IN_REVIEW],
        reason="I made the calls at dead balls 6 and 18, so the lines about them are not mine.",
        by=demo.members[IN_REVIEW[1]],
        now=now,
    )
