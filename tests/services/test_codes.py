"""An association's mechanics codes: begun, edited row by row, locked once a rubric is proposed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import Any

import pytest

from accounts.models import AuditEntry
from evaluations.core.documents import to_document
from evaluations.core.mechanics.code import (
    Administers,
    MechanicsCode,
    NumberScheme,
    Option,
    Row,
    gaps,
)
from evaluations.core.mechanics.court import Place, Position, Side, Whistle
from evaluations.core.mechanics.questions import QUESTIONS, Answer, Answers, Asked
from evaluations.models import CodeEdition, Rubric
from evaluations.queries.codes import is_locked, mechanics_code
from evaluations.queries.rubrics import rubric_content
from evaluations.services.code_edits import (
    ROWS_AT_MOST,
    add_row,
    move_row,
    remove_row,
    set_heading,
    set_row,
    undo_removal,
)
from evaluations.services.codes import copy_code, start_from_answers, start_from_shipped
from evaluations.services.errors import Refused, StaleVersion
from evaluations.services.rubric_edits import set_words
from evaluations.services.rubrics import approve, propose, withdraw_proposal
from evaluations.services.shipped_codes import SHIPPED_CODES, shipped_code
from evaluations.services.shipped_rubric import add_shipped_rubric
from tests.factories.accounts import NOW, Cast
from tests.factories.evaluations import published_rubric, season_of

LEAD, TRAIL = Position.LEAD, Position.TRAIL
STAY = Row(2, {LEAD: Place(LEAD), TRAIL: Place(TRAIL)}, Administers.LINE_OWNER)


@pytest.fixture
def code(cast: Cast) -> CodeEdition:
    return start_from_shipped(
        association=cast.association, key="two_person_every_foul", by=cast.admin, now=NOW
    )


def of(code: CodeEdition) -> MechanicsCode:
    """The code as it is stored now."""
    return mechanics_code(CodeEdition.objects.get(pk=code.pk))


def actions() -> list[str]:
    entries = AuditEntry.objects.filter(action__startswith="code.").order_by("pk")
    return list(entries.values_list("action", flat=True))


Step = Callable[..., CodeEdition]
STEPS: list[tuple[Step, dict[str, Any]]] = [
    (set_row, {"number": 1, "row": STAY}),
    (add_row, {"before": 1, "row": STAY}),
    (move_row, {"number": 1, "up": False}),
    (remove_row, {"number": 1}),
    (
        set_heading,
        {"name": {"en": "Own"}, "source": {}, "number_scheme": NumberScheme.TENS_THEN_UNITS},
    ),
]


# --- Begun ----------------------------------------------------------------------------------------
def answers_of_two(**changes: Answer) -> Answers:
    given = {asked: values[0] for asked, values in QUESTIONS[2].items()}
    return given | {Asked(name): value for name, value in changes.items()}


def test_answers_make_the_next_edition_and_are_kept(cast: Cast, code: CodeEdition) -> None:
    answers = answers_of_two(number=Answer.TENS_THEN_UNITS)
    made = start_from_answers(
        association=cast.association, crew_size=2, answers=answers, by=cast.admin, now=NOW
    )
    assert (made.crew_size, made.edition, made.base) == (2, 2, "two_person_every_foul")
    assert made.answers == {asked.value: answer.value for asked, answer in answers.items()}
    value = of(made)
    assert value.rows == shipped_code("two_person_every_foul").rows
    assert (value.edition, value.number_scheme) == ("2", NumberScheme.TENS_THEN_UNITS)


@pytest.mark.parametrize("key", SHIPPED_CODES)
def test_a_shipped_code_is_stored_without_loss(cast: Cast, key: str) -> None:
    made = start_from_shipped(association=cast.association, key=key, by=cast.admin, now=NOW)
    assert of(made) == shipped_code(key)


def test_a_copy_is_the_next_edition_and_free_to_change(cast: Cast) -> None:
    rubric = published_rubric(season_of(cast.association), cast.admin)
    source = rubric.code_of_two
    assert source is not None and is_locked(source)
    copy = copy_code(source=source, by=cast.admin, now=NOW)
    assert (copy.edition, copy.base, copy.answers) == (2, source.base, None)
    assert of(copy) == replace(of(source), edition="2")
    assert not is_locked(copy)


def test_only_an_admin_of_the_association_begins_or_edits(cast: Cast, code: CodeEdition) -> None:
    for stranger in (cast.observer, cast.board, cast.other_admin):
        with pytest.raises(Refused, match="Only an admin"):
            copy_code(source=code, by=stranger, now=NOW)
        with pytest.raises(Refused, match="Only an admin"):
            start_from_answers(
                association=cast.association,
                crew_size=2,
                answers=answers_of_two(),
                by=stranger,
                now=NOW,
            )
        for step, values in STEPS:
            with pytest.raises(Refused, match="Only an admin"):
                step(code=code, version=1, by=stranger, now=NOW, **values)
    assert CodeEdition.objects.get().version == 1


# --- Edited ---------------------------------------------------------------------------------------
def test_a_row_is_written_and_nothing_else_changes(cast: Cast, code: CodeEdition) -> None:
    before = of(code).rows
    set_row(code=code, version=1, number=3, row=STAY, by=cast.admin, now=NOW)
    assert of(code).rows == (*before[:2], STAY, *before[3:])
    assert actions() == ["code.started", "code.row_written"]


@pytest.mark.parametrize(("before", "at"), [(1, 0), (3, 2), (28, 27), (500, 27), (0, 0)])
def test_a_row_is_added_at_a_place(cast: Cast, code: CodeEdition, before: int, at: int) -> None:
    add_row(code=code, version=1, before=before, row=STAY, by=cast.admin, now=NOW)
    rows = of(code).rows
    assert len(rows) == 28 and rows[at] == STAY


def test_a_row_changes_places_and_at_the_end_nothing_moves(cast: Cast, code: CodeEdition) -> None:
    first, second, *rest = of(code).rows
    move_row(code=code, version=1, number=2, up=True, by=cast.admin, now=NOW)
    assert of(code).rows == (second, first, *rest)
    move_row(code=code, version=2, number=1, up=True, by=cast.admin, now=NOW)
    assert of(code).rows == (second, first, *rest)
    move_row(code=code, version=3, number=1, up=False, by=cast.admin, now=NOW)
    move_row(code=code, version=4, number=27, up=False, by=cast.admin, now=NOW)
    assert of(code).rows == (first, second, *rest)


def test_what_was_taken_away_comes_back_until_the_next_save(cast: Cast, code: CodeEdition) -> None:
    whole = of(code)
    removed = remove_row(code=code, version=1, number=1, by=cast.admin, now=NOW)
    assert removed.undo is not None and removed.undo["removed"] == "Row 1"
    assert gaps(of(code)) != ()
    undo_removal(code=code, version=2, by=cast.admin, now=NOW)
    assert of(code) == whole
    remove_row(code=code, version=3, number=5, by=cast.admin, now=NOW)
    move_row(code=code, version=4, number=1, up=False, by=cast.admin, now=NOW)
    with pytest.raises(Refused, match="nothing to put back"):
        undo_removal(code=code, version=5, by=cast.admin, now=NOW)


def test_a_heading_is_written_in_every_language(cast: Cast, code: CodeEdition) -> None:
    set_heading(
        code=code,
        version=1,
        name={"en": "Our manual", "es": "Nuestro manual"},
        source={"en": "Manual, edition 4"},
        number_scheme=NumberScheme.TENS_THEN_UNITS,
        by=cast.admin,
        now=NOW,
    )
    value = of(code)
    assert value.name == {"en": "Our manual", "es": "Nuestro manual"}
    assert value.source == {"en": "Manual, edition 4"}
    assert value.number_scheme is NumberScheme.TENS_THEN_UNITS
    assert value.rows == shipped_code(code.base).rows


# --- Refused --------------------------------------------------------------------------------------
@pytest.mark.parametrize(("step", "values"), STEPS)
def test_the_second_of_two_saves_from_one_page_is_refused(
    cast: Cast, code: CodeEdition, step: Step, values: dict[str, Any]
) -> None:
    move_row(code=code, version=1, number=1, up=False, by=cast.second_admin, now=NOW)
    stored = of(code)
    with pytest.raises(StaleVersion, match="Somebody saved this code"):
        step(code=code, version=1, by=cast.admin, now=NOW, **values)
    assert of(code) == stored
    assert CodeEdition.objects.get().version == 2


NOBODY_TRAIL = {LEAD: Place(LEAD), TRAIL: Place(LEAD)}


@pytest.mark.parametrize(
    ("row", "says"),
    [
        (replace(STAY, after=NOBODY_TRAIL), "every position must be filled once"),
        (replace(STAY, administers=Administers.CENTRE), "no centre"),
        (
            replace(
                STAY, options=(Option("caller_lead", NOBODY_TRAIL, Administers.LEAD),), caller=LEAD
            ),
            "every position must be filled once",
        ),
    ],
)
def test_a_row_that_no_crew_can_stand_in_is_refused(
    cast: Cast, code: CodeEdition, row: Row, says: str
) -> None:
    with pytest.raises(Refused, match=says):
        set_row(code=code, version=1, number=1, row=row, by=cast.admin, now=NOW)
    with pytest.raises(Refused, match=says):
        add_row(code=code, version=1, before=1, row=row, by=cast.admin, now=NOW)
    assert CodeEdition.objects.get().version == 1


@pytest.mark.parametrize("number", [0, 28, -1])
def test_a_row_that_is_not_there_is_refused(cast: Cast, code: CodeEdition, number: int) -> None:
    for step, values in ((set_row, {"row": STAY}), (move_row, {"up": True}), (remove_row, {})):
        with pytest.raises(Refused, match="not in the code any more"):
            step(code=code, version=1, number=number, by=cast.admin, now=NOW, **values)


def test_a_code_has_room_for_so_many_rows(cast: Cast, code: CodeEdition) -> None:
    value = of(code)
    full = replace(value, rows=(value.rows * 8)[:ROWS_AT_MOST])
    copy = start_from_shipped(
        association=cast.association, key="two_person_every_foul", by=cast.admin, now=NOW
    )
    CodeEdition.objects.filter(pk=copy.pk).update(content=to_document(full))
    with pytest.raises(Refused, match="at most 200 rows"):
        add_row(code=copy, version=1, before=1, row=STAY, by=cast.admin, now=NOW)


# --- Under a rubric -------------------------------------------------------------------------------
def draft_with(cast: Cast, code: CodeEdition | None, three: CodeEdition | None = None) -> Rubric:
    draft = add_shipped_rubric(season=season_of(cast.association), by=cast.admin, now=NOW)
    return name_codes(cast, draft, code, three)


def name_codes(
    cast: Cast, draft: Rubric, two: CodeEdition | None, three: CodeEdition | None
) -> Rubric:
    content = rubric_content(draft)
    return set_words(
        rubric=draft,
        version=draft.version,
        note=content.note,
        mechanics=content.mechanics,
        level_words=content.level_words,
        cut_points=content.cut_points,
        minimum_count=content.minimum_count,
        bands=content.bands,
        code_of_two=two,
        code_of_three=three,
        by=cast.admin,
        now=NOW,
    )


def test_a_rubric_names_its_codes_and_may_name_none(cast: Cast, code: CodeEdition) -> None:
    draft = draft_with(cast, code)
    assert (draft.code_of_two, draft.code_of_three) == (code, None)
    assert name_codes(cast, draft, None, None).code_of_two is None


def test_a_rubric_names_no_code_of_others_or_for_another_crew(
    cast: Cast, code: CodeEdition
) -> None:
    theirs = start_from_shipped(
        association=cast.other_association, key=code.base, by=cast.other_admin, now=NOW
    )
    draft = draft_with(cast, None)
    for two, three in ((theirs, None), (None, code)):
        with pytest.raises(Refused, match="can't use this mechanics code"):
            name_codes(cast, draft, two, three)


def test_a_rubric_names_no_correction_that_is_not_in_force(cast: Cast, code: CodeEdition) -> None:
    correction = copy_code(source=code, by=cast.admin, now=NOW)
    CodeEdition.objects.filter(pk=correction.pk).update(corrects=code)
    draft = draft_with(cast, None)
    with pytest.raises(Refused, match="can't use this mechanics code"):
        name_codes(cast, draft, CodeEdition.objects.get(pk=correction.pk), None)


def test_a_code_with_a_gap_is_not_proposed_and_the_refusal_names_the_situation(
    cast: Cast, code: CodeEdition
) -> None:
    open_code = remove_row(code=code, version=1, number=26, by=cast.admin, now=NOW)
    draft = draft_with(cast, open_code)
    with pytest.raises(Refused) as refusal:
        propose(rubric=draft, version=draft.version, by=cast.admin, now=NOW)
    assert str(refusal.value) == (
        "The mechanics code “two officials, edition 1” has no row for: violation · throw-in on the "
        "end line · front court · direction stays · caller: lead, table side. "
        "Add a row first."
    )
    assert Rubric.objects.get().state == Rubric.State.DRAFT
    undo_removal(code=code, version=2, by=cast.admin, now=NOW)
    assert propose(rubric=draft, version=draft.version, by=cast.admin, now=NOW).state == "proposed"


def refused_everywhere(cast: Cast, code: CodeEdition, now: datetime) -> None:
    version = CodeEdition.objects.get(pk=code.pk).version
    for step, values in STEPS:
        with pytest.raises(Refused, match="in use and locked"):
            step(code=code, version=version, by=cast.admin, now=now, **values)
    assert CodeEdition.objects.get(pk=code.pk).version == version


def test_a_code_is_locked_from_the_proposal_on_and_free_again_when_it_is_withdrawn(
    cast: Cast, code: CodeEdition
) -> None:
    draft = draft_with(cast, code)
    assert not is_locked(code)
    proposed = propose(rubric=draft, version=draft.version, by=cast.admin, now=NOW)
    refused_everywhere(cast, code, NOW)
    back = withdraw_proposal(rubric=proposed, version=proposed.version, by=cast.admin, now=NOW)
    set_row(code=code, version=1, number=27, row=STAY, by=cast.admin, now=NOW)
    again = propose(rubric=back, version=back.version, by=cast.admin, now=NOW)
    approve(rubric=again, version=again.version, by=cast.second_admin, now=NOW)
    refused_everywhere(cast, code, NOW)


def test_a_locked_code_refuses_also_what_names_an_old_version(
    cast: Cast, code: CodeEdition
) -> None:
    draft = draft_with(cast, code)
    propose(rubric=draft, version=draft.version, by=cast.admin, now=NOW)
    with pytest.raises(Refused, match="in use and locked"):
        remove_row(code=code, version=0, number=1, by=cast.admin, now=NOW)


def test_a_whistle_is_what_a_row_says_it_is_for(cast: Cast, code: CodeEdition) -> None:
    own = replace(STAY, whistles=frozenset({Whistle.DOUBLE, Whistle.COMMON}), side=Side.TABLE)
    set_row(code=code, version=1, number=1, row=own, by=cast.admin, now=NOW)
    assert of(code).rows[0] == own
