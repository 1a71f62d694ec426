"""A rubric's life: copied, proposed by one admin, published by a second, locked from then on."""

from __future__ import annotations

from datetime import datetime

import msgspec
from django.db import transaction
from django.utils.translation import gettext as _

from accounts.models import Membership
from evaluations.core.rubric_content import RubricContent, lacking
from evaluations.models import CodeEdition, Rubric, Season
from evaluations.queries.code_pages import code_gap
from evaluations.queries.codes import codes_in_force
from evaluations.queries.rubrics import rubric_content
from evaluations.services.errors import Refused
from evaluations.services.rubric_drafts import check, claim, editing, record_step, require_admin
from evaluations.services.rubric_rows import add_draft, write_content
from evaluations.services.shipped_rubric import shipped_content

State = Rubric.State


@transaction.atomic
def copy_rubric(*, source: Rubric, season: Season, by: Membership, now: datetime) -> Rubric:
    """Make a season's next edition a draft that holds what `source` holds.

    Raises:
        Refused: season or rubric of another association.
        django.core.exceptions.ValidationError: the season has a rubric in work already.
    """
    require_admin(by, season)
    require_admin(by, source.season)
    rubric = add_draft(season, rubric_content(source))
    rubric.code_of_two, rubric.code_of_three = source.code_of_two, source.code_of_three
    rubric.save(update_fields=["code_of_two", "code_of_three"])
    record_step(rubric, by, "rubric.copied", now)
    return rubric


def start_over(
    *, rubric: Rubric, version: int, source: Rubric | None, by: Membership, now: datetime
) -> Rubric:
    """Put what `source` holds, or the shipped rubric, in place of a draft's content.

    `undo_removal` brings back what was there. Raises as `editing` does.
    """
    if source is not None:
        require_admin(by, source.season)
    with editing(
        rubric=rubric, version=version, by=by, action="rubric.started_over", now=now, removing=""
    ) as draft:
        language = draft.season.association.language
        write_content(draft, rubric_content(source) if source else shipped_content(language))
        return draft


def undo_removal(*, rubric: Rubric, version: int, by: Membership, now: datetime) -> Rubric:
    """Bring back what the last step took away.

    Raises:
        Refused: nothing was taken away, or something else was saved since.
    """
    kept = Rubric.objects.values_list("undo", flat=True).get(pk=rubric.pk)
    if kept is None:
        raise Refused(_("There is nothing to put back: the rubric was saved since."))
    with editing(rubric=rubric, version=version, by=by, action="rubric.undone", now=now) as draft:
        write_content(draft, msgspec.convert(kept["content"], RubricContent))
        return draft


@transaction.atomic
def propose(*, rubric: Rubric, version: int, by: Membership, now: datetime) -> Rubric:
    """Hand a draft to a second admin; until then nobody changes it.

    Raises:
        Refused: a text is missing in the association's language, a mechanics code leaves a
            situation open, or it is no draft.
        StaleVersion: somebody saved after `version`.
    """
    proposed = claim(
        rubric=rubric,
        version=version,
        by=by,
        before=State.DRAFT,
        state=State.PROPOSED,
        proposed_by=by,
        proposed_at=now,
        undo=None,
    )
    _refuse_incomplete(proposed)
    record_step(proposed, by, "rubric.proposed", now)
    return proposed


@transaction.atomic
def approve(*, rubric: Rubric, version: int, by: Membership, now: datetime) -> Rubric:
    """Publish a proposed rubric. It is locked from then on.

    Raises:
        Refused: by who proposed it, or it isn't proposed (any more).
        StaleVersion: it was withdrawn and proposed again after `version`.
    """
    proposer = Rubric.objects.values_list("proposed_by", flat=True).get(pk=rubric.pk)
    if proposer == by.pk:
        raise Refused(_("You proposed this rubric yourself. A second admin has to approve it."))
    published = claim(
        rubric=rubric,
        version=version,
        by=by,
        before=State.PROPOSED,
        state=State.PUBLISHED,
        approved_by=by,
        published_at=now,
    )
    _refuse_incomplete(published)
    record_step(published, by, "rubric.published", now)
    return published


@transaction.atomic
def withdraw_proposal(*, rubric: Rubric, version: int, by: Membership, now: datetime) -> Rubric:
    """Make a proposed rubric a draft again: the proposer's second thought, or the second's no."""
    draft = claim(
        rubric=rubric,
        version=version,
        by=by,
        before=State.PROPOSED,
        state=State.DRAFT,
        proposed_by=None,
        proposed_at=None,
    )
    record_step(draft, by, "rubric.proposal_withdrawn", now)
    return draft


def _refuse_incomplete(rubric: Rubric) -> None:
    check(rubric)
    for code in codes_in_force(rubric):
        _refuse_gaps(code)
    if lacking(rubric_content(rubric), rubric.season.association.language):
        raise Refused(
            _("Texts are missing in the association's language. Write them before publishing.")
        )


def _refuse_gaps(code: CodeEdition) -> None:
    """Refuse a code that has no row for some situation; its row is held against an edit."""
    held = CodeEdition.objects.select_for_update().get(pk=code.pk)
    gap = code_gap(held)
    if gap is not None:
        raise Refused(
            _("The mechanics code “%(code)s” has no row for: %(situation)s. Add a row first.")
            % {"code": held, "situation": gap.first}
        )
