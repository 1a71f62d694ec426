"""The demo while it is made: everybody and everything by key, and one verb for each service."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime

from accounts.models import Association, Membership
from evaluations.core import games
from evaluations.core.floor.frames import Frame
from evaluations.core.floor.sketch import Instant
from evaluations.core.games import CrewPosition, Difficulty, Kind, Talk
from evaluations.core.mechanics import facts
from evaluations.core.next_steps import NextStep, Strength
from evaluations.core.rubric import RubricSpec
from evaluations.queries.codes import code_of, engine_of
from evaluations.queries.evaluations import own_work
from evaluations.queries.letter_words import word_sheet
from evaluations.queries.logs import dead_ball_value, judged_of, log_of
from evaluations.queries.rubrics import rubric_spec
from evaluations.services.answers import acknowledge, respond
from evaluations.services.evaluation_rows import RatingInput
from evaluations.services.evaluations import save_ratings, save_words, submit
from evaluations.services.floor import keep_eyes, keep_sketch, state_film
from evaluations.services.log_edits import end_log
from evaluations.services.logs import begin_log, log_dead_ball
from evaluations.services.observations import assign_observer, change_facts, open_observation
from evaluations.services.releases import release_crew
from evaluations.voice import SiteVoice
from seed_demo.chance import chance
from seed_demo.facing import marked
from seed_demo.logs import LogPlan, Seen, seen_of
from seed_demo.moments import MINUTE
from seed_demo.notebook import Notebook
from seed_demo.people import FIRST_ADMIN
from seed_demo.placing import drawn
from seed_demo.rows import (
    DeadBall,
    DeadBallLog,
    Evaluation,
    FilmStatement,
    Game,
    Observation,
    Release,
)
from seed_demo.scenarios import Answer, Facts
from seed_demo.schedule import PlannedGame, planned_games
from seed_demo.timeline import Timeline
from seed_demo.whistles import Crew, Levels


@dataclass(frozen=True)
class Words:
    """A letter's words as the observer leaves them."""

    summary: str
    strengths: tuple[Strength, ...]
    next_steps: tuple[NextStep, ...]


