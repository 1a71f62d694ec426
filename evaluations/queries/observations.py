"""Observations as observers and admins see them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from django.db.models import Count, Exists, OuterRef, Q, QuerySet

from accounts.models import Membership, Role
from evaluations.core.games import Difficulty, Seen
from evaluations.core.names import looks_like_full_name
from evaluations.core.release import State
from evaluations.models import (
    CrewMember,
    Criterion,
    DeadBallLog,
    Evaluation,
    Game,
    Observation,
    Rubric,
)
from evaluations.queries.releases import releases_for
from evaluations.queries.rubrics import published_rubric

OPENS_BEFORE = timedelta(days=1)
"""An observation may be opened from this long before the game."""

IN_WORK = (State.DRAFT, State.RETURNED)
"""States in which the observer still writes."""

RELATED = ("game__season__association", "observer__user", "rubric__season__association")


def own_observations(member: Membership) -> QuerySet[Observation]:
    """What `member` was sent to as an observer, in the order of play."""
    return Observation.objects.filter(
        observer=member, game__season__association=member.association
    ).select_related(*RELATED)


def observations_for(member: Membership) -> QuerySet[Observation]:
    """Own ones; an admin sees all but those of a crew that he or she belongs to."""
    if Role.ADMIN not in member.roles:
        return own_observations(member)
    whistled = CrewMember.objects.filter(game=OuterRef("game"), official=member)
    return Observation.objects.filter(
        ~Exists(whistled), game__season__association=member.association
    ).select_related(*RELATED)


def rubric_in_force(game: Game) -> Rubric | None:
    """The edition that held when the game was played; if none did, the newest one published."""
    then = game.season.rubrics.filter(
        state=Rubric.State.PUBLISHED, published_at__lte=game.plays_at
    ).order_by("-edition")
    return then.first() or published_rubric(game.season)


def is_blank(evaluation: Evaluation) -> bool:
    """Whether nobody wrote anything into a form yet."""
    answered = evaluation.ratings.exclude(
        level__isnull=True,
        not_seen=False,
        comment="",
        evidence="",
        reason="",
        dead_ball__isnull=True,
    )
    return not (
        evaluation.state != State.DRAFT
        or evaluation.summary.strip()
        or answered.exists()
        or evaluation.strengths.exists()
        or evaluation.next_steps.exists()
    )


def facts_said(observation: Observation) -> bool:
    """Whether the observer has said anything of the game; a whole, ordinary one is assumed."""
    return bool(
        observation.talk
        or observation.raised
        or observation.note_to_admin
        or observation.seen != Seen.WHOLE
        or observation.difficulty != Difficulty.ORDINARY
    )


class Step(StrEnum):
    """What comes next for the observer."""

    CANCELLED = "cancelled"
    CLOSED = "closed"
    WAIT = "wait"
    OPEN = "open"
    FACTS = "facts"
    FORMS = "forms"
    SENT = "sent"


@dataclass(frozen=True, slots=True)
class CrewWork:
    """One of the crew, how far the form is (None: not opened yet), and its newest letter's key."""

    member: CrewMember
    evaluation: Evaluation | None
    answered: int
    not_seen: int
    letter: int | None


@dataclass(frozen=True, slots=True)
class ObservationSheet:
    """An observation with all that its page shows.

    `mine`: the reader is its observer. `log` is None until one is begun, with `dead_balls` counted
    in it. `criteria` counts the rubric's; `young` are those of the
    crew who are under 18; `names` are words in the free text that look like a full name.
    """

    observation: Observation
    mine: bool
    step: Step
    log: DeadBallLog | None
    dead_balls: int
    played: bool
    crew: tuple[CrewWork, ...]
    criteria: int
    young: tuple[str, ...]
    names: tuple[str, ...]
    opens_from: datetime
    overdue: bool

    @property
    def next_form(self) -> Evaluation | None:
        """The first form that the observer still writes."""
        forms = (work.evaluation for work in self.crew)
        return next((form for form in forms if form and form.state in IN_WORK), None)

    @property
    def facts_said(self) -> bool:
        return facts_said(self.observation)

    @property
    def facts_open(self) -> bool:
        return self.step in (Step.FACTS, Step.FORMS)

    @property
    def log_first(self) -> bool:
        """Whether logging is what comes next: before the game, and until the final whistle."""
        if not self.mine or not self.facts_open or self.observation.talk:
            return False
        return not self.played if self.log is None else self.log.ended_at is None

    @property
    def can_close(self) -> bool:
        return self.step not in (Step.CANCELLED, Step.CLOSED, Step.SENT)

    @property
    def can_reassign(self) -> bool:
        forms = [work.evaluation for work in self.crew if work.evaluation]
        return self.can_close and all(form.state == State.DRAFT for form in forms)


