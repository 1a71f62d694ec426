"""A rubric's life: begun, copied, proposed by one admin, published by a second."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from accounts.models import AuditEntry, Membership
from evaluations.models import Rubric, Season
from evaluations.queries.rubrics import published_rubric as in_force
from evaluations.queries.rubrics import rubric_content
from evaluations.services.errors import Refused, StaleVersion
from evaluations.services.rubric_edits import set_area_labels
from evaluations.services.rubrics import (
    approve,
    copy_rubric,
    propose,
    start_over,
    undo_removal,
    withdraw_proposal,
)
from evaluations.services.shipped_rubric import add_shipped_rubric, shipped_content
from tests.factories.accounts import NOW, Cast
from tests.factories.evaluations import published_rubric, season_of

LATER = NOW + timedelta(days=2)


@pytest.fixture
def season(cast: Cast) -> Season:
    return season_of(cast.association)


@pytest.fixture
def draft(cast: Cast, season: Season) -> Rubric:
    return add_shipped_rubric(season=season, by=cast.admin, now=NOW)


@pytest.fixture
def next_season(season: Season) -> Season:
    return Season.objects.create(
        association=season.association,
        name="2027–28",
        starts_on=date(2027, 9, 1),
        ends_on=date(2028, 4, 30),
    )


def proposed_by(draft: Rubric, admin: Membership) -> Rubric:
    return propose(rubric=draft, version=draft.version, by=admin, now=NOW)


def nameless(draft: Rubric, cast: Cast, language: str) -> Rubric:
    """The draft without the name of an area in one language."""
    return set_area_labels(
        rubric=draft,
        version=draft.version,
        area="signals",
        labels={language: ""},
        by=cast.admin,
        now=NOW,
    )


def actions() -> list[str]:
    entries = AuditEntry.objects.filter(object_type="evaluations.rubric").order_by("id")
    return list(entries.values_list("action", flat=True))


def test_the_shipped_rubric_comes_back_from_the_rows_as_it_was_written(draft: Rubric) -> None:
    assert rubric_content(Rubric.objects.get(pk=draft.pk)) == shipped_content("en")


def test_the_note_for_readers_is_in_the_associations_language(cast: Cast) -> None:
    cast.association.language = "es"
    cast.association.save()
    draft = add_shipped_rubric(season=season_of(cast.association), by=cast.admin, now=NOW)
    assert draft.note.startswith("Práctica común")


def test_one_rubric_a_season_is_in_work(cast: Cast, season: Season, draft: Rubric) -> None:
    with pytest.raises(ValidationError):
        add_shipped_rubric(season=season, by=cast.admin, now=NOW)
    with pytest.raises(ValidationError):
        copy_rubric(source=draft, season=season, by=cast.admin, now=NOW)


def test_two_admins_publish(cast: Cast, season: Season, draft: Rubric) -> None:
    proposed = proposed_by(draft, cast.admin)
    assert (proposed.state, in_force(season)) == ("proposed", None)
    published = approve(rubric=proposed, version=proposed.version, by=cast.second_admin, now=LATER)
    assert in_force(season) == published
    assert (published.published_at, published.proposed_at) == (LATER, NOW)
    assert (published.proposed_by, published.approved_by) == (cast.admin, cast.second_admin)
    assert actions() == ["rubric.drafted", "rubric.proposed", "rubric.published"]


def test_nobody_approves_the_own_proposal(cast: Cast, season: Season, draft: Rubric) -> None:
    proposed = proposed_by(draft, cast.admin)
    with pytest.raises(Refused, match="second admin"):
        approve(rubric=proposed, version=proposed.version, by=cast.admin, now=LATER)
    assert in_force(season) is None


def test_the_database_wants_two_admins_too(cast: Cast, draft: Rubric) -> None:
    proposed = proposed_by(draft, cast.admin)
    for approver in (cast.admin, None):
        with pytest.raises(IntegrityError), transaction.atomic():
            Rubric.objects.filter(pk=proposed.pk).update(
                state="published", published_at=NOW, approved_by=approver
            )


def test_only_admins_propose_approve_and_copy(
    cast: Cast, season: Season, next_season: Season, draft: Rubric
) -> None:
    strangers = (cast.observer, cast.official, cast.board, cast.other_admin)
    for stranger in strangers:
        with pytest.raises(Refused, match="Only an admin"):
            proposed_by(draft, stranger)
        with pytest.raises(Refused, match="Only an admin"):
            copy_rubric(source=draft, season=next_season, by=stranger, now=NOW)
    proposed = proposed_by(draft, cast.admin)
    for stranger in strangers:
        with pytest.raises(Refused, match="Only an admin"):
            approve(rubric=proposed, version=proposed.version, by=stranger, now=NOW)
    assert in_force(season) is None


def test_a_draft_is_not_approved_without_a_proposal(cast: Cast, draft: Rubric) -> None:
    with pytest.raises(Refused, match="draft again"):
        approve(rubric=draft, version=draft.version, by=cast.second_admin, now=NOW)


def test_a_text_missing_in_the_associations_language_stops_the_proposal(
    cast: Cast, draft: Rubric
) -> None:
    lacking = nameless(draft, cast, "en")
    with pytest.raises(Refused, match="Texts are missing"):
        proposed_by(lacking, cast.admin)
    assert Rubric.objects.get(pk=draft.pk).state == "draft"


def test_another_language_may_come_later(cast: Cast, draft: Rubric) -> None:
    lacking = nameless(draft, cast, "es")
    assert proposed_by(lacking, cast.admin).state == "proposed"


def test_either_admin_withdraws_and_the_draft_is_edited_again(cast: Cast, draft: Rubric) -> None:
    proposed = proposed_by(draft, cast.admin)
    again = withdraw_proposal(
        rubric=proposed, version=proposed.version, by=cast.second_admin, now=LATER
    )
    assert (again.state, again.proposed_by, again.proposed_at) == ("draft", None, None)
    assert nameless(again, cast, "es").version == again.version + 1


def test_what_was_withdrawn_and_proposed_anew_is_not_approved_unread(
    cast: Cast, draft: Rubric
) -> None:
    seen = proposed_by(draft, cast.admin)
    again = withdraw_proposal(rubric=seen, version=seen.version, by=cast.admin, now=LATER)
    proposed_by(nameless(again, cast, "es"), cast.admin)
    with pytest.raises(StaleVersion):
        approve(rubric=seen, version=seen.version, by=cast.second_admin, now=LATER)


def test_a_published_rubric_is_never_withdrawn(cast: Cast, season: Season) -> None:
    published = published_rubric(season, cast.admin)
    with pytest.raises(Refused, match="locked"):
        withdraw_proposal(rubric=published, version=published.version, by=cast.admin, now=NOW)


def test_a_copy_is_the_next_seasons_first_draft(
    cast: Cast, season: Season, next_season: Season
) -> None:
    source = published_rubric(season, cast.admin)
    copy = copy_rubric(source=source, season=next_season, by=cast.admin, now=NOW)
    assert (copy.season, copy.edition, copy.state) == (next_season, 1, "draft")
    assert rubric_content(copy) == rubric_content(source)
    assert (copy.published_at, copy.proposed_by, copy.approved_by) == (None, None, None)


def test_a_copy_into_the_same_season_is_its_next_edition(cast: Cast, season: Season) -> None:
    source = published_rubric(season, cast.admin)
    copy = copy_rubric(source=source, season=season, by=cast.admin, now=NOW)
    assert (copy.season, copy.edition) == (season, 2)
    assert in_force(season) == source


def test_changing_a_copy_leaves_the_published_edition_alone(cast: Cast, season: Season) -> None:
    source = published_rubric(season, cast.admin)
    before = rubric_content(source)
    copy = copy_rubric(source=source, season=season, by=cast.admin, now=NOW)
    nameless(copy, cast, "en")
    assert rubric_content(Rubric.objects.get(pk=source.pk)) == before


def test_nothing_is_copied_from_another_association(cast: Cast, season: Season) -> None:
    elsewhere = season_of(cast.other_association)
    theirs = add_shipped_rubric(season=elsewhere, by=cast.other_admin, now=NOW)
    with pytest.raises(Refused, match="Only an admin"):
        copy_rubric(source=theirs, season=season, by=cast.admin, now=NOW)


def test_a_draft_begun_again_can_be_put_back(cast: Cast, season: Season, draft: Rubric) -> None:
    changed = nameless(draft, cast, "en")
    before = rubric_content(changed)
    again = start_over(rubric=changed, version=changed.version, source=None, by=cast.admin, now=NOW)
    assert rubric_content(again) == shipped_content("en")
    undo_removal(rubric=again, version=again.version, by=cast.admin, now=NOW)
    assert rubric_content(Rubric.objects.get(pk=draft.pk)) == before


def test_a_draft_begins_again_from_another_edition(
    cast: Cast, season: Season, next_season: Season
) -> None:
    source = published_rubric(season, cast.admin)
    draft = add_shipped_rubric(season=next_season, by=cast.admin, now=NOW)
    other = nameless(draft, cast, "es")
    again = start_over(rubric=other, version=other.version, source=source, by=cast.admin, now=NOW)
    assert rubric_content(again) == rubric_content(source)
