"""The usual course of a game: an observer is sent, watches, writes; the crew's letters go out."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from functools import partial
from random import Random
from typing import Final

from evaluations.core.games import Difficulty, Kind, Talk
from evaluations.services.evaluation_rows import RatingInput
from seed_demo.chance import chance
from seed_demo.demo import Demo, Words, as_raised
from seed_demo.floor import schedule_floor
from seed_demo.logs import LOGS, LogPlan, as_counted
from seed_demo.moments import DAY, GAMES_BEGIN, HOUR, NOW, on
from seed_demo.notebook import WHISTLES, Note, Notebook, Page, texts
from seed_demo.people import EVERYBODY
from seed_demo.profiles import RatingFactory, levels_of, profile_of
from seed_demo.scenarios import (
    ANSWERS,
    ASSIGNED_AHEAD,
    COACHING,
    FACTS,
    FATES,
    TOLD,
    UNREAD,
    Facts,
    Fate,
    Told,
)
from seed_demo.schedule import PlannedGame

DIFFICULTIES: Final = (*Difficulty, Difficulty.ORDINARY)
ANSWERED: Final = frozenset((answer.game, answer.official) for answer in ANSWERS)
DAYS_OF_A_MONTH: Final = 30


def schedule(demo: Demo, plan: PlannedGame) -> None:
    """Put everything about one game on the timeline."""
    if not plan.observer:
        return
    kind = Kind.COACHING if plan.key in COACHING else Kind.SCORED
    sent_at = ASSIGNED_AHEAD if plan.plays_at > NOW else on(plan.plays_at - 6 * DAY, "20:00")
    demo.timeline.add(sent_at, partial(demo.send, plan, kind))
    if FATES.get(plan.key) is not Fate.ASSIGNED:
        demo.timeline.add(plan.plays_at - HOUR, partial(_plan_evening, demo, plan))


def _plan_evening(demo: Demo, plan: PlannedGame, now: datetime) -> None:
    """The observer comes when the game is played, which may be later than planned."""
    delay = demo.games[plan.key].plays_at - plan.plays_at
    demo.timeline.add(now + delay + HOUR / 2, partial(_begin, demo, plan))


def _begin(demo: Demo, plan: PlannedGame, now: datetime) -> None:
    """Open the observation, and plan what the observer does afterwards."""
    demo.open(plan.key, now)
    if FATES.get(plan.key) is Fate.OPENED:
        return
    source = chance("evening", plan.key)
    facts = FACTS.get(plan.key, Facts())
    logged = LOGS.get(plan.key)
    whistles = logged.whistles if logged else WHISTLES
    demo.notebooks[plan.key] = Notebook(source, plan.minutes, facts.first_dead_ball, whistles)
    if logged:
        demo.timeline.add(now + HOUR / 2, partial(_log, demo, plan, logged))
    afterwards = now + 2 * HOUR + source.randrange(20) * timedelta(minutes=1)
    demo.timeline.add(afterwards, partial(_say, demo, plan, facts))
    for place, official in enumerate(plan.crew):
        written = afterwards + (place + 1) * timedelta(minutes=17)
        demo.timeline.add(written, partial(_write, demo, plan, official))
    if FATES.get(plan.key) is Fate.WRITING:
        return
    handed_in = on(now + source.choice((DAY, DAY, 2 * DAY)), source.choice(("07:10", "12:30")))
    for official in plan.crew:
        demo.timeline.add(handed_in, partial(demo.submit, plan.key, official))
    if plan.key not in FATES:
        demo.timeline.add(on(handed_in + DAY, "17:30"), partial(_release, demo, plan))


def _log(demo: Demo, plan: PlannedGame, logged: LogPlan, now: datetime) -> None:
    levels = {official: _deserved(plan, official)[0] for official in plan.crew}
    demo.log(plan.key, logged, levels, now)
    schedule_floor(demo, plan.key, logged, now)


def _deserved(plan: PlannedGame, official: str) -> tuple[dict[str, int | None], Random]:
    """The levels of one form before anybody looks at the log, and its chance from there on."""
    told = TOLD.get((plan.key, official))
    source = chance("form", plan.key, official)
    if told:
        return told.by_criterion(), source
    shown = LOGS[plan.key].shown.get(official, {}) if plan.key in LOGS else {}
    return {**_levels(plan, official, source), **shown}, source


def _say(demo: Demo, plan: PlannedGame, facts: Facts, now: datetime) -> None:
    source = chance("facts", plan.key)
    difficulty = facts.difficulty or source.choice(DIFFICULTIES)
    demo.say(plan.key, facts, difficulty, source.choice(texts("en")["raised"]), now)


def _write(demo: Demo, plan: PlannedGame, official: str, now: datetime) -> None:
    """Ratings and words about one official; a form still being written has no words yet."""
    told = TOLD.get((plan.key, official))
    writing = FATES.get(plan.key) is Fate.WRITING
    if writing and told is None:
        return
    levels, source = _deserved(plan, official)
    form = demo.form(plan.key, official)
    spec, seen = demo.seen(form)
    own: frozenset[str] = frozenset()
    if not told:
        levels, own = as_counted(spec, levels, seen, source)
    page = demo.notebooks[plan.key].page(EVERYBODY[official].language, seen)
    form = demo.rate(form, ratings(levels, told, page, source, own), now)
    if writing:
        return
    words = demo.proposed_words(form)
    if told and told.summary:
        words = Words(told.summary, words.strengths, words.next_steps)
    elif source.random() < 0.5:
        words = _in_own_words(words, page)
    if FACTS.get(plan.key, Facts()).talk is Talk.HELD:
        apart = source.randrange(10)
        words = as_raised(words, apart)
    demo.word(form, words, now)


def _levels(plan: PlannedGame, official: str, source: Random) -> dict[str, int | None]:
    months = (plan.plays_at - GAMES_BEGIN).days / DAYS_OF_A_MONTH
    lean = EVERYBODY[plan.observer].lean
    return levels_of(profile_of(official), months=months, lean=lean, source=source)


def ratings(
    levels: Mapping[str, int | None],
    told: Told | None,
    page: Page,
    source: Random,
    own: frozenset[str] = frozenset(),
) -> tuple[RatingInput, ...]:
    """The answers of one form; notes and comments that are told literally stay as they are.

    `own` are the criteria rated otherwise than the log suggests, which need a reason.
    """
    made = []
    for criterion, level in levels.items():
        literal: dict[str, Note | str] = {}
        if told and criterion in told.notes:
            literal["note"] = told.notes[criterion]
        if told and criterion in told.comments:
            literal["comment"] = told.comments[criterion]
        if criterion in own:
            literal["reason"] = page.reason()
        made.append(
            RatingFactory.build(
                criterion=criterion, level=level, page=page, source=source, **literal
            )
        )
    return tuple(made)


def _in_own_words(words: Words, page: Page) -> Words:
    """The observer's own first sentence in place of the proposed one."""
    opener = page.opener()
    _proposed, found, second = words.summary.partition(". ")
    if not (opener and found):
        return words
    return Words(f"{opener} {second}", words.strengths, words.next_steps)


def _release(demo: Demo, plan: PlannedGame, now: datetime) -> None:
    made = demo.release(plan.key, now)
    opens_at = made[0].opens_at
    for official in plan.crew:
        key = plan.key, official
        source = chance("reading", *key)
        if key not in UNREAD | ANSWERED and source.random() < 0.8:
            read_at = opens_at + HOUR * source.randrange(1, 40)
            demo.timeline.add(read_at, partial(demo.read, *key))
