"""A code in use is corrected: begun as a draft, put in its place, its logs counted anew."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError

from accounts.models import AuditEntry
from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.code import NumberScheme
from evaluations.core.mechanics.facts import NumberShown, Report
from evaluations.core.release import State
from evaluations.models import CodeEdition, Evaluation, FindingCount, Mail, Release
from evaluations.queries.code_changes import Stage, code_changes
from evaluations.queries.codes import (
    code_of,
    in_force,
    is_correcting,
    is_locked,
    mechanics_code,
    newest_code,
)
from evaluations.queries.evaluations import worksheet
from evaluations.queries.logs import counts_of
from evaluations.services.code_corrections import (
    amend_letters,
    put_in_force,
    set_apart,
    start_correction,
)
from evaluations.services.errors import Refused, StaleVersion
from evaluations.services.evaluations import save_ratings, submit
from evaluations.services.releases import release_crew
from tests.factories.accounts import Cast
from tests.factories.corrections import (
    DEAD_BALLS,
    FOUND_OUT,
    PLACE_CRITERION,
    begun_correction,
    edited,
    handed_in_crew,
    letters_by_wrong_code,
    logged_crew,
    righted_correction,
    well_done,
    wrong_edition,
)
from tests.factories.evaluations import published_rubric, season_of
from tests.factories.logs import log_with
from tests.factories.releases import answers, crew_of, letter_of

REASON = "The manual has the table side."
NOTE = "Edition 1 had a wrong row: look at the place again."
LATER = FOUND_OUT + timedelta(days=1)


def in_use(cast: Cast) -> CodeEdition:
    code = wrong_edition(cast)
    published_rubric(season_of(cast.association), cast.admin)
    return code


def corrected(cast: Cast) -> CodeEdition:
    """The row put right, and the correction in force."""
    draft = righted_correction(cast)
    put_in_force(
        correction=draft, version=draft.version, reason=REASON, by=cast.admin, now=FOUND_OUT
    )
    return CodeEdition.objects.get(pk=draft.pk)


def place_counts() -> dict[str, tuple[int, int, int]]:
    """Met, not met and not judged places by position, as lists read them."""
    rows = FindingCount.objects.filter(rule="place").order_by("position")
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


# --- Putting it in force -------------------------------------------------------------------------
def test_from_then_on_the_correction_holds_where_the_edition_did(cast: Cast) -> None:
    observation = logged_crew(cast)
    code = code_of(observation)
    assert code is not None
    correction = corrected(cast)
    assert code_of(observation) == in_force(code) == correction
    assert (correction.in_force_at, correction.reason) == (FOUND_OUT, REASON)
    assert is_locked(correction) and is_locked(code)


def test_the_logs_are_counted_anew_and_only_the_one_whose_place_it_is_changes(cast: Cast) -> None:
    logged_crew(cast)
    referee, umpire = CrewPosition.REFEREE.value, CrewPosition.UMPIRE.value
    assert place_counts() == {referee: (0, DEAD_BALLS, 0), umpire: (DEAD_BALLS, 0, 0)}
    others = set(FindingCount.objects.exclude(rule="place").values_list("rule", "met", "not_met"))
    corrected(cast)
    assert place_counts() == {referee: (DEAD_BALLS, 0, 0), umpire: (DEAD_BALLS, 0, 0)}
    assert others == set(
        FindingCount.objects.exclude(rule="place").values_list("rule", "met", "not_met")
    )


def test_the_audit_log_has_the_numbers(cast: Cast) -> None:
    logged_crew(cast)
    correction = corrected(cast)
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
    correction = corrected(cast)
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
    first = corrected(cast)
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
    log = observation.log
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


# --- Letters -------------------------------------------------------------------------------------
def stored(release: Release) -> tuple[object, ...]:
    row = Release.objects.get(pk=release.pk)
    return bytes(row.pdf), row.sha256, row.snapshot, row.content, row.total


def test_a_correction_changes_no_letter_and_no_evaluation(cast: Cast) -> None:
    letters = letters_by_wrong_code(cast)
    before = [stored(letter) for letter in letters]
    forms = list(Evaluation.objects.order_by("pk").values())
    corrected(cast)
    assert [stored(letter) for letter in letters] == before
    assert list(Evaluation.objects.order_by("pk").values()) == forms


def test_a_touched_letter_is_amended_and_the_new_one_counts_by_the_correction(cast: Cast) -> None:
    """The whole way: wrong row, letter, correction, amended letter; the old one stays."""
    old = letters_by_wrong_code(cast)[0]
    before = stored(old)
    sheet = worksheet(old.evaluation)
    assert counts_of(old.evaluation, sheet.rubric)[PLACE_CRITERION].met == 0
    correction = corrected(cast)
    [form] = amend_letters(
        correction=correction, releases=[old], note=NOTE, by=cast.admin, now=LATER
    )
    assert (form.state, form.returned_note) == (State.RETURNED, NOTE)
    assert Mail.objects.filter(member=cast.observer, key__startswith="amend-").exists()
    assert counts_of(form, sheet.rubric)[PLACE_CRITERION].met == DEAD_BALLS

    rated = save_ratings(
        evaluation=form,
        version=form.version,
        ratings=answers(form, {PLACE_CRITERION: 4}),
        flagged=None,
        by=cast.observer,
        now=LATER,
    )
    submit(evaluation=rated, version=rated.version, by=cast.observer, now=LATER)
    observation = old.evaluation.observation
    [new] = release_crew(observation=observation, by=cast.admin, now=LATER)
    assert new.serial == 2 and new == letter_of(cast.official)
    assert new.total is not None and old.total is not None and new.total > old.total
    assert stored(old) == before and bytes(new.pdf) != before[0]
    [change] = code_changes(correction, cast.admin, "en").officials
    assert change.stage is Stage.RENEWED


def test_a_letter_that_the_correction_does_not_touch_is_not_offered(cast: Cast) -> None:
    touched, untouched = letters_by_wrong_code(cast)
    correction = corrected(cast)
    with pytest.raises(Refused, match="not one to be amended"):
        amend_letters(
            correction=correction,
            releases=[touched, untouched],
            note=NOTE,
            by=cast.admin,
            now=LATER,
        )
    assert set(Evaluation.objects.values_list("state", flat=True)) == {State.RELEASED}


def test_letters_are_amended_once_the_correction_holds(cast: Cast) -> None:
    letter = letters_by_wrong_code(cast)[0]
    draft = righted_correction(cast)
    with pytest.raises(Refused, match="not in force yet"):
        amend_letters(correction=draft, releases=[letter], note=NOTE, by=cast.admin, now=LATER)


def test_amending_needs_a_letter_and_a_note(cast: Cast) -> None:
    letter = letters_by_wrong_code(cast)[0]
    correction = corrected(cast)
    with pytest.raises(Refused, match="Choose at least one"):
        amend_letters(correction=correction, releases=[], note=NOTE, by=cast.admin, now=LATER)
    with pytest.raises(Refused, match="Say in the note"):
        amend_letters(correction=correction, releases=[letter], note=" ", by=cast.admin, now=LATER)


def test_a_letter_is_opened_for_amendment_once(cast: Cast) -> None:
    letter = letters_by_wrong_code(cast)[0]
    correction = corrected(cast)
    amend_letters(correction=correction, releases=[letter], note=NOTE, by=cast.admin, now=LATER)
    with pytest.raises(Refused, match="not one to be amended"):
        amend_letters(
            correction=correction, releases=[letter], note=NOTE, by=cast.second_admin, now=LATER
        )


def test_an_admin_who_whistled_amends_nothing_of_that_crew(cast: Cast) -> None:
    letter = letters_by_wrong_code(cast)[0]
    correction = corrected(cast)
    crew_admin = cast.second_admin
    letter.evaluation.observation.game.crew.filter(official=cast.other_official).update(
        official=crew_admin
    )
    with pytest.raises(Refused, match="not one to be amended"):
        amend_letters(correction=correction, releases=[letter], note=NOTE, by=crew_admin, now=LATER)


def test_forms_in_work_simply_have_the_new_counts(cast: Cast) -> None:
    observation = handed_in_crew(cast)
    form = observation.evaluations.get(position="referee")
    spec = worksheet(form).rubric
    assert counts_of(form, spec)[PLACE_CRITERION].met == 0
    corrected(cast)
    assert counts_of(form, spec)[PLACE_CRITERION].met == DEAD_BALLS
