"""Before the first game: the association, its people, its rubric, its schedule."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

from accounts.models import Association, Membership, User
from accounts.services.associations import change_settings, create_association
from accounts.services.authenticators import enrol_authenticator
from accounts.services.conflicts import declare_conflict
from accounts.services.invitations import accept_as_new_person, invite
from evaluations.queries.rubrics import rubric_content
from evaluations.services.codes import copy_code, start_from_shipped
from evaluations.services.games import enter_game
from evaluations.services.rubric_edits import AreaWeight, set_criterion, set_weights, set_words
from evaluations.services.rubrics import approve, copy_rubric, propose
from evaluations.services.seasons import enter_season
from evaluations.services.shipped_rubric import add_shipped_rubric
from seed_demo import moments, people
from seed_demo.demo import Demo
from seed_demo.floor import THRESHOLDS
from seed_demo.people import FIRST_ADMIN, SECOND_ADMIN, Person
from seed_demo.rows import Rubric
from seed_demo.schedule import planned_games


def found() -> tuple[Demo, Rubric]:
    """Everything that is there before the season's first game, and the rubric in force."""
    association = create_association(
        name=people.NAME, slug=people.SLUG, time_zone=moments.TIME_ZONE, now=moments.FOUNDED
    )
    members = _members(association)
    admin, second = members[FIRST_ADMIN.key], members[SECOND_ADMIN.key]
    association = change_settings(
        association=association,
        actor=admin.user,
        settings={"letter_paragraph": people.PARAGRAPH},
        now=moments.FOUNDED + moments.DAY,
    )
    season = enter_season(
        association=association,
        name=moments.SEASON,
        starts_on=moments.SEASON_STARTS,
        ends_on=moments.SEASON_ENDS,
        by=admin,
        now=moments.RUBRIC_DRAFTED,
    )
    for key in ("two_person_every_foul", "three_person"):
        start_from_shipped(association=association, key=key, by=admin, now=moments.RUBRIC_DRAFTED)
    draft = add_shipped_rubric(season=season, by=admin, now=moments.RUBRIC_DRAFTED)
    rubric = _published(_with_film(_with_mechanics(draft, admin), admin), admin, second)
    games = {
        plan.key: enter_game(
            season=season,
            plays_at=plan.plays_at,
            level_of_play=plan.level,
            home=plan.home,
            visitors=plan.visitors,
            site=plan.site,
            crew={place: members[key] for place, key in plan.places.items()},
            by=admin,
            now=moments.SCHEDULED,
        )
        for plan in planned_games()
    }
    return Demo(association, members, games), rubric


def _members(association: Association) -> dict[str, Membership]:
    """The first admin is invited from the command line, everybody else by that admin."""
    first = _join(association, FIRST_ADMIN, None, moments.FOUNDED)
    members = {FIRST_ADMIN.key: first}
    for person in people.EVERYBODY.values():
        if person.key not in members:
            now = moments.FOUNDED + moments.DAY
            members[person.key] = _join(association, person, first.user, now)
    for admin in people.ADMINS:
        enrol_authenticator(user=members[admin.key].user, now=moments.FOUNDED)
    observer, official, reason = people.CONFLICT
    declare_conflict(
        observer=members[observer],
        official=members[official],
        reason=reason,
        actor=members[observer].user,
        now=moments.SCHEDULED,
    )
    return members


def _join(
    association: Association, person: Person, actor: User | None, now: datetime
) -> Membership:
    invitation, _token = invite(
        association=association,
        actor=actor,
        email=person.email,
        name=person.name,
        terms=person.terms,
        now=now,
    )
    return accept_as_new_person(
        invitation=invitation,
        name=person.name,
        password=people.PASSWORD,
        language=person.language,
        now=now + moments.HOUR,
    )


def _with_mechanics(draft: Rubric, admin: Membership) -> Rubric:
    content = rubric_content(draft)
    return set_words(
        rubric=draft,
        version=draft.version,
        note=content.note,
        mechanics=people.MECHANICS,
        level_words=content.level_words,
        cut_points=content.cut_points,
        minimum_count=content.minimum_count,
        code_of_two=draft.code_of_two,
        code_of_three=draft.code_of_three,
        bands=content.bands,
        by=admin,
        now=moments.RUBRIC_DRAFTED,
    )


def _with_film(draft: Rubric, admin: Membership) -> Rubric:
    """The shipped rubric asks nothing of film; this association's does."""
    for area in rubric_content(draft).areas:
        for criterion in area.criteria:
            if criterion.key in THRESHOLDS:
                draft = set_criterion(
                    rubric=draft,
                    version=draft.version,
                    criterion=criterion.key,
                    texts={},
                    findings=criterion.findings,
                    thresholds=THRESHOLDS[criterion.key],
                    by=admin,
                    now=moments.RUBRIC_DRAFTED,
                )
    return draft


def _published(draft: Rubric, admin: Membership, second: Membership) -> Rubric:
    proposed = propose(rubric=draft, version=draft.version, by=admin, now=moments.RUBRIC_PROPOSED)
    return approve(
        rubric=proposed, version=proposed.version, by=second, now=moments.RUBRIC_APPROVED
    )


def draft_next_edition(demo: Demo, source: Rubric, now: datetime) -> None:
    """The second admin tries other weights in a draft, and a copy of the mechanics code for crews
    of two; nobody has proposed either.
    """
    by = demo.members[SECOND_ADMIN.key]
    draft = copy_rubric(source=source, season=source.season, by=by, now=now)
    if source.code_of_two is not None:
        copy_code(source=source.code_of_two, by=by, now=now)
    content = rubric_content(draft)
    weights = {"foul-reporting": Decimal(20), "boxing-in": Decimal(35)}
    set_weights(
        rubric=draft,
        version=draft.version,
        areas={
            area.key: AreaWeight(
                weights.get(area.key, area.weight), area.minimum_share, area.needed
            )
            for area in content.areas
        },
        criteria={c.key: c.weight for area in content.areas for c in area.criteria},
        target_level=content.target_level,
        minimum_seen=content.minimum_seen,
        by=by,
        now=now,
    )
