"""The check page: everything as the letter will have it, what is open, and handing it in."""

from __future__ import annotations

import html
import re
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from evaluations.models import Ceiling, Criterion, Evaluation, Observation
from evaluations.services.evaluation_rows import RatingInput
from evaluations.services.evaluations import save_ratings
from tests.factories.accounts import Cast, signed_in
from tests.factories.evaluations import GAME_AT
from tests.factories.releases import THAT_NIGHT, WEAK, hand_in, write
from tests.web.evaluation.conftest import Clock

if TYPE_CHECKING:
    from django.test.client import _MonkeyPatchedWSGIResponse as Answer

STILL = "still-before-first-sign"
EIGHT_DAYS_LATER = GAME_AT + timedelta(days=8)


def address(evaluation: Evaluation, page: str = "evaluation_check") -> str:
    return reverse(f"evaluations:{page}", args=["rivers", evaluation.pk])


def text(answer: Answer) -> str:
    """A page's text as it is read, without markup."""
    bare = re.sub(r"<[^>]+>", " ", answer.content.decode())
    return re.sub(r"\s+", " ", html.unescape(bare))


def see(observer: Client, evaluation: Evaluation) -> str:
    return text(observer.get(address(evaluation)))


def hand_over(observer: Client, evaluation: Evaluation, page: str = "evaluation_submit") -> str:
    """Press the button, and read the page that it leads to."""
    evaluation.refresh_from_db()
    data = {"version": evaluation.version}
    return text(observer.post(address(evaluation, page), data, follow=True))


# --- What is open -----------------------------------------------------------------------------
def test_every_problem_leads_to_its_own_control(observer: Client, evaluation: Evaluation) -> None:
    page = observer.get(address(evaluation)).content.decode()
    form = observer.get(address(evaluation, "evaluation_form")).content.decode()
    words = observer.get(address(evaluation, "evaluation_words")).content.decode()
    links = re.findall(r'<a href="([^"]+)#([^"]+)">([^<]+)</a>', page)
    assert len(links) == 13
    assert links[0][2] == "Stands still before the first sign: not answered yet."
    for path, anchor, _sentence in links:
        target = form if path == address(evaluation, "evaluation_form") else words
        assert f'id="{anchor}"' in target


def test_the_words_say_where_they_lack_something(observer: Client, evaluation: Evaluation) -> None:
    written = write(evaluation)
    written.strengths.update(seen="", dead_ball=None)
    written.next_steps.update(why="", seen="x" * 460)
    Evaluation.objects.filter(pk=written.pk).update(summary="y" * 301)
    page = see(observer, evaluation)
    for sentence in (
        "The summary has more than 300 characters.",
        "Gives the preliminary signal at the spot: the strength doesn't say what was seen.",
        "Holds the ball until the crew is in place: a part of the next step is empty.",
        "Holds the ball until the crew is in place: the next step has more than 450 characters",
    ):
        assert sentence in page
    assert "4 points still open" in page


def test_every_kind_of_problem_has_its_sentence_and_its_place(
    observer: Client, evaluation: Evaluation
) -> None:
    written = write(evaluation, {STILL: 5})
    written.ratings.update(evidence="")
    written.ratings.filter(criterion__key="arm-with-whistle").delete()
    switching = Criterion.objects.filter(area__key="switching", area__rubric__pk__gt=0)
    for order, criterion in enumerate(switching.exclude(key=WEAK), start=2):
        written.next_steps.create(order=order, criterion=criterion, seen="Twice.")
    written.next_steps.create(
        order=9, criterion=Criterion.objects.get(key="arm-with-whistle"), seen="Late."
    )
    page = see(observer, evaluation)
    for sentence in (
        "Stands still before the first sign: the lowest and the highest level need a sentence",
        "Raises the arm with the whistle: not answered yet.",
        "Raises the arm with the whistle: a next step, but the form says “not seen” or is not",
        "This letter has room for 3 next steps; leave one out.",
        "At most 2 next steps come from one area.",
    ):
        assert sentence in page


