"""What a member's first page holds: only the parts of the roles that he or she has."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from accounts.models import Membership, Role
from evaluations.models import Evaluation, Observation, Release, Review, Rubric, Season
from evaluations.queries import work
from evaluations.queries.games import local_day
from evaluations.queries.releases import letters_to
from evaluations.queries.rubrics import published_rubric, rubrics_for
from evaluations.queries.seasons import current_season

SHOWN = 8
"""Rows of a list on the first page."""


@dataclass(frozen=True, slots=True)
class OfficialPart:
    letters: list[Release]


@dataclass(frozen=True, slots=True)
class ObserverPart:
    """`answers` are to letters that the observer may still correct."""

    to_do: list[Observation]
    answers: list[Release]
    reviews: list[Review]
    sent: list[Evaluation]


@dataclass(frozen=True, slots=True)
class AdminPart:
    """`waiting_rubric` is a rubric that waits for a second admin; `games`: the season has some."""

    games: bool
    waiting: list[Observation]
    waiting_count: int
    overdue: list[Observation]
    overdue_count: int
    reviews: list[Review]
    answers: list[Release]
    waiting_rubric: Rubric | None


@dataclass(frozen=True, slots=True)
class HomePage:
    """Parts are None for roles that the member does not have."""

    season: Season | None
    rubric: Rubric | None
    official: OfficialPart | None
    observer: ObserverPart | None
    admin: AdminPart | None


def home_page(member: Membership, now: datetime) -> HomePage:
    roles = member.roles
    here = member.association
    season = current_season(here, local_day(now, here.time_zone))
    return HomePage(
        season=season,
        rubric=published_rubric(season) if season else None,
        official=_official(member, now) if Role.OFFICIAL in roles else None,
        observer=_observer(member, now) if Role.OBSERVER in roles else None,
        admin=_admin(member, season, now) if Role.ADMIN in roles else None,
    )


def _official(member: Membership, now: datetime) -> OfficialPart:
    return OfficialPart(list(letters_to(member, now)[:SHOWN]))


def _observer(member: Membership, now: datetime) -> ObserverPart:
    return ObserverPart(
        list(work.to_do(member)[:SHOWN]),
        list(work.answers_to(member, now)[:SHOWN]),
        list(work.reviews_to_do(member)[:SHOWN]),
        list(work.sent(member)[:SHOWN]),
    )


def _admin(member: Membership, season: Season | None, now: datetime) -> AdminPart:
    waiting, overdue = work.waiting_for_release(member), work.overdue(member, now)
    proposed = rubrics_for(member).filter(state=Rubric.State.PROPOSED)
    return AdminPart(
        games=season is not None and season.games.exists(),
        waiting=list(waiting[:SHOWN]),
        waiting_count=waiting.count(),
        overdue=list(overdue[:SHOWN]),
        overdue_count=overdue.count(),
        reviews=list(work.open_reviews(member)[:SHOWN]),
        answers=list(work.new_answers(member, now)[:SHOWN]),
        waiting_rubric=proposed.select_related("season", "proposed_by__user").first(),
    )
