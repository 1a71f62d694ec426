"""An example address, in the demo's season, for every page that somebody can open."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from typing import Final, TypeVar

from django.db.models import Model, QuerySet
from django.urls import reverse

from accounts.models import Membership, Role
from accounts.permissions import PAGES
from evaluations.core.release import State
from evaluations.models import (
    CodeEdition,
    Evaluation,
    Game,
    Observation,
    Release,
    Review,
    Rubric,
    Season,
)
from evaluations.queries import work
from evaluations.queries.codes import codes_for
from evaluations.queries.evaluations import own_work
from evaluations.queries.games import games_for
from evaluations.queries.log_pages import own_logs
from evaluations.queries.misses import misses_of
from evaluations.queries.observations import IN_WORK, observations_for
from evaluations.queries.releases import letters_to, releases_for, state_of
from evaluations.queries.rubrics import rubrics_for
from evaluations.queries.seasons import seasons_for
from seed_demo.people import EVERYBODY, FIRST_ADMIN, SLUG
from tests.browser.on_the_floor import ON_THE_FLOOR, letter_with_sketch_and_gap

Row = TypeVar("Row", bound=Model)
Find = Callable[[Membership, datetime], Model]

PEOPLE: Final[Mapping[Role, str]] = {
    Role.ADMIN: FIRST_ADMIN.email,
    Role.OBSERVER: EVERYBODY["marchetti"].email,
    Role.OFFICIAL: EVERYBODY["birdsong"].email,
    Role.BOARD: EVERYBODY["grange"].email,
}
NO_PAGE: Final = {
    "accounts:home",
    "accounts:invitation_accept",
    "evaluations:letter_pdf",
    "evaluations:findings_export",
    "evaluations:log_file",
}
"""A way to a page, a page for people without an account, files."""

AREA: Final = "switching"
CRITERION: Final = "ball-waits-for-crew"


def member(role: Role) -> Membership:
    return Membership.objects.get(user__email=PEOPLE[role], association__slug=SLUG)


def pages_of(role: Role, somebody: Membership, now: datetime) -> Iterator[tuple[str, str]]:
    """Name and address of each page that somebody opens in this role."""
    for name, page in PAGES.items():
        may = isinstance(page.who, frozenset) and role in page.who
        if may and page.methods and "GET" in page.methods and name not in NO_PAGE:
            yield name, address(name, EXAMPLES.get(name), somebody, now)


def other_states(role: Role, somebody: Membership, now: datetime) -> Iterator[tuple[str, str]]:
    """The same of pages that look different when something has ended or is still to come."""
    for who, name, find in OTHER_STATES:
        if who is role:
            yield f"{name} ({find.__name__})", address(name, find, somebody, now)
    if role is Role.OBSERVER:
        keys = [somebody.association.slug, observation_with_log(somebody, now).pk, 1, "report"]
        yield "evaluations:sketch (nothing drawn)", reverse("evaluations:sketch", args=keys)


def address(name: str, find: Find | None, somebody: Membership, now: datetime) -> str:
    row = find(somebody, now) if find else None
    keys: list[object] = [row.pk] if row else []
    if row and name in ON_THE_FLOOR:
        keys += ON_THE_FLOOR[name](row.pk)
    elif name in PLACES:
        keys += PLACES[name](somebody)
    else:
        keys += PARTS.get(name, [])
    return reverse(name, args=[somebody.association.slug, *keys])


def first(rows: QuerySet[Row]) -> Row:
    found = rows.first()
    assert found is not None, f"the demo has nothing to show of {rows.model.__name__}"
    return found


def coming_game(somebody: Membership, now: datetime) -> Game:
    return first(games_for(somebody).filter(plays_at__gt=now, cancelled_at=None))


def cancelled_game(somebody: Membership, now: datetime) -> Game:
    return first(games_for(somebody).exclude(cancelled_at=None))


def observation_in_work(somebody: Membership, now: datetime) -> Observation:
    in_work = observations_for(somebody).filter(evaluations__state=State.DRAFT, closed_at=None)
    return first(in_work.exclude(evaluations__state__in=[State.SUBMITTED, State.RELEASED]))


def observation_with_log(somebody: Membership, now: datetime) -> Observation:
    """Its log can still be changed."""
    return first(observation_rows(somebody, State.DRAFT).exclude(log=None))


def observation_without_log(somebody: Membership, now: datetime) -> Observation:
    return first(observation_rows(somebody, State.DRAFT).filter(log=None))


def observation_with_final_log(somebody: Membership, now: datetime) -> Observation:
    """Its forms are in, so that the log stays as it is."""
    return first(observation_rows(somebody, State.RELEASED).exclude(log=None))


def observation_rows(somebody: Membership, state: State) -> QuerySet[Observation]:
    found = observations_for(somebody).filter(evaluations__state=state, closed_at=None)
    return found.distinct()


def closed_observation(somebody: Membership, now: datetime) -> Observation:
    return first(observations_for(somebody).exclude(closed_at=None))


def observation_to_come(somebody: Membership, now: datetime) -> Observation:
    return first(observations_for(somebody).filter(opened_at=None, closed_at=None))


def form_in_work(somebody: Membership, now: datetime) -> Evaluation:
    return first(own_work(somebody).filter(state__in=IN_WORK, ratings__isnull=False))


def released_form(somebody: Membership, now: datetime) -> Evaluation:
    return first(own_work(somebody).filter(state=State.RELEASED))


def waiting_crew(somebody: Membership, now: datetime) -> Observation:
    return first(work.waiting_for_release(somebody))


def answered_or_first_letter(somebody: Membership, now: datetime) -> Release:
    letters = releases_for(somebody, now)
    return letters.filter(response__isnull=False).first() or first(letters)


def letter_that_is(state: State, letters: QuerySet[Release]) -> Release:
    return next(letter for letter in letters if state_of(letter) is state)


def unread_letter(somebody: Membership, now: datetime) -> Release:
    return letter_that_is(State.RELEASED, letters_to(somebody, now))


def current_letter(somebody: Membership, now: datetime) -> Release:
    return letter_that_is(State.RELEASED, releases_for(somebody, now))


def superseded_letter(somebody: Membership, now: datetime) -> Release:
    return letter_that_is(State.SUPERSEDED, releases_for(somebody, now))


def withdrawn_letter(somebody: Membership, now: datetime) -> Release:
    return letter_that_is(State.WITHDRAWN, releases_for(somebody, now))


def draft_rubric(somebody: Membership, now: datetime) -> Rubric:
    return first(rubrics_for(somebody).filter(state=Rubric.State.DRAFT))


def published_rubric(somebody: Membership, now: datetime) -> Rubric:
    return first(rubrics_for(somebody).filter(state=Rubric.State.PUBLISHED))


def code_in_use(somebody: Membership, now: datetime) -> CodeEdition:
    return first(codes_for(somebody).filter(rubrics_of_two__state=Rubric.State.PUBLISHED))


def code_in_work(somebody: Membership, now: datetime) -> CodeEdition:
    unused = codes_for(somebody).filter(rubrics_of_two=None, rubrics_of_three=None)
    return first(unused.filter(corrects=None))


def correction_in_force(somebody: Membership, now: datetime) -> CodeEdition:
    return first(codes_for(somebody).filter(in_force_at__isnull=False))


def correction_in_work(somebody: Membership, now: datetime) -> CodeEdition:
    return first(codes_for(somebody).filter(corrects__isnull=False, in_force_at=None))


def corrected_editions(somebody: Membership) -> list[object]:
    """A correction in force, and the edition in whose place it holds."""
    correction = first(codes_for(somebody).filter(in_force_at__isnull=False))
    return [correction.pk, correction.corrects_id]


def season(somebody: Membership, now: datetime) -> Season:
    return first(seasons_for(somebody))


def official_with_letters(somebody: Membership, now: datetime) -> Membership:
    letters = releases_for(somebody, now)
    return first(letters.order_by("pk")).evaluation.official


def own_review(somebody: Membership, now: datetime) -> Review:
    return first(work.reviews_to_do(somebody))


def open_review(somebody: Membership, now: datetime) -> Review:
    return first(work.open_reviews(somebody))


def movable_miss(observer: Membership) -> list[object]:
    """Observation, dead ball and rule of a crew's miss in a log that can still be changed."""
    logs = own_logs(observer).filter(observation__evaluations__state__in=IN_WORK).distinct()
    found = [miss for log in logs for miss in misses_of(log) if miss.movable]
    assert found, "the demo has no miss that can be moved"
    return [found[0].row.log.observation_id, found[0].row.number, found[0].rule]


