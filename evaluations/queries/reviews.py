"""Reviews of letters: who may do one, what is looked at, and who sees them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import QuerySet
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from accounts.models import Membership, Role
from accounts.queries.people import people
from evaluations.core.ratings import Rating
from evaluations.core.release import ReleaseSnapshot
from evaluations.models import Release, Review
from evaluations.queries.assignments import obstacles
from evaluations.queries.games import local_day
from evaluations.queries.releases import LETTER, snapshot_of

RELATED = (
    "release__evaluation__observation__game__season__association",
    "release__evaluation__observation__observer__user",
    "release__evaluation__official__user",
    "release__evaluation__official__association",
    "reviewer__user",
)


def reviews_for(admin: Membership) -> QuerySet[Review]:
    """All of the association, the newest first, but those of a crew that the admin belongs to."""
    return (
        _of_association(admin)
        .exclude(release__evaluation__observation__game__crew__official=admin)
        .order_by("-asked_at", "-pk")
    )


def reviews_of(reviewer: Membership) -> QuerySet[Review]:
    """Those given to an observer, closed ones included."""
    return _of_association(reviewer).filter(reviewer=reviewer)


def _of_association(member: Membership) -> QuerySet[Review]:
    # Named as such, so that a database without statistics begins with these few and not with
    # all letters of the association.
    few = Review.objects.order_by().values("pk")
    of_association = {"release__evaluation__official__association": member.association}
    return (
        Review.objects.filter(pk__in=few, **of_association)
        .select_related(*RELATED)
        .defer(*(f"release__{column}" for column in LETTER))
    )


@dataclass(frozen=True, slots=True)
class Candidate:
    """An observer, and why he or she can't review the letter ("": nothing is in the way)."""

    observer: Membership
    obstacle: str


def review_candidates(asker: Membership, review: Review, now: datetime) -> list[Candidate]:
    """Every active observer of the association, by name."""
    observers = list(people(asker, role=Role.OBSERVER))
    unfit = review_obstacles(review.release, observers, now)
    return [Candidate(observer, unfit.get(observer.pk, "")) for observer in observers]


def review_obstacles(
    release: Release, observers: Iterable[Membership], now: datetime
) -> dict[int, str]:
    """For each observer's key, why he or she can't review a letter; those who can are left out.

    The words follow a name: "wrote the letter".
    """
    asked = list(observers)
    observation = release.evaluation.observation
    unfit = obstacles(observation.game, asked)
    today = local_day(now, release.evaluation.official.association.time_zone)
    for observer in asked:
        if observer.pk == observation.observer_id:
            unfit[observer.pk] = _("wrote the letter")
        elif not observer.cleared_on(today):
            not_cleared = _("is not cleared for %(day)s") % {
                "day": date_format(today, "DATE_FORMAT")
            }
            unfit.setdefault(observer.pk, not_cleared)
    return unfit


@dataclass(frozen=True, slots=True)
class LineUnderReview:
    """One line of a letter, as released, and what the official says of it ("": nothing).

    `level` is None when the criterion was not seen; `words` are the observer's.
    """

    criterion: str
    label: str
    level: int | None
    level_word: str
    dead_ball: int | None
    words: str
    said: str


def lines_under_review(review: Review) -> tuple[LineUnderReview, ...]:
    """The lines that the official marked; if none were, every line with a level."""
    snapshot = snapshot_of(review.release)
    response = getattr(review.release, "response", None)
    said = {line.criterion: line.text for line in response.lines.all()} if response else {}
    return tuple(
        _line(snapshot, rating, said.get(rating.criterion, ""))
        for rating in snapshot.ratings
        if (rating.criterion in said if said else rating.level is not None)
    )


def _line(snapshot: ReleaseSnapshot, rating: Rating, said: str) -> LineUnderReview:
    words = snapshot.wording.level_words
    return LineUnderReview(
        criterion=rating.criterion,
        label=snapshot.wording.criteria[rating.criterion].label,
        level=rating.level,
        level_word=_("not seen") if rating.level is None else words[rating.level - 1],
        dead_ball=rating.dead_ball,
        words=" ".join(part for t in (rating.evidence, rating.comment) if (part := t.strip())),
        said=said,
    )
