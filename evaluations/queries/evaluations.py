"""Evaluations as those who write or read them may see them, and as core values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from django.db.models import Q, QuerySet

from accounts.models import Membership, Role
from evaluations.core.games import too_late
from evaluations.core.mechanics.counts import Count
from evaluations.core.next_steps import (
    Draft,
    FormProblem,
    NextStep,
    Strength,
    problems,
    steps_allowed,
    withheld_for,
)
from evaluations.core.ratings import Rating, with_needed_reasons
from evaluations.core.release import State, Who
from evaluations.core.rubric import RubricSpec
from evaluations.core.scoring import ScoreCard, score
from evaluations.models import Evaluation, Observation
from evaluations.queries.logs import JudgedLog, counts_of, judged_of
from evaluations.queries.rubrics import rubric_spec

RELATED = (
    "observation__game__season__association",
    "observation__rubric__season__association",
    "observation__observer__user",
    "official__user",
    "flagged",
)


def evaluations_for(member: Membership) -> QuerySet[Evaluation]:
    """What `member` may read: an observer the own ones, an admin all that was ever submitted.

    An official reads letters, never an evaluation; a board member reads released ones. Nobody
    reads here about a crew that he or she belongs to.
    """
    mine = Q(observation__observer=member)
    others = Q(pk__in=[])
    if Role.ADMIN in member.roles:
        others = ~Q(state=State.DRAFT)
    elif Role.BOARD in member.roles:
        others = Q(state=State.RELEASED)
    elsewhere = ~Q(observation__game__crew__official=member)
    return Evaluation.objects.filter(
        Q(observation__game__season__association=member.association), mine | others, elsewhere
    ).select_related(*RELATED)


def own_work(member: Membership) -> QuerySet[Evaluation]:
    """The evaluations that `member` writes as an observer."""
    return Evaluation.objects.filter(
        observation__observer=member,
        observation__game__season__association=member.association,
    ).select_related(*RELATED)


def crew_forms(observation: Observation) -> list[Evaluation]:
    """The evaluations of everybody in a crew as they are stored now, by position."""
    forms = Evaluation.objects.filter(observation=observation).select_related(*RELATED)
    return list(forms.order_by("position", "pk"))


def only_coaching_left(evaluation: Evaluation, now: datetime) -> bool:
    """Whether this form is too late for a total; it can still become coaching.

    For an observer who was sent after the game the days count from then.
    """
    observation = evaluation.observation
    since = max(observation.game.plays_at, observation.assigned_at)
    late = too_late(since, evaluation.submitted_at, now)
    return late and evaluation.kind == Evaluation.Kind.SCORED


def stands_to(member: Membership, evaluation: Evaluation) -> frozenset[Who]:
    """What a member is to an evaluation; nobody administers letters to the own crew."""
    found = set()
    if evaluation.observation.observer_id == member.pk:
        found.add(Who.AUTHOR)
    if evaluation.official_id == member.pk:
        found.add(Who.SUBJECT)
    elif Role.ADMIN in member.roles and _stands_apart(member, evaluation):
        found.add(Who.ADMIN)
    return frozenset(found)


def _stands_apart(admin: Membership, evaluation: Evaluation) -> bool:
    game = evaluation.observation.game
    same = admin.association_id == evaluation.official.association_id
    return same and not game.crew.filter(official=admin).exists()


@dataclass(frozen=True, slots=True)
class Worksheet:
    """An evaluation as core sees it: rubric, what the form holds, the score, what is missing.

    `log` is None without a finding in one; `counts` is what it says, by criterion. A reason for a
    level that is as counted after all stays in its row and is not in `draft`.
    """

    rubric: RubricSpec
    draft: Draft
    log: JudgedLog | None
    counts: Mapping[str, Count]
    card: ScoreCard
    problems: tuple[FormProblem, ...]


def worksheet(evaluation: Evaluation) -> Worksheet:
    """Read one evaluation whole; a bounded number of queries."""
    rubric = evaluation.observation.rubric
    assert rubric is not None  # an evaluation is made when its observation is opened
    spec = rubric_spec(rubric)
    log = judged_of(evaluation.observation)
    counts = counts_of(log, evaluation, spec)
    stored = draft_of(evaluation)
    draft = replace(stored, ratings=with_needed_reasons(spec, stored.ratings, counts))
    official = evaluation.official
    card = score(
        spec,
        draft.ratings,
        withhold=withheld_for(
            coaching=evaluation.kind == Evaluation.Kind.COACHING, under_18=official.under_18
        ),
    )
    at_most = steps_allowed(new_official=official.new_official)
    found = problems(spec, card, draft, counts=counts, steps_at_most=at_most)
    return Worksheet(spec, draft, log, counts, card, found)


def draft_of(evaluation: Evaluation) -> Draft:
    """What the form holds. A row with neither a level nor "not seen" is not answered yet."""
    return Draft(
        ratings=tuple(
            Rating(
                criterion=r.criterion.key,
                level=r.level,
                comment=r.comment,
                dead_ball=r.dead_ball,
                evidence=r.evidence,
                reason=r.reason,
            )
            for r in evaluation.ratings.select_related("criterion")
            if r.level is not None or r.not_seen
        ),
        strengths=tuple(
            Strength(s.criterion.key, s.seen, s.dead_ball, s.raised)
            for s in evaluation.strengths.select_related("criterion")
        ),
        next_steps=tuple(
            NextStep(
                criterion=s.criterion.key,
                seen=s.seen,
                standard=s.standard,
                why=s.why,
                try_this=s.try_this,
                check=s.how_we_check,
                dead_ball=s.dead_ball,
                raised=s.raised,
            )
            for s in evaluation.next_steps.select_related("criterion")
        ),
        summary=evaluation.summary,
    )