def observation_sheet(
    observation: Observation, asker: Membership, now: datetime
) -> ObservationSheet:
    """Read what the page shows to `asker`, in a bounded number of queries."""
    game = observation.game
    crew = _crew(observation, asker, now)
    step = _step(observation, [work.evaluation for work in crew if work.evaluation], now)
    log = DeadBallLog.objects.filter(observation=observation).first()
    return ObservationSheet(
        observation=observation,
        mine=observation.observer_id == asker.pk,
        step=step,
        log=log,
        dead_balls=log.dead_balls.filter(removed_at=None).count() if log else 0,
        played=now >= game.plays_at,
        crew=crew,
        criteria=Criterion.objects.filter(area__rubric=observation.rubric).count(),
        young=tuple(str(w.member.official) for w in crew if w.member.official.under_18),
        names=names_in(observation, observation.raised, observation.note_to_admin),
        opens_from=game.plays_at - OPENS_BEFORE,
        overdue=now > observation.due_at and step in (Step.OPEN, Step.FACTS, Step.FORMS),
    )


def _crew(observation: Observation, asker: Membership, now: datetime) -> tuple[CrewWork, ...]:
    released = releases_for(asker, now).filter(evaluation__observation=observation)
    letters = dict(released.order_by("serial").values_list("evaluation", "pk"))
    forms = {
        form.official_id: form
        for form in observation.evaluations.annotate(
            answered=Count(
                "ratings", filter=Q(ratings__level__isnull=False) | Q(ratings__not_seen=True)
            ),
            unseen=Count("ratings", filter=Q(ratings__not_seen=True)),
        )
    }
    return tuple(
        CrewWork(
            member=member,
            evaluation=form,
            answered=form.answered if form else 0,
            not_seen=form.unseen if form else 0,
            letter=letters.get(form.pk) if form else None,
        )
        for member in observation.game.crew.select_related("official__user")
        for form in [forms.get(member.official_id)]
    )


def _step(observation: Observation, forms: list[Evaluation], now: datetime) -> Step:
    game = observation.game
    if observation.closed_at is not None:
        return Step.CANCELLED if game.cancelled_at is not None else Step.CLOSED
    if observation.opened_at is None:
        return Step.OPEN if now >= game.plays_at - OPENS_BEFORE else Step.WAIT
    if not any(form.state in IN_WORK for form in forms):
        return Step.SENT
    return Step.FACTS if now >= game.plays_at and not observation.talk else Step.FORMS


def known_names(observation: Observation) -> tuple[str, ...]:
    """Names that may stand in an observer's text: crew, observer, teams, site, association."""
    crew = observation.game.crew.select_related("official__user")
    return (*(str(member.official) for member in crew), *_around_the_crew(observation))


def _around_the_crew(observation: Observation) -> tuple[str, ...]:
    game = observation.game
    return (
        str(observation.observer),
        game.home,
        game.visitors,
        game.site,
        game.level_of_play,
        game.season.association.name,
    )


@dataclass(frozen=True, slots=True)
class Names:
    """Of those around one letter: `crew_mates` have no place in it, `others` may stand there."""

    crew_mates: tuple[str, ...]
    others: tuple[str, ...]


def letter_names(evaluation: Evaluation) -> Names:
    """The names around the letter that an evaluation becomes."""
    observation = evaluation.observation
    crew = observation.game.crew.select_related("official__user")
    mates = (str(m.official) for m in crew if m.official_id != evaluation.official_id)
    return Names(tuple(mates), (str(evaluation.official), *_around_the_crew(observation)))


def names_in(observation: Observation, *texts: str) -> tuple[str, ...]:
    """The words in each of the texts that look like somebody's full name; none is usual."""
    if not any(texts):
        return ()
    known = known_names(observation)
    found = (looks_like_full_name(text, known) for text in texts)
    return tuple(words for words in found if words)