def test_a_talk_that_was_not_spoken_of_is_asked_for(
    observer: Client, observation: Observation, evaluation: Evaluation
) -> None:
    Observation.objects.filter(pk=observation.pk).update(talk="")
    write(evaluation)
    facts = reverse("evaluations:observation_facts", args=["rivers", observation.pk])
    assert "doesn't say yet whether you talked" in see(observer, evaluation)
    assert f'href="{facts}"' in observer.get(address(evaluation)).content.decode()
    assert "The form can't be submitted yet." in hand_over(observer, evaluation)


def test_a_text_that_seems_to_name_a_player_is_pointed_out_and_blocks_nothing(
    observer: Client, evaluation: Evaluation
) -> None:
    written = write(evaluation)
    written.ratings.filter(criterion__key=STILL).update(evidence="After the block by Jonas Weller.")
    page = see(observer, evaluation)
    assert "Stands still before the first sign: “Jonas Weller” looks like a name." in page
    assert "Submit" in page


def test_names_that_belong_on_the_page_are_no_caution(
    observer: Client, evaluation: Evaluation
) -> None:
    written = write(evaluation)
    written.ratings.filter(criterion__key=STILL).update(
        evidence="Said to Nico Vale at Harbor Gym by Orla Finch."
    )
    assert "looks like a name" not in see(observer, evaluation)


def test_a_text_that_names_another_of_the_crew_is_pointed_out(
    observer: Client, evaluation: Evaluation
) -> None:
    written = write(evaluation)
    written.ratings.filter(criterion__key=STILL).update(evidence="In stride; Mara Odell waited.")
    page = see(observer, evaluation)
    assert "Stands still before the first sign: this letter is not about Mara Odell." in page
    assert "Submit" in page


def test_a_character_that_no_letter_can_print_is_pointed_out(
    observer: Client, evaluation: Evaluation
) -> None:
    assert "can't be printed" not in see(observer, evaluation)
    written = write(evaluation)
    written.ratings.filter(criterion__key=STILL).update(evidence="Both feet still 🏀 each time.")
    page = see(observer, evaluation)
    assert "Characters that can't be printed" in page
    assert "Stands still before the first sign: 🏀" in page


# --- As the letter will have it ---------------------------------------------------------------
def test_the_page_holds_what_the_letter_will_hold(observer: Client, evaluation: Evaluation) -> None:
    write(evaluation)
    page = see(observer, evaluation)
    for said in (
        "Summary for Nico Vale: calm at the table.",
        "Dead ball 7 Strength of Nico Vale: signs held.",
        "Dead ball 9 Step of Nico Vale: ball live too soon.",
        "Exercise for Nico Vale.",
        "not raised that night",
        "Comment on Nico Vale: off the lane.",
        "Raises the arm with the whistle not seen",
        "Holds the ball until the crew is in place 2, at times",
    ):
        assert said in page
    assert "Mara Odell" in page and "Summary for Mara Odell" not in page


def test_the_score_stands_there_with_its_whole_arithmetic(
    observer: Client, evaluation: Evaluation
) -> None:
    write(evaluation)
    page = see(observer, evaluation)
    # All at 4 of 5 but one third of switching at 2: 75 less half of 25 / 3.
    assert "71 of 100, dependable" in page
    assert "Foul reporting 25 100 % 25 % 75.0 18.8" in page
    assert "Signals 20 66.7 % 20 % 75.0 15.0" in page
    assert "Stands still before the first sign 4, nearly always 8.3 % 75.0 6.3 2.1" in page
    assert "Total 70.8" in page
    assert "93.3 % of the form could be seen and counts; a total needs 70 %." in page
    assert "One level on one criterion moves the total by up to" in page


def test_a_ceiling_is_shown_with_what_it_holds_back(
    observer: Client, evaluation: Evaluation
) -> None:
    rubric = evaluation.observation.rubric
    assert rubric is not None
    weak = Criterion.objects.get(area__rubric=rubric, key=WEAK)
    Ceiling.objects.create(rubric=rubric, criterion=weak, at_most=50)
    write(evaluation, {WEAK: 1})
    page = see(observer, evaluation)
    assert "is at its lowest level: the total goes from" in page
    assert "Held back by ceilings" in page
    assert "Total 50.0" in page