_FOUND: Final[Mapping[Find, str]] = {
    official_with_letters: "accounts:person evaluations:official",
    season: "season_edit",
    coming_game: "game game_edit game_move game_crew game_cancel observation_assign",
    observation_in_work: (
        "observation observation_facts observation_close observation_reassign crew_form crew_view"
    ),
    observation_with_log: (
        "log log_terms log_exchange log_end talk_card dead_ball dead_ball_add live_log sketch "
        "film film_desk eyes"
    ),
    observation_without_log: "log_begin",
    form_in_work: "evaluation_form evaluation_words evaluation_check",
    published_rubric: "rubric rubric_copy",
    draft_rubric: (
        "rubric_publish rubric_weights rubric_words rubric_levels rubric_ceilings "
        "rubric_start_over rubric_areas rubric_area_add rubric_area rubric_area_remove "
        "rubric_criterion_add rubric_criterion rubric_criterion_remove"
    ),
    code_in_use: "code",
    code_in_work: "code_heading code_row code_row_add",
    correction_in_force: "code_correct code_changes",
    waiting_crew: "crew_read release",
    answered_or_first_letter: "letter",
    unread_letter: "letter_respond letter_review_ask",
    current_letter: "letter_amend letter_withdraw",
    own_review: "review",
    open_review: "review_assign",
}
EXAMPLES: Final[Mapping[str, Find]] = {
    name if ":" in name else f"evaluations:{name}": find
    for find, names in _FOUND.items()
    for name in names.split()
}
PARTS: Final[Mapping[str, list[str]]] = {
    "evaluations:code_new": ["2"],
    "evaluations:code_row": ["1"],
    "evaluations:dead_ball": ["1"],
    "evaluations:rubric_area": [AREA],
    "evaluations:rubric_area_remove": [AREA],
    "evaluations:rubric_criterion_add": [AREA],
    "evaluations:rubric_criterion": [CRITERION],
    "evaluations:rubric_criterion_remove": [CRITERION],
}
PLACES: Final[Mapping[str, Callable[[Membership], list[object]]]] = {
    "evaluations:code_compare": corrected_editions,
    "evaluations:miss_move": movable_miss,
}
"""Addresses with several keys that only the demo's rows can tell."""
OTHER_STATES: Final[list[tuple[Role, str, Find]]] = [
    (Role.ADMIN, "evaluations:game", cancelled_game),
    (Role.ADMIN, "evaluations:observation", closed_observation),
    (Role.ADMIN, "evaluations:code", code_in_work),
    (Role.ADMIN, "evaluations:code_correct", correction_in_work),
    (Role.ADMIN, "evaluations:letter", superseded_letter),
    (Role.ADMIN, "evaluations:letter", withdrawn_letter),
    (Role.ADMIN, "evaluations:letter", letter_with_sketch_and_gap),
    (Role.OBSERVER, "evaluations:observation", observation_to_come),
    (Role.OBSERVER, "evaluations:log", observation_with_final_log),
    (Role.OBSERVER, "evaluations:sketch", observation_with_final_log),
    (Role.OBSERVER, "evaluations:film", observation_with_final_log),
    (Role.OBSERVER, "evaluations:film_desk", observation_with_final_log),
    (Role.OBSERVER, "evaluations:eyes", observation_with_final_log),
    (Role.OBSERVER, "evaluations:evaluation_check", released_form),
    (Role.OFFICIAL, "evaluations:letter", unread_letter),
]
