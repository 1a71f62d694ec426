"""What waits for whom: the lists that each role's first page is made of."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from django.db.models import Count, F, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce

from accounts.models import Membership
from evaluations.core.release import CORRECT_WITHIN, State
from evaluations.models import DeadBallLog, Evaluation, Observation, Release, Response, Review
from evaluations.queries.observations import IN_WORK
from evaluations.queries.releases import LETTER, current
from evaluations.queries.reviews import reviews_for, reviews_of

ANSWER_IS_NEW = timedelta(days=30)

RELATED = ("game__season", "observer__user", "rubric")


def _of_association(member: Membership) -> QuerySet[Observation]:
    return Observation.objects.filter(game__season__association=member.association).select_related(
        *RELATED
    )


def _with_counts(observations: QuerySet[Observation]) -> QuerySet[Observation]:
    """Each with `open_forms`, which the observer still writes, and `waiting`, which are submitted.

    They are counted for the rows that are read, so that a list costs as much as it shows.
    """
    return observations.annotate(open_forms=_count(IN_WORK), waiting=_count([State.SUBMITTED]))


def _count(states: Sequence[State]) -> Coalesce:
    forms = Evaluation.objects.filter(observation=OuterRef("pk"), state__in=states)
    counted = forms.order_by().values("observation").annotate(number=Count("pk"))
    return Coalesce(Subquery(counted.values("number")), 0)


def _own(observer: Membership) -> QuerySet[Observation]:
    """What an observer was sent to; `logged` counts the dead balls of its log, None without one."""
    found = _with_counts(_of_association(observer)).filter(observer=observer)
    return found.annotate(logged=_logged())


def _logged() -> Subquery:
    held = Count("dead_balls", filter=Q(dead_balls__removed_at__isnull=True))
    logs = DeadBallLog.objects.filter(observation=OuterRef("pk")).order_by().annotate(held=held)
    return Subquery(logs.values("held"))


def _holding(states: Sequence[State]) -> Q:
    """Observations with a form in one of these states; few are, whatever there is in all."""
    forms = Evaluation.objects.filter(state__in=states)
    return Q(pk__in=forms.order_by().values("observation"))


def to_do(observer: Membership) -> QuerySet[Observation]:
    """An observer's open work, the next due first: games to watch and forms to finish.

    A letter to amend is open work even if the rest of its observation was given up.
    """
    stands = Q(closed_at__isnull=True, game__cancelled_at__isnull=True)
    unfinished = Q(opened_at__isnull=True) | _holding(IN_WORK)
    amending = Evaluation.objects.filter(state__in=IN_WORK, releases__isnull=False)
    to_amend = Q(pk__in=amending.order_by().values("observation"))
    return _own(observer).filter((stands & unfinished) | to_amend).order_by("due_at", "pk")


def observed(observer: Membership) -> QuerySet[Observation]:
    """All that an observer was sent to, the last game first, done and closed ones included."""
    return _own(observer).order_by("-game__plays_at", "-pk")


def sent(observer: Membership) -> QuerySet[Evaluation]:
    """What an observer has handed in, the newest first."""
    return (
        Evaluation.objects.filter(
            observation__observer=observer, state__in=[State.SUBMITTED, State.RELEASED]
        )
        .select_related("observation__game", "official__user")
        .order_by("-submitted_at", "-pk")
    )


def reviews_to_do(observer: Membership) -> QuerySet[Review]:
    """The reviews that an observer was given and has not closed."""
    return reviews_of(observer).filter(closed_at__isnull=True).order_by("assigned_at", "pk")


def waiting_for_release(admin: Membership) -> QuerySet[Observation]:
    """Observations whose whole crew is in, the longest waiting first; none of an own crew.

    What an admin closed before it was submitted holds nobody up.
    """
    waits = _with_counts(_of_association(admin)).filter(_holding([State.SUBMITTED]))
    ready = waits.filter(~_holding(IN_WORK) | Q(closed_at__isnull=False))
    return ready.exclude(game__crew__official=admin).order_by("game__plays_at", "pk")


def overdue(admin: Membership, now: datetime) -> QuerySet[Observation]:
    """Observations with forms due that are not in, the oldest first."""
    return (
        _with_counts(_of_association(admin))
        .filter(
            Q(opened_at__isnull=True) | _holding(IN_WORK),
            due_at__lt=now,
            closed_at__isnull=True,
            game__cancelled_at__isnull=True,
        )
        .order_by("due_at", "pk")
    )


def open_reviews(admin: Membership) -> QuerySet[Review]:
    """Reviews asked for and not closed, those without a reviewer first; none of an own crew."""
    unclosed = reviews_for(admin).filter(closed_at__isnull=True)
    return unclosed.order_by(F("assigned_at").asc(nulls_first=True), "asked_at")


def new_answers(admin: Membership, now: datetime) -> QuerySet[Release]:
    """Current letters of others that were answered lately: somebody should read the answer."""
    return _answered().filter(
        ~Q(evaluation__observation__game__crew__official=admin),
        evaluation__official__association=admin.association,
        response__answered_at__gte=now - ANSWER_IS_NEW,
    )


def answers_to(observer: Membership, now: datetime) -> QuerySet[Release]:
    """Current letters that an observer wrote and may still correct, because of their answers."""
    return _answered().filter(
        evaluation__observation__observer=observer,
        evaluation__state=State.RELEASED,
        response__answered_at__gte=now - CORRECT_WITHIN,
    )


def _answered() -> QuerySet[Release]:
    few = Response.objects.order_by().values("release")
    return (
        current(Release.objects.filter(pk__in=few))
        .select_related("evaluation__observation__game", "evaluation__official__user", "response")
        .defer(*LETTER)
        .order_by("-response__answered_at")
    )
