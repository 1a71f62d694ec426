"""A code in use is corrected: begun as a draft, put in its place, its logs counted anew."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError

from accounts.models import AuditEntry
from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.code import NumberScheme
from evaluations.core.mechanics.court import Side
from evaluations.core.mechanics.facts import NumberShown, Report
from evaluations.models import CodeEdition, DeadBallLog, FindingCount
from evaluations.queries.code_changes import code_changes
from evaluations.queries.codes import (
    code_of,
    in_force,
    is_correcting,
    is_locked,
    mechanics_code,
    newest_code,
)
from evaluations.services.code_corrections import (
    put_in_force,
    set_apart,
    start_correction,
)
from evaluations.services.code_edits import set_row
from evaluations.services.errors import Refused, StaleVersion
from tests.factories.accounts import Cast
from tests.factories.corrections import (
    DEAD_BALLS,
    FOUND_OUT,
    REASON,
    begun_correction,
    correction_in_force,
    edited,
    logged_crew,
    righted_correction,
    well_done,
    with_first_row,
    wrong_edition,
)
from tests.factories.evaluations import published_rubric, season_of
from tests.factories.logs import log_with
from tests.factories.releases import crew_of

LATER = FOUND_OUT + timedelta(days=1)


def in_use(cast: Cast) -> CodeEdition:
    code = wrong_edition(cast)
    published_rubric(season_of(cast.association), cast.admin)
    return code


def place_counts() -> dict[str, tuple[int, int, int]]:
    """Met, not met and not judged places by position, as lists read them."""
    rows = FindingCount.objects.filter(rule="side").order_by("position")
    return {row.position: (row.met, row.not_met, row.not_judged) for row in rows}


# --- Beginning -----------------------------------------------------------------------------------
def test_a_correction_begins_as_a_draft_with_what_the_edition_says(cast: Cast) -> None:
    code = in_use(cast)
    draft = start_correction(code=code, by=cast.admin, now=FOUND_OUT)
    assert (draft.edition, draft.corrects, draft.in_force_at) == (2, code, None)
    assert mechanics_code(draft).rows == mechanics_code(code).rows
    assert is_correcting(draft) and not is_locked(draft)
    assert is_locked(code)


def test_an_edition_that_nobody_uses_is_changed_as_it_is(cast: Cast) -> None:
    code = wrong_edition(cast)
    with pytest.raises(Refused, match="not in use yet"):
        start_correction(code=code, by=cast.admin, now=FOUND_OUT)


def test_one_correction_at_a_time(cast: Cast) -> None:
    code = in_use(cast)
    start_correction(code=code, by=cast.admin, now=FOUND_OUT)
    with pytest.raises(Refused, match="Edition 2 corrects this one already"):
        start_correction(code=code, by=cast.second_admin, now=FOUND_OUT)


def test_a_correction_in_work_can_not_be_corrected(cast: Cast) -> None:
    in_use(cast)
    with pytest.raises(Refused, match="not in use yet"):
        start_correction(code=begun_correction(cast), by=cast.admin, now=FOUND_OUT)


def test_only_admins_of_the_association_correct(cast: Cast) -> None:
    code = in_use(cast)
    for somebody in (cast.observer, cast.board, cast.other_admin):
        with pytest.raises(Refused, match="Only an admin"):
            start_correction(code=code, by=somebody, now=FOUND_OUT)


def test_a_correction_in_work_is_not_what_a_new_rubric_begins_with(cast: Cast) -> None:
    code = in_use(cast)
    begun_correction(cast)
    assert newest_code(cast.association, 2) == code


def test_a_correction_given_up_becomes_an_edition_of_its_own(cast: Cast) -> None:
    code, draft = in_use(cast), begun_correction(cast)
    set_apart(correction=draft, version=draft.version, by=cast.admin, now=FOUND_OUT)
    stored = CodeEdition.objects.get(pk=draft.pk)
    assert stored.corrects is None and stored.version == draft.version + 1
    assert start_correction(code=code, by=cast.admin, now=LATER).edition == 3
    with pytest.raises(Refused, match="no correction in work"):
        set_apart(correction=stored, version=stored.version, by=cast.admin, now=LATER)


def test_a_correction_in_work_is_edited_and_what_is_in_use_is_not(cast: Cast) -> None:
    code = in_use(cast)
    draft = begun_correction(cast)
    right = with_first_row(mechanics_code(draft), Side.TABLE)

    def put_right(edition: CodeEdition) -> CodeEdition:
        return set_row(
            code=edition,
            version=edition.version,
            number=1,
            row=right.rows[0],
            by=cast.admin,
            now=FOUND_OUT,
        )

    edited_one = put_right(draft)
    put_in_force(
        correction=edited_one,
        version=edited_one.version,
        reason=REASON,
        by=cast.admin,
        now=FOUND_OUT,
    )
    for edition in (code, CodeEdition.objects.get(pk=draft.pk)):
        with pytest.raises(Refused):
            put_right(edition)
    assert mechanics_code(code).rows[0] != right.rows[0]


# --- Putting it in force -------------------------------------------------------------------------
def test_from_then_on_the_correction_holds_where_the_edition_did(cast: Cast) -> None:
    observation = logged_crew(cast)
    code = code_of(observation)
    assert code is not None
    correction = correction_in_force(cast)
    assert code_of(observation) == in_force(code) == correction
    assert (correction.in_force_at, correction.reason) == (FOUND_OUT, REASON)
    assert is_locked(correction) and is_locked(code)


def test_the_logs_are_counted_anew_and_only_the_one_whose_place_it_is_changes(cast: Cast) -> None:
    logged_crew(cast)
    referee, umpire = CrewPosition.REFEREE.value, CrewPosition.UMPIRE.value
    assert place_counts() == {referee: (0, DEAD_BALLS, 0), umpire: (DEAD_BALLS, 0, 0)}
    others = set(FindingCount.objects.exclude(rule="side").values_list("rule", "met", "not_met"))
    correction_in_force(cast)
    assert place_counts() == {referee: (DEAD_BALLS, 0, 0), umpire: (DEAD_BALLS, 0, 0)}
    assert others == set(
        FindingCount.objects.exclude(rule="side").values_list("rule", "met", "not_met")
    )


def test_the_audit_log_has_the_numbers(cast: Cast) -> None:
    logged_crew(cast)
    correction = correction_in_force(cast)
    assert correction.corrects is not None
    entry = AuditEntry.objects.get(action="code.corrected")
    assert entry.object_id == str(correction.pk) and entry.actor == cast.admin.user
    assert entry.details == {
        "version": correction.version,
        "corrects": correction.corrects.pk,
        "logs": 1,
        "logs_changed": 1,
        "dead_balls_changed": DEAD_BALLS,
    }


def test_a_code_with_a_gap_is_refused_with_the_situation_that_no_row_covers(cast: Cast) -> None:
    in_use(cast)
    draft = begun_correction(cast)
    code = mechanics_code(draft)
    gap = edited(draft, replace(code, rows=code.rows[:-1]))
    with pytest.raises(Refused) as refusal:
        put_in_force(
            correction=gap, version=gap.version, reason=REASON, by=cast.admin, now=FOUND_OUT
        )
    assert str(refusal.value) == (
        "No row covers this: violation · throw-in on the end line · front court · direction "
        "turns · caller: lead, table side. Add a row for it first."
    )
    assert CodeEdition.objects.get(pk=gap.pk).in_force_at is None


def test_a_correction_that_corrects_nothing_is_refused(cast: Cast) -> None:
    in_use(cast)
    draft = begun_correction(cast)
    with pytest.raises(Refused, match="both editions say the same"):
        put_in_force(
            correction=draft, version=draft.version, reason=REASON, by=cast.admin, now=FOUND_OUT
        )


@pytest.mark.parametrize(("reason", "refusal"), [(" ", Refused), ("x" * 301, ValidationError)])
def test_a_reason_of_at_most_300_characters_is_needed(
    cast: Cast, reason: str, refusal: type[Exception]
) -> None:
    in_use(cast)
    draft = righted_correction(cast)
    with pytest.raises(refusal):
        put_in_force(
            correction=draft, version=draft.version, reason=reason, by=cast.admin, now=FOUND_OUT
        )
    assert CodeEdition.objects.get(pk=draft.pk).version == draft.version


def test_a_draft_that_was_edited_since_is_refused(cast: Cast) -> None:
    in_use(cast)
    draft = righted_correction(cast)
    with pytest.raises(StaleVersion):
        put_in_force(
            correction=draft, version=draft.version - 1, reason=REASON, by=cast.admin, now=FOUND_OUT
        )


def test_a_correction_comes_into_force_once(cast: Cast) -> None:
    in_use(cast)
    correction = correction_in_force(cast)
    with pytest.raises(Refused, match="no correction in work"):
        put_in_force(
            correction=correction,
            version=correction.version,
            reason=REASON,
            by=cast.admin,
            now=LATER,
        )


def test_a_correction_is_corrected_itself_and_the_one_before_it_no_more(cast: Cast) -> None:
    """A second correction judges the logs of the first edition, too."""
    observation = logged_crew(cast)
    first = correction_in_force(cast)
    assert first.corrects is not None
    with pytest.raises(Refused, match="Edition 2 has taken this one's place"):
        start_correction(code=first.corrects, by=cast.admin, now=LATER)
    draft = start_correction(code=first, by=cast.admin, now=LATER)
    back = edited(draft, replace(mechanics_code(first.corrects), edition="3"))
    put_in_force(correction=back, version=back.version, reason=REASON, by=cast.admin, now=LATER)
    assert code_of(observation) == back
    assert place_counts()["referee"] == (0, DEAD_BALLS, 0)


def test_a_rule_without_a_row_is_judged_anew_too(cast: Cast) -> None:
    """How the hands give a number is said for the whole code."""
    wrong_edition(cast)
    shown = Report(player="24", number_shown=NumberShown.AT_ONCE)
    log_with(crew_of(cast), [replace(well_done(), report=shown)])
    signs = FindingCount.objects.filter(rule="number_shown").values_list("met", "not_met")
    assert list(signs) == [(1, 0)]
    draft = begun_correction(cast)
    tens = replace(mechanics_code(draft), number_scheme=NumberScheme.TENS_THEN_UNITS)
    ready = edited(draft, tens)
    put_in_force(correction=ready, version=ready.version, reason=REASON, by=cast.admin, now=LATER)
    assert list(signs.all()) == [(0, 1)]


def test_an_option_that_is_gone_stays_in_the_log_and_breaks_nothing(cast: Cast) -> None:
    observation = logged_crew(cast)
    log = DeadBallLog.objects.get(observation=observation)
    log.agreed = ["caller_lead_opposite"]
    log.save()
    draft = begun_correction(cast)
    code = mechanics_code(draft)
    without = edited(
        draft, replace(code, rows=tuple(replace(row, options=()) for row in code.rows))
    )
    changes = code_changes(without, cast.admin, "en")
    assert changes.touched.lost_options == {"caller_lead_opposite": 1}
    put_in_force(
        correction=without, version=without.version, reason=REASON, by=cast.admin, now=LATER
    )
    log.refresh_from_db()
    assert log.agreed == ["caller_lead_opposite"]
    assert place_counts()["umpire"] == (DEAD_BALLS, 0, 0)
