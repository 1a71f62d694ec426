"""Who may open which page: one table, and what isn't in it can't be opened.

A page's line gives its URL name, who may open it and by which methods. Roles are those held in
the association of the address; one of them is enough. `accounts.middleware` asks this table
before any view runs:

- name not listed, no membership in the association, or no such association: 404
- not signed in: to the sign-in page, and back
- a member without one of the roles: 403
- an admin without a second step of signing in: to its set-up page
- another method: 405
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from functools import cache
from typing import Final

from django.urls import URLPattern, URLResolver

from accounts.models import Role


class Audience(Enum):
    """Pages that aren't of one association."""

    PUBLIC = "everybody"
    SIGNED_IN = "everybody who is signed in"


@dataclass(frozen=True)
class Page:
    who: Audience | frozenset[Role]
    methods: frozenset[str] | None
    """None: the view itself refuses what it doesn't answer (pages of allauth)."""


PUBLIC: Final = Audience.PUBLIC
SIGNED_IN: Final = Audience.SIGNED_IN
OBSERVERS: Final = frozenset({Role.OBSERVER})
OFFICIALS: Final = frozenset({Role.OFFICIAL})
ADMINS: Final = frozenset({Role.ADMIN})
BOARD: Final = frozenset({Role.BOARD})
MEMBERS: Final = frozenset(Role)

READ: Final = frozenset({"GET", "HEAD"})
FORM: Final = frozenset({"GET", "HEAD", "POST"})
POST: Final = frozenset({"POST"})