@pytest.mark.parametrize(
    ("mark", "reason"),
    [
        ({"kind": "coaching"}, "A coaching observation has no total and counts in no standing."),
        ({}, "Letters to officials under 18 have no total."),
    ],
)
def test_without_a_total_the_page_says_why(
    cast: Cast, observer: Client, evaluation: Evaluation, mark: dict[str, str], reason: str
) -> None:
    if mark:
        Evaluation.objects.filter(pk=evaluation.pk).update(**mark)
    else:
        cast.official.under_18, cast.official.guardian_email = True, "guardian@example.org"
        cast.official.save()
    evaluation.refresh_from_db()
    write(evaluation)
    page = see(observer, evaluation)
    assert reason in page
    assert "of 100," not in page


def test_as_long_as_something_is_not_answered_no_score_is_shown(
    observer: Client, evaluation: Evaluation
) -> None:
    write(evaluation).ratings.filter(criterion__key=STILL).delete()
    page = see(observer, evaluation)
    assert "The score appears when every criterion has an answer" in page
    assert "of 100," not in page


# --- Handing in -------------------------------------------------------------------------------
def test_a_finished_form_is_handed_in_and_leads_to_the_next_of_the_crew(
    observer: Client, evaluation: Evaluation
) -> None:
    write(evaluation)
    assert "Everything is there." in see(observer, evaluation)
    page = hand_over(observer, evaluation)
    assert "Submitted. An admin reads it" in page
    assert "Next: Mara Odell" in page
    evaluation.refresh_from_db()
    assert evaluation.state == "submitted"


def test_with_the_crews_last_form_handed_in_it_leads_to_what_is_next(
    observer: Client, observation: Observation, evaluation: Evaluation
) -> None:
    hand_in(observation.evaluations.get(position="umpire"))
    write(evaluation)
    page = hand_over(observer, evaluation)
    assert "Next: Mara Odell" not in page
    assert "To do next" in page


def test_an_unfinished_form_comes_back_with_what_is_open(
    observer: Client, evaluation: Evaluation
) -> None:
    page = hand_over(observer, evaluation)
    assert "The form can't be submitted yet." in page
    assert "13 points still open" in page
    evaluation.refresh_from_db()
    assert evaluation.state == "draft"


def test_a_form_is_not_handed_in_from_an_old_page(observer: Client, evaluation: Evaluation) -> None:
    written = write(evaluation)
    data = {"version": written.version - 1}
    answer = observer.post(address(evaluation, "evaluation_submit"), data, follow=True)
    assert "saved elsewhere in the meantime" in text(answer)
    evaluation.refresh_from_db()
    assert evaluation.state == "draft"


def test_too_late_for_a_total_the_page_says_what_can_be_done(
    cast: Cast, evaluation: Evaluation, clock: Clock
) -> None:
    write(evaluation)
    clock.now = EIGHT_DAYS_LATER
    observer = signed_in(cast.observer)
    assert "Too late for a total" in see(observer, evaluation)
    assert "can only be submitted as coaching" in hand_over(observer, evaluation)
    page = hand_over(observer, evaluation, "evaluation_coaching")
    assert "It is coaching now: the letter has no total." in page
    assert "Submitted." in hand_over(observer, evaluation)


def test_in_time_no_total_is_made_to_go_away(observer: Client, evaluation: Evaluation) -> None:
    write(evaluation)
    assert "Too late for a total" not in see(observer, evaluation)
    assert "This form is in time." in hand_over(observer, evaluation, "evaluation_coaching")
    evaluation.refresh_from_db()
    assert evaluation.kind == "scored"


def test_a_form_that_was_handed_in_can_be_read_and_no_more(
    observer: Client, evaluation: Evaluation
) -> None:
    hand_in(evaluation)
    page = see(observer, evaluation)
    assert "submitted" in page and "Summary for Nico Vale" in page
    assert "Still open" not in page
    assert 'form="submission"' not in observer.get(address(evaluation)).content.decode()


def test_the_number_of_queries_is_bounded(
    observer: Client,
    evaluation: Evaluation,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    evaluation = save_ratings(
        evaluation=evaluation,
        version=evaluation.version,
        ratings=[RatingInput(STILL, level=4, comment="Calm.")],
        flagged=STILL,
        by=evaluation.observation.observer,
        now=THAT_NIGHT,
    )
    write(evaluation)
    with django_assert_max_num_queries(40):
        observer.get(address(evaluation))