@dataclass
class Demo:
    """Games and observations by the game's key, releases by game and official: the newest.

    `made` counts the letters, amended ones included.
    """

    association: Association
    members: Mapping[str, Membership]
    games: dict[str, Game]
    timeline: Timeline = field(default_factory=Timeline)
    observations: dict[str, Observation] = field(default_factory=dict)
    notebooks: dict[str, Notebook] = field(default_factory=dict)
    releases: dict[tuple[str, str], Release] = field(default_factory=dict)
    plans: Mapping[str, PlannedGame] = field(
        default_factory=lambda: {plan.key: plan for plan in planned_games()}
    )
    made: int = 0

    @property
    def admin(self) -> Membership:
        return self.members[FIRST_ADMIN.key]

    def send(self, plan: PlannedGame, kind: Kind, now: datetime) -> None:
        self.observations[plan.key] = assign_observer(
            game=self.games[plan.key],
            observer=self.members[plan.observer],
            kind=kind,
            by=self.admin,
            now=now,
        )

    def open(self, game: str, now: datetime) -> None:
        observation = self.observations[game]
        self.observations[game] = open_observation(
            observation=observation, by=observation.observer, now=now
        )

    def log(self, game: str, plan: LogPlan, levels: Mapping[str, Levels], now: datetime) -> None:
        """Keep the log of a game that is played now, a dead ball every two minutes. `levels` are
        those that the officials deserve, by their key.
        """
        observation = self.observations[game]
        notebook, by = self.notebooks[game], observation.observer
        log = begin_log(
            observation=observation,
            seat=plan.seat,
            kept=plan.kept,
            every_nth=plan.every_nth,
            source=plan.source,
            focus=plan.focus,
            agreed=sorted(plan.agreed),
            left_end=None,
            by=by,
            now=now,
        )
        code = code_of(observation)
        assert code is not None  # the demo's rubric names both
        crew = Crew(
            engine=engine_of(code, film_rules=False),
            levels={self.place(game, key): given for key, given in levels.items()},
            chance=chance("log", game),
            agreed=plan.agreed,
        )
        for ball in crew.whistles(notebook.moments, plan.scenes):
            log_dead_ball(log=log, ball=ball, by=by, now=now + 2 * ball.number * MINUTE)
        if plan.ended:
            final = now + 2 * len(notebook.moments) * MINUTE + MINUTE

            def end(moment: datetime) -> None:
                end_log(log=log, by=by, now=moment)

            self.timeline.add(final, end)

    def draw(
        self,
        game: str,
        number: int,
        instant: Instant,
        source: facts.Source,
        lost: bool,
        now: datetime,
    ) -> None:
        """Sketch one moment of a dead ball; `lost`: the players were, whatever the log has."""
        row, ball = self._logged(game, number, lost)
        crew, frame = len(self.plans[game].crew), Frame(self.association.court)
        source_of_chance = chance("floor", game, str(number), instant)
        sketch = drawn(ball, crew, frame, instant, source, source_of_chance)
        keep_sketch(dead_ball=row, sketch=sketch, by=self.observations[game].observer, now=now)

    def state_film(
        self, game: str, owner: FilmStatement.Owner, permission: str, now: datetime
    ) -> None:
        log, observer = self._log(game), self.observations[game].observer
        state_film(log=log, owner=owner, permission=permission, by=observer, now=now)

    def mark_eyes(self, game: str, number: int, lost: bool, now: datetime) -> None:
        """Mark on film who faced the players at a dead ball; `lost` as in `draw`."""
        row, ball = self._logged(game, number, lost)
        found = marked(ball, len(self.plans[game].crew), chance("eyes", game, str(number)))
        keep_eyes(
            dead_ball=row,
            whistle_at=found.whistle_at,
            report_ended_at=found.report_ended_at,
            live_at=found.live_at,
            marks=found.marks,
            by=self.observations[game].observer,
            now=now,
        )

    def _log(self, game: str) -> DeadBallLog:
        log = log_of(self.observations[game])
        assert log is not None
        return log

    def _logged(self, game: str, number: int, lost: bool) -> tuple[DeadBall, facts.DeadBall]:
        row = self._log(game).dead_balls.get(number=number)
        ball = dead_ball_value(row)
        if lost:
            ball = replace(ball, eyes=facts.Eyes(kept=False, lost=facts.Moment.REPORT))
        return row, ball

    def place(self, game: str, official: str) -> CrewPosition:
        return self.plans[game].place_of(official)

    def seen(self, form: Evaluation) -> tuple[RubricSpec, Mapping[str, Seen]]:
        """A form's rubric, and what the log holds about its official by criterion."""
        assert form.observation.rubric is not None
        spec = rubric_spec(form.observation.rubric)
        found = judged_of(form.observation)
        position = CrewPosition(form.position)
        return spec, {} if found is None else seen_of(spec, found, position)

    def say(
        self, game: str, facts: Facts, difficulty: Difficulty, raised: str, now: datetime
    ) -> None:
        observation = self.observations[game]
        self.observations[game] = change_facts(
            observation=observation,
            seen=games.Seen(facts.seen),
            part=facts.part,
            difficulty=difficulty,
            talk=facts.talk,
            raised=raised if facts.talk is Talk.HELD else "",
            note_to_admin=facts.note_to_admin,
            by=observation.observer,
            now=now,
        )

    def form(self, game: str, official: str) -> Evaluation:
        """An official's form of this game as it is stored now."""
        observation = self.observations[game]
        return own_work(observation.observer).get(
            observation=observation, official=self.members[official]
        )

    def rate(self, form: Evaluation, ratings: tuple[RatingInput, ...], now: datetime) -> Evaluation:
        return save_ratings(
            evaluation=form,
            version=form.version,
            ratings=ratings,
            flagged=None,
            by=form.observation.observer,
            now=now,
        )

    def proposed_words(self, form: Evaluation) -> Words:
        """What the page would begin with, without strengths that nothing was noted for."""
        voice = SiteVoice(form.official.user.language)
        found = word_sheet(form, self.association.language, voice).proposed
        return Words(
            found.summary,
            tuple(s for s in found.strengths if s.seen or s.dead_ball),
            found.next_steps,
        )

    def word(self, form: Evaluation, words: Words, now: datetime) -> Evaluation:
        return save_words(
            evaluation=form,
            version=form.version,
            summary=words.summary,
            strengths=words.strengths,
            next_steps=words.next_steps,
            by=form.observation.observer,
            now=now,
        )

    def submit(self, game: str, official: str, now: datetime) -> None:
        form = self.form(game, official)
        submit(evaluation=form, version=form.version, by=form.observation.observer, now=now)

    def release(self, game: str, now: datetime) -> list[Release]:
        """Release what waits of a crew; the letters by game and official are the new ones."""
        made = release_crew(observation=self.observations[game], by=self.admin, now=now)
        keys = {member.pk: key for key, member in self.members.items()}
        for release in made:
            self.releases[game, keys[release.evaluation.official_id]] = release
        self.made += len(made)
        return made

    def read(self, game: str, official: str, now: datetime) -> None:
        acknowledge(release=self.releases[game, official], by=self.members[official], now=now)

    def answer(self, answer: Answer) -> None:
        respond(
            release=self.releases[answer.game, answer.official],
            text=answer.text,
            lines=answer.lines,
            by=self.members[answer.official],
            now=answer.moment,
        )


def as_raised(words: Words, apart: int) -> Words:
    """The words after a talk: all was raised that night but the next step at place `apart`."""
    return replace(
        words,
        strengths=tuple(replace(s, raised=True) for s in words.strengths),
        next_steps=tuple(
            replace(step, raised=place != apart) for place, step in enumerate(words.next_steps)
        ),
    )
