"""What waits for whom: the lists that each role's first page is made of."""

from __future__ import annotations

from datetime import datetime

from django.db.models import Count, Exists, F, OuterRef, Q, QuerySet

from accounts.models import Membership
from evaluations.core.release import CORRECT_WITHIN, State
from evaluations.models import Evaluation, Observation, Release, ReleaseEvent, Review
from evaluations.queries.releases import LETTER, current

RELATED = ("game__season", "observer__user", "rubric")


def _of_association(member: Membership) -> QuerySet[Observation]:
    return Observation.objects.filter(game__season__association=member.association).select_related(
        *RELATED
    )


def _with_counts(observations: QuerySet[Observation]) -> QuerySet[Observation]:
    """Each with `open_forms` (draft or returned), `waiting` (submitted) and `done` (released)."""
    state = "evaluations__state"
    return observations.annotate(
        open_forms=Count(
            "evaluations", filter=Q(**{f"{state}__in": [State.DRAFT, State.RETURNED]})
        ),
        waiting=Count("evaluations", filter=Q(**{state: State.SUBMITTED})),
        done=Count("evaluations", filter=Q(**{state: State.RELEASED})),
    )


def to_do(observer: Membership) -> QuerySet[Observation]:
    """An observer's open work, the next due first: games to watch and forms to finish."""
    own = _with_counts(_of_association(observer)).filter(
        observer=observer, closed_at__isnull=True, game__cancelled_at__isnull=True
    )
    return own.filter(Q(opened_at__isnull=True) | Q(open_forms__gt=0)).order_by("due_at", "pk")


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
    return _open_reviews(observer).filter(reviewer=observer).order_by("assigned_at", "pk")


def _open_reviews(member: Membership) -> QuerySet[Review]:
    return (
        Review.objects.filter(
            closed_at__isnull=True,
            release__evaluation__official__association=member.association,
        )
        .select_related(
            "release__evaluation__observation__game",
            "release__evaluation__official__user",
            "reviewer__user",
        )
        .defer(*(f"release__{column}" for column in LETTER))
    )


def waiting_for_release(admin: Membership) -> QuerySet[Observation]:
    """Observations whose whole crew is in, the longest waiting first; none of an own crew.

    What an admin closed before it was submitted holds nobody up.
    """
    counted = _with_counts(_of_association(admin))
    ready = counted.filter(Q(waiting__gt=0), Q(open_forms=0) | Q(closed_at__isnull=False))
    return ready.exclude(game__crew__official=admin).order_by("game__plays_at", "pk")


def overdue(admin: Membership, now: datetime) -> QuerySet[Observation]:
    """Observations with forms due that are not in, the oldest first."""
    counted = _with_counts(_of_association(admin))
    return counted.filter(
        Q(opened_at__isnull=True) | Q(open_forms__gt=0),
        due_at__lt=now,
        closed_at__isnull=True,
        game__cancelled_at__isnull=True,
    ).order_by("due_at", "pk")


def open_reviews(admin: Membership) -> QuerySet[Review]:
    """Reviews asked for and not closed, those without a reviewer first; none of an own crew."""
    return (
        _open_reviews(admin)
        .exclude(release__evaluation__observation__game__crew__official=admin)
        .order_by(F("assigned_at").asc(nulls_first=True), "asked_at")
    )


def new_answers(admin: Membership) -> QuerySet[Release]:
    """Answered letters of others that are still current: somebody should read the answer."""
    return _answered().filter(
        ~Q(evaluation__observation__game__crew__official=admin),
        evaluation__official__association=admin.association,
    )


def answers_to(observer: Membership, now: datetime) -> QuerySet[Release]:
    """Current letters that an observer wrote and may still correct, because of their answers."""
    return _answered().filter(
        evaluation__observation__observer=observer,
        evaluation__state=State.RELEASED,
        response__answered_at__gte=now - CORRECT_WITHIN,
    )


def _answered() -> QuerySet[Release]:
    responded = ReleaseEvent.objects.filter(
        release=OuterRef("pk"), kind=ReleaseEvent.Kind.RESPONDED
    )
    return (
        current(Release.objects.filter(Exists(responded)))
        .select_related("evaluation__observation__game", "evaluation__official__user", "response")
        .defer(*LETTER)
        .order_by("-response__answered_at")
    )
