"""A corrected code and the letters that are out: they stay until an admin has one amended."""

from __future__ import annotations

from datetime import timedelta

import pytest

from evaluations.core.release import State
from evaluations.models import Evaluation, Mail, Release
from evaluations.queries.code_changes import Stage, code_changes
from evaluations.queries.evaluations import worksheet
from evaluations.queries.releases import snapshot_of
from evaluations.services.code_corrections import amend_letters
from evaluations.services.errors import Refused
from evaluations.services.evaluations import save_ratings, submit
from evaluations.services.releases import release_crew
from tests.factories.accounts import Cast
from tests.factories.corrections import (
    DEAD_BALLS,
    FOUND_OUT,
    PLACE_CRITERION,
    correction_in_force,
    handed_in_crew,
    letters_by_wrong_code,
    righted_correction,
)
from tests.factories.releases import answers, letter_of

NOTE = "Edition 1 had a wrong row: look at the place again."
LATER = FOUND_OUT + timedelta(days=1)


def stored(release: Release) -> tuple[object, ...]:
    row = Release.objects.get(pk=release.pk)
    return bytes(row.pdf), row.sha256, row.snapshot, row.content, row.total


def place_met(release: Release) -> int:
    """What the letter itself says was counted for the place."""
    log = snapshot_of(Release.objects.get(pk=release.pk)).log
    assert log is not None
    return log.counted[PLACE_CRITERION].count.met


def test_a_correction_changes_no_letter_and_no_evaluation(cast: Cast) -> None:
    letters = letters_by_wrong_code(cast)
    before = [stored(letter) for letter in letters]
    forms = list(Evaluation.objects.order_by("pk").values())
    correction_in_force(cast)
    assert [stored(letter) for letter in letters] == before
    assert list(Evaluation.objects.order_by("pk").values()) == forms


def test_a_touched_letter_is_amended_and_the_new_one_counts_by_the_correction(cast: Cast) -> None:
    """The whole way: wrong row, letter, correction, amended letter; the old one stays."""
    old = letters_by_wrong_code(cast)[0]
    before = stored(old)
    assert worksheet(old.evaluation).counts[PLACE_CRITERION].met == 0
    correction = correction_in_force(cast)
    [form] = amend_letters(
        correction=correction, releases=[old], note=NOTE, by=cast.admin, now=LATER
    )
    assert (form.state, form.returned_note) == (State.RETURNED, NOTE)
    assert Mail.objects.filter(member=cast.observer, key__startswith="amend-").exists()
    assert worksheet(form).counts[PLACE_CRITERION].met == DEAD_BALLS

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
    assert [place_met(old), place_met(new)] == [0, DEAD_BALLS]
    [change] = code_changes(correction, cast.admin, "en").officials
    assert change.stage is Stage.RENEWED


def test_a_letter_that_the_correction_does_not_touch_is_not_offered(cast: Cast) -> None:
    touched, untouched = letters_by_wrong_code(cast)
    correction = correction_in_force(cast)
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
    correction = correction_in_force(cast)
    with pytest.raises(Refused, match="Choose at least one"):
        amend_letters(correction=correction, releases=[], note=NOTE, by=cast.admin, now=LATER)
    with pytest.raises(Refused, match="Say in the note"):
        amend_letters(correction=correction, releases=[letter], note=" ", by=cast.admin, now=LATER)


def test_a_letter_is_opened_for_amendment_once(cast: Cast) -> None:
    letter = letters_by_wrong_code(cast)[0]
    correction = correction_in_force(cast)
    amend_letters(correction=correction, releases=[letter], note=NOTE, by=cast.admin, now=LATER)
    with pytest.raises(Refused, match="not one to be amended"):
        amend_letters(
            correction=correction, releases=[letter], note=NOTE, by=cast.second_admin, now=LATER
        )


def test_an_admin_who_whistled_amends_nothing_of_that_crew(cast: Cast) -> None:
    letter = letters_by_wrong_code(cast)[0]
    correction = correction_in_force(cast)
    crew_admin = cast.second_admin
    letter.evaluation.observation.game.crew.filter(official=cast.other_official).update(
        official=crew_admin
    )
    with pytest.raises(Refused, match="not one to be amended"):
        amend_letters(correction=correction, releases=[letter], note=NOTE, by=crew_admin, now=LATER)


def test_forms_in_work_simply_have_the_new_counts(cast: Cast) -> None:
    observation = handed_in_crew(cast)
    form = observation.evaluations.get(position="referee")
    assert worksheet(form).counts[PLACE_CRITERION].met == 0
    correction_in_force(cast)
    assert worksheet(form).counts[PLACE_CRITERION].met == DEAD_BALLS
