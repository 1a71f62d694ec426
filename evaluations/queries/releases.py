"""Releases: who may read which letter, in which state each is, and a season's points from them."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from django.db.models import Case, Exists, OuterRef, Q, QuerySet, Value, When
from django.db.models.fields import CharField

from accounts.models import Membership, Role
from evaluations.core.documents import from_document
from evaluations.core.letter import LetterContent
from evaluations.core.release import CORRECT_WITHIN, REVIEW_WITHIN, ReleaseSnapshot, State
from evaluations.core.season import SeasonPoint
from evaluations.models import Evaluation, Game, Release, ReleaseEvent, Review, Season

RELATED = (
    "evaluation__observation__game__season__association",
    "evaluation__observation__observer__user",
    "evaluation__observation__observer__association",
    "evaluation__official__user",
    "evaluation__official__association",
)

LETTER = ("pdf", "snapshot", "content")
"""The large columns, which lists have no use for."""

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
    return _found(member, _own(member, now)).order_by("-released_at", "-pk")


def releases_for(member: Membership, now: datetime) -> QuerySet[Release]:
    """Every letter that `member` may read: own ones, those he or she wrote, and, for admins and
    board members, all of the association but those of a crew that they belong to.
    """
    readable = _own(member, now) | Q(evaluation__observation__observer=member)
    if member.roles & {Role.ADMIN, Role.BOARD}:
        own_games = Game.objects.filter(crew__official=member)
        readable |= ~Q(evaluation__observation__game__in=own_games)
    return _found(member, readable)


def _own(member: Membership, now: datetime) -> Q:
    return Q(evaluation__official=member, opens_at__lte=now)


def _found(member: Membership, readable: Q) -> QuerySet[Release]:
    """With state and people loaded; the letter itself is read when it is asked for."""
    of_association = Q(evaluation__observation__game__season__association=member.association)
    found = Release.objects.filter(of_association, readable)
    return with_state(found).select_related(*RELATED).defer(*LETTER)


def state_of(release: Release) -> State:
    """The state of one release, from its events."""
    kinds = set(release.events.values_list("kind", flat=True))
    return next((state for state in _LATEST_FIRST if state.value in kinds), State.RELEASED)


def is_current(release: Release) -> bool:
    return state_of(release) not in (State.SUPERSEDED, State.WITHDRAWN)


def respond_open(release: Release, now: datetime) -> bool:
    """Whether the last day to respond, where the association is, is not over yet."""
    zone = ZoneInfo(release.evaluation.official.association.time_zone)
    return now.astimezone(zone).date() <= release.respond_until


def review_open(release: Release, now: datetime) -> bool:
    """Whether a review can still be asked for; one is, in all."""
    asked = Review.objects.filter(release=release).exists()
    return now <= release.opens_at + REVIEW_WITHIN and not asked


def correction_open(release: Release, now: datetime) -> bool:
    """Whether the author may still correct because of the official's answer."""
    response = getattr(release, "response", None)
    return response is not None and now <= response.answered_at + CORRECT_WITHIN


def snapshot_of(release: Release) -> ReleaseSnapshot:
    return from_document(ReleaseSnapshot, release.snapshot)


def file_name(release: Release) -> str:
    """The name of a letter's file: it names nobody."""
    return f"{snapshot_of(release).game.played_on}-{release.code}.pdf"


def content_of(release: Release) -> LetterContent:
    return from_document(LetterContent, release.content)


def season_snapshots(
    member: Membership,
    season: Season,
    *,
    without: Evaluation | None = None,
    open_by: datetime | None = None,
) -> list[ReleaseSnapshot]:
    """An official's scored evaluations of a season with a total, in the order of the games.

    One under an open review is left out until the review is closed. `without` leaves out all
    releases of an evaluation that is about to get a new one, `open_by` those that the official
    can't read by then. An official under 18 has none, whatever was released before the mark.
    """
    if member.under_18:
        return []
    counted = current(
        Release.objects.filter(
            evaluation__official=member,
            evaluation__observation__game__season=season,
            total__isnull=False,
        )
    ).exclude(review__isnull=False, review__closed_at__isnull=True)
    if without is not None:
        counted = counted.exclude(evaluation=without)
    if open_by is not None:
        counted = counted.filter(opens_at__lte=open_by)
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
