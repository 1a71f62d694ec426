"""The form about one official: what it shows, what it keeps, and whom it lets in."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from django.test import Client

from evaluations.core.ratings import COMMENT_LIMIT
from evaluations.models import Evaluation, Observation
from evaluations.services.evaluations import return_to_observer
from tests.factories.accounts import Cast
from tests.factories.releases import SUBMITTED_AT, hand_in, write
from tests.web.evaluation.sending import A, B, address, post, send, stored

if TYPE_CHECKING:
    from django.test.client import _MonkeyPatchedWSGIResponse as Answer


def text(answer: Answer) -> str:
    return answer.content.decode()


def chosen(page: str) -> int:
    """How many levels are chosen on the page."""
    return len(re.findall(r"<input[^>]* checked", page))


# --- The page ---------------------------------------------------------------------------------
def test_the_page_says_whom_it_is_about_and_asks_for_every_criterion(
    observer: Client, evaluation: Evaluation
) -> None:
    page = text(observer.get(address(evaluation)))
    for fact in ("Nico Vale", "Herons", "Millstone", "referee in a crew of 2", "Varsity"):
        assert fact in page
    assert "2026–27, edition 1" in page
    assert page.count('role="radiogroup"') == 12
    assert page.count('value="not_seen"') == 12
    assert "25 % of the total" in page
    assert "0 of 12 answered, 0 not seen" in page


def test_the_log_with_its_sketches_is_one_step_away(
    observer: Client, evaluation: Evaluation
) -> None:
    log = f"/a/rivers/observations/{evaluation.observation_id}/log/"
    assert f'href="{log}"' in text(observer.get(address(evaluation)))
    assert observer.get(log)["Location"] == f"{log}begin/", "there is none yet"


def test_nothing_is_chosen_before_the_observer_chooses(
    observer: Client, evaluation: Evaluation
) -> None:
    assert chosen(text(observer.get(address(evaluation)))) == 0


def test_the_page_comes_back_as_it_was_left_and_shows_no_score(
    observer: Client, evaluation: Evaluation
) -> None:
    write(evaluation)
    page = text(observer.get(address(evaluation)))
    assert chosen(page) == 12
    assert "12 of 12 answered, 1 not seen" in page
    assert "Comment on Nico Vale: off the lane." in page
    assert "of 100" not in page


def test_each_level_has_its_word_and_its_wording(observer: Client, evaluation: Evaluation) -> None:
    page = text(observer.get(address(evaluation)))
    assert "nearly always" in page
    assert "The route leads round the group in every report seen." in page


def test_marks_of_the_official_that_change_the_letter_are_said(
    cast: Cast, observer: Client, observation: Observation
) -> None:
    cast.official.under_18, cast.official.guardian_email = True, "guardian@example.org"
    cast.official.new_official = True
    cast.official.save()
    page = text(observer.get(address(observation.evaluations.get(position="referee"))))
    assert "the letter has no total" in page
    assert "two next steps at most" in page


def test_the_observer_reads_the_form_in_the_observers_language(
    cast: Cast, observer: Client, evaluation: Evaluation
) -> None:
    cast.observer.user.language = "es"
    cast.observer.user.save()
    page = text(observer.get(address(evaluation)))
    assert "Se detiene antes de la primera señal" in page
    assert "casi siempre" in page


def test_a_form_that_came_back_opens_with_the_admins_note(
    cast: Cast, observer: Client, evaluation: Evaluation
) -> None:
    submitted = hand_in(evaluation)
    return_to_observer(
        evaluation=submitted, note="Which dead ball was it?", by=cast.admin, now=SUBMITTED_AT
    )
    for page in ("evaluation_form", "evaluation_words", "evaluation_check"):
        assert "Which dead ball was it?" in text(observer.get(address(evaluation, page)))


# --- Sent by its button -----------------------------------------------------------------------
def test_what_is_sent_is_kept_and_the_words_come_next(
    observer: Client, evaluation: Evaluation
) -> None:
    answer = post(
        observer,
        evaluation,
        {f"{A}-level": "5", f"{A}-evidence": "Each time.", f"{A}-dead_ball": "9", "flagged": B},
    )
    assert answer.headers["Location"] == address(evaluation, "evaluation_words")
    assert stored(evaluation) == (5, False, "Each time.", 9)
    evaluation.refresh_from_db()
    assert evaluation.flagged is not None and evaluation.flagged.key == B


def test_saving_stays_on_the_page(observer: Client, evaluation: Evaluation) -> None:
    answer = post(observer, evaluation, {f"{A}-level": "not_seen", "stay": "yes"})
    assert answer.headers["Location"] == address(evaluation)
    assert stored(evaluation) == (None, True, "", None)


def test_a_page_on_which_nothing_changed_leaves_no_trace(
    observer: Client, evaluation: Evaluation
) -> None:
    post(observer, evaluation, {f"{key}-{part}": "" for key in (A, B) for part in ("evidence",)})
    assert not evaluation.ratings.exists()
    evaluation.refresh_from_db()
    assert evaluation.version == 1


def test_what_is_not_sent_stays_as_it_was(observer: Client, evaluation: Evaluation) -> None:
    write(evaluation)
    evaluation.refresh_from_db()
    post(observer, evaluation, {f"{A}-level": "3"})
    assert stored(evaluation)[0] == 3
    assert evaluation.ratings.filter(level=4).count() == 9  # of ten, two others are 2 and not seen


def test_an_old_page_is_refused_and_keeps_what_was_typed(
    observer: Client, evaluation: Evaluation
) -> None:
    send(observer, evaluation, {f"{A}-level": "4"})
    answer = post(
        observer, evaluation, {f"{A}-level": "2", f"{B}-evidence": "Typed in a second tab."}
    )
    assert answer.status_code == 409
    page = text(answer)
    assert "There is a newer version of this form" in page
    assert "data-save-conflict hidden" not in page
    assert "saved 17:00" not in page
    assert "Typed in a second tab." in page
    assert f'name="version" value="{evaluation.version}"' in page
    assert stored(evaluation)[0] == 4


@pytest.mark.parametrize(
    ("field", "value", "message"),
    [
        (f"{A}-dead_ball", "nine", "Give the number of the dead ball alone"),
        (f"{A}-dead_ball", "0", "Dead balls are counted from 1."),
        (f"{A}-dead_ball", "1000", "No game has this many dead balls."),
        (f"{A}-comment", "x" * (COMMENT_LIMIT + 1), "at most 4000 characters"),
        (f"{A}-level", "6", "Select a valid choice"),
        ("flagged", "no-such-criterion", "Select a valid choice"),
    ],
)
def test_what_can_not_be_kept_is_said_at_its_field(
    observer: Client, evaluation: Evaluation, field: str, value: str, message: str
) -> None:
    answer = post(observer, evaluation, {field: value, f"{B}-evidence": "Kept on the page."})
    page = text(answer)
    assert answer.status_code == 200
    assert "Please look at these answers again" in page
    assert message in page
    assert f"id_{field}" in page
    assert "Kept on the page." in page
    assert not evaluation.ratings.exists()


def test_a_comment_counts_a_line_break_once(observer: Client, evaluation: Evaluation) -> None:
    comment = "\r\n".join("x" * 1999 for _ in range(2)) + "\r\n"
    long_enough = comment.rstrip() + "\r\ny"
    assert len(long_enough.replace("\r\n", "\n")) == COMMENT_LIMIT + 1
    assert post(observer, evaluation, {f"{A}-comment": long_enough}).status_code == 200
    assert post(observer, evaluation, {f"{A}-comment": long_enough[:-1]}).status_code == 302
    assert evaluation.ratings.get().comment == comment.replace("\r\n", "\n").rstrip()
