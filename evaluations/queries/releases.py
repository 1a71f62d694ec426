"""Releases: who may read which letter, in which state each is, and a season's points from them."""

from __future__ import annotations

from datetime import datetime

from django.db.models import Case, Exists, OuterRef, QuerySet, Value, When
from django.db.models.fields import CharField

from accounts.models import Membership, Role
from evaluations.core.documents import from_document
from evaluations.core.letter import LetterContent
from evaluations.core.release import ReleaseSnapshot, State
from evaluations.core.season import SeasonPoint
from evaluations.models import Evaluation, Game, Release, ReleaseEvent, Season

RELATED = (
    "evaluation__observation__game__season__association",
    "evaluation__observation__observer__user",
    "evaluation__official__user",
)

# The later in a letter's life, the earlier in this list: the first event found is the state.
_LATEST_FIRST = (State.WITHDRAWN, State.SUPERSEDED, State.RESPONDED, State.ACKNOWLEDGED)


def with_state(releases: QuerySet[Release]) -> QuerySet[Release]:
    """The releases, each with `state`: that of its latest event, or released."""
    events = ReleaseEvent.objects.filter(release=OuterRef("pk"))
    return releases.annotate(
        state=Case(
            *(
                When(Exists(events.filter(kind=kind.value)), then=Value(kind.value))
                for kind in _LATEST_FIRST
            ),
            default=Value(State.RELEASED.value),
            output_field=CharField(),
        )
    )


def current(releases: QuerySet[Release]) -> QuerySet[Release]:
    """Those that are neither superseded nor withdrawn."""
    ended = ReleaseEvent.objects.filter(
        release=OuterRef("pk"),
        kind__in=[ReleaseEvent.Kind.SUPERSEDED, ReleaseEvent.Kind.WITHDRAWN],
    )
    return releases.exclude(Exists(ended))


def letters_to(member: Membership, now: datetime) -> QuerySet[Release]:
    """An official's own letters that may be read by now, newest first, superseded ones included."""
    own = Release.objects.filter(
        evaluation__official=member,
        evaluation__observation__game__season__association=member.association,
        opens_at__lte=now,
    )
    return with_state(own).select_related(*RELATED).order_by("-released_at", "-pk")


def releases_for(member: Membership, now: datetime) -> QuerySet[Release]:
    """Every letter that `member` may read: own ones, those he or she wrote, and, for admins and
    board members, all of the association but those of a crew that they belong to.
    """
    of_association = Release.objects.filter(
        evaluation__observation__game__season__association=member.association
    )
    own = of_association.filter(evaluation__official=member, opens_at__lte=now)
    written = of_association.filter(evaluation__observation__observer=member)
    readable = own | written
    if member.roles & {Role.ADMIN, Role.BOARD}:
        own_games = Game.objects.filter(crew__official=member)
        readable |= of_association.exclude(evaluation__observation__game__in=own_games)
    return with_state(readable.distinct()).select_related(*RELATED)


def state_of(release: Release) -> State:
    """The state of one release, from its events."""
    kinds = set(release.events.values_list("kind", flat=True))
    return next((state for state in _LATEST_FIRST if state.value in kinds), State.RELEASED)


def snapshot_of(release: Release) -> ReleaseSnapshot:
    return from_document(ReleaseSnapshot, release.snapshot)


def content_of(release: Release) -> LetterContent:
    return from_document(LetterContent, release.content)


def season_snapshots(
    member: Membership, season: Season, without: Evaluation | None = None
) -> list[ReleaseSnapshot]:
    """An official's scored evaluations of a season with a total, in the order of the games.

    One under an open review is left out until the review is closed; `without` leaves out all
    releases of an evaluation that is about to get a new one.
    """
    counted = current(
        Release.objects.filter(
            evaluation__official=member,
            evaluation__observation__game__season=season,
            total__isnull=False,
        )
    ).exclude(review__isnull=False, review__closed_at__isnull=True)
    if without is not None:
        counted = counted.exclude(evaluation=without)
    ordered = counted.order_by("evaluation__observation__game__plays_at", "pk")
    return [snapshot_of(release) for release in ordered.only("snapshot")]


def season_point(snapshot: ReleaseSnapshot) -> SeasonPoint:
    """What one scored evaluation adds to a season."""
    total = snapshot.card.total
    assert total is not None  # only those with a total count
    return SeasonPoint(
        snapshot.game.played_on,
        total,
        {a.key: a.capped for a in snapshot.card.areas if a.counts and a.capped is not None},
    )