PAGES: Final[dict[str, Page]] = {
    # Everybody's own
    "accounts:home": Page(SIGNED_IN, READ),
    "accounts:profile": Page(SIGNED_IN, FORM),
    "accounts:invitation_accept": Page(PUBLIC, FORM),
    # The association's people
    "accounts:people": Page(ADMINS, READ),
    "accounts:person": Page(ADMINS, FORM),
    "accounts:person_end": Page(ADMINS, POST),
    "accounts:person_return": Page(ADMINS, POST),
    "accounts:invite": Page(ADMINS, FORM),
    "accounts:invitation_revoke": Page(ADMINS, POST),
    "accounts:conflicts": Page(OBSERVERS | ADMINS, FORM),
    "accounts:conflict_withdraw": Page(OBSERVERS | ADMINS, POST),
    "accounts:settings": Page(ADMINS, FORM),
    # What to do next, and the season
    "evaluations:home": Page(MEMBERS, READ),
    "evaluations:overdue": Page(ADMINS, READ),
    "evaluations:own_season": Page(OFFICIALS, READ),
    "evaluations:officials": Page(ADMINS | BOARD, READ),
    "evaluations:official": Page(ADMINS | BOARD, READ),
    "evaluations:findings": Page(ADMINS | BOARD, READ),
    "evaluations:findings_export": Page(ADMINS | BOARD, READ),
    # An observer's evaluations
    "evaluations:evaluation_form": Page(OBSERVERS, FORM),
    "evaluations:evaluation_save": Page(OBSERVERS, POST),
    "evaluations:evaluation_words": Page(OBSERVERS, FORM),
    "evaluations:evaluation_words_save": Page(OBSERVERS, POST),
    "evaluations:evaluation_check": Page(OBSERVERS, READ),
    "evaluations:evaluation_submit": Page(OBSERVERS, POST),
    "evaluations:evaluation_coaching": Page(OBSERVERS, POST),
    "evaluations:crew_form": Page(OBSERVERS, FORM),
    "evaluations:crew_save": Page(OBSERVERS, POST),
    # Release
    "evaluations:waiting": Page(ADMINS, READ),
    "evaluations:crew_read": Page(ADMINS, READ),
    "evaluations:release": Page(ADMINS, FORM),
    "evaluations:form_return": Page(ADMINS, POST),
    # Letters, answers and reviews
    "evaluations:letter": Page(MEMBERS, READ),
    "evaluations:letter_pdf": Page(MEMBERS, READ),
    "evaluations:letter_acknowledge": Page(OFFICIALS, POST),
    "evaluations:letter_respond": Page(OFFICIALS, FORM),
    "evaluations:letter_review_ask": Page(OFFICIALS, FORM),
    "evaluations:letter_amend": Page(OBSERVERS | ADMINS, FORM),
    "evaluations:letter_withdraw": Page(ADMINS, FORM),
    "evaluations:reviews": Page(ADMINS, READ),
    "evaluations:review": Page(OBSERVERS, FORM),
    "evaluations:review_assign": Page(ADMINS, FORM),
    "evaluations:verify": Page(PUBLIC, READ),
    # Rubrics
    "evaluations:rubrics": Page(MEMBERS, READ),
    "evaluations:rubric_start": Page(ADMINS, POST),
    "evaluations:rubric": Page(MEMBERS, READ),
    "evaluations:rubric_copy": Page(ADMINS, FORM),
    "evaluations:rubric_publish": Page(ADMINS, READ),
    "evaluations:rubric_propose": Page(ADMINS, POST),
    "evaluations:rubric_approve": Page(ADMINS, POST),
    "evaluations:rubric_withdraw": Page(ADMINS, POST),
    "evaluations:rubric_weights": Page(ADMINS, FORM),
    "evaluations:rubric_words": Page(ADMINS, FORM),
    "evaluations:rubric_levels": Page(ADMINS, FORM),
    "evaluations:rubric_ceilings": Page(ADMINS, FORM),
    "evaluations:rubric_ceiling_remove": Page(ADMINS, POST),
    "evaluations:rubric_start_over": Page(ADMINS, FORM),
    "evaluations:rubric_undo": Page(ADMINS, POST),
    "evaluations:rubric_areas": Page(ADMINS, READ),
    "evaluations:rubric_area_add": Page(ADMINS, FORM),
    "evaluations:rubric_area": Page(ADMINS, FORM),
    "evaluations:rubric_area_move": Page(ADMINS, POST),
    "evaluations:rubric_area_remove": Page(ADMINS, FORM),
    "evaluations:rubric_criterion_add": Page(ADMINS, FORM),
    "evaluations:rubric_criterion": Page(ADMINS, FORM),
    "evaluations:rubric_criterion_move": Page(ADMINS, POST),
    "evaluations:rubric_criterion_remove": Page(ADMINS, FORM),
    # Mechanics codes
    "evaluations:code_list": Page(MEMBERS, READ),
    "evaluations:code_new": Page(ADMINS, FORM),
    "evaluations:code_start": Page(ADMINS, POST),
    "evaluations:code": Page(MEMBERS, READ),
    "evaluations:code_copy": Page(ADMINS, POST),
    "evaluations:code_heading": Page(ADMINS, FORM),
    "evaluations:code_row_add": Page(ADMINS, FORM),
    "evaluations:code_row": Page(ADMINS, FORM),
    "evaluations:code_row_move": Page(ADMINS, POST),
    "evaluations:code_row_remove": Page(ADMINS, POST),
    "evaluations:code_undo": Page(ADMINS, POST),
    "evaluations:code_compare": Page(MEMBERS, READ),
    "evaluations:code_correct": Page(ADMINS, FORM),
    "evaluations:code_correct_start": Page(ADMINS, POST),
    "evaluations:code_correct_apart": Page(ADMINS, POST),
    "evaluations:code_changes": Page(ADMINS, READ),
    "evaluations:code_amend": Page(ADMINS, POST),
    # Seasons, games and observations
    "evaluations:season_list": Page(ADMINS, READ),
    "evaluations:season_new": Page(ADMINS, FORM),
    "evaluations:season_edit": Page(ADMINS, FORM),
    "evaluations:game_list": Page(ADMINS, READ),
    "evaluations:game_new": Page(ADMINS, FORM),
    "evaluations:game": Page(ADMINS, READ),
    "evaluations:game_edit": Page(ADMINS, FORM),
    "evaluations:game_move": Page(ADMINS, FORM),
    "evaluations:game_crew": Page(ADMINS, FORM),
    "evaluations:game_cancel": Page(ADMINS, FORM),
    "evaluations:game_restore": Page(ADMINS, POST),
    "evaluations:observation_assign": Page(ADMINS, FORM),
    "evaluations:own_observations": Page(OBSERVERS, READ),
    "evaluations:observation": Page(OBSERVERS | ADMINS, READ),
    "evaluations:observation_open": Page(OBSERVERS, POST),
    "evaluations:observation_facts": Page(OBSERVERS, FORM),
    "evaluations:observation_close": Page(ADMINS, FORM),
    "evaluations:observation_reopen": Page(ADMINS, POST),
    "evaluations:observation_reassign": Page(ADMINS, FORM),
    # The dead-ball log while the game is on
    "evaluations:live_log": Page(OBSERVERS, READ),
    "evaluations:live_whistle": Page(OBSERVERS, POST),
    "evaluations:live_undo": Page(OBSERVERS, POST),
    "evaluations:live_put_back": Page(OBSERVERS, POST),
    "evaluations:live_note": Page(OBSERVERS, POST),
    # The dead-ball log at the table
    "evaluations:log": Page(OBSERVERS | ADMINS, READ),
    "evaluations:log_file": Page(OBSERVERS, READ),
    "evaluations:log_begin": Page(OBSERVERS, FORM),
    "evaluations:log_terms": Page(OBSERVERS, FORM),
    "evaluations:log_exchange": Page(OBSERVERS, FORM),
    "evaluations:log_end": Page(OBSERVERS, FORM),
    "evaluations:log_end_undo": Page(OBSERVERS, POST),
    "evaluations:talk_card": Page(OBSERVERS, READ),
    "evaluations:dead_ball_add": Page(OBSERVERS, FORM),
    "evaluations:dead_ball": Page(OBSERVERS, FORM),
    "evaluations:dead_ball_remove": Page(OBSERVERS, POST),
    "evaluations:dead_ball_restore": Page(OBSERVERS, POST),
    # The floor at a dead ball
    "evaluations:sketch": Page(OBSERVERS, FORM),
    "evaluations:sketch_remove": Page(OBSERVERS, POST),
    "evaluations:film": Page(OBSERVERS, FORM),
    "evaluations:film_desk": Page(OBSERVERS, FORM),
    "evaluations:eyes": Page(OBSERVERS, FORM),
    # A crew side by side
    "evaluations:crew_view": Page(OBSERVERS | ADMINS, READ),
    "evaluations:miss_move": Page(OBSERVERS, FORM),
    "evaluations:miss_take_back": Page(OBSERVERS, POST),
}


@cache
def sign_in_pages() -> frozenset[str]:
    """The names of allauth's own pages; none of them has a namespace."""
    from allauth.urls import urlpatterns

    return frozenset(_names(urlpatterns))


def page_for(url_name: str) -> Page | None:
    """The line of a page; None if there is none, and then nobody may open it."""
    if url_name in sign_in_pages():
        return Page(PUBLIC, None)
    return PAGES.get(url_name)


def _names(patterns: list[URLPattern | URLResolver]) -> list[str]:
    names: list[str] = []
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            names += _names(pattern.url_patterns)
        elif pattern.name:
            names.append(pattern.name)
    return names
