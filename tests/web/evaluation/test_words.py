"""The words for a letter: proposed, edited, exchanged, left out."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import pytest
from django.test import Client
from django.urls import reverse

from evaluations.models import Evaluation, Observation
from evaluations.services.evaluations import save_ratings
from tests.factories.accounts import Cast
from tests.factories.releases import STRONG, THAT_NIGHT, WEAK, answers, hand_in, write

if TYPE_CHECKING:
    from django.test.client import _MonkeyPatchedWSGIResponse as Answer

STILL, ROUTE = "still-before-first-sign", "route-round-players"


@pytest.fixture
def evaluation(observation: Observation) -> Evaluation:
    """Everything at level 4, WEAK at 2, STRONG at 5 with what was seen."""
    return rated(observation.evaluations.get(position="referee"))


def rated(evaluation: Evaluation, flagged: str | None = None) -> Evaluation:
    return save_ratings(
        evaluation=evaluation,
        version=evaluation.version,
        ratings=answers(evaluation, {STRONG: 5}),
        flagged=flagged,
        by=evaluation.observation.observer,
        now=THAT_NIGHT,
    )


def address(evaluation: Evaluation, page: str = "evaluation_words") -> str:
    return reverse(f"evaluations:{page}", args=["rivers", evaluation.pk])


def text(answer: Answer) -> str:
    return answer.content.decode()


def typed(observer: Client, evaluation: Evaluation) -> dict[str, Any]:
    """What the page would send as it stands, as a browser collects it."""
    form = observer.get(address(evaluation)).context["form"]
    data: dict[str, Any] = {
        "version": evaluation.version,
        "strength": form.strength_keys,
        "step": form.step_keys,
    }
    for bound in form:
        value = bound.value()
        if value not in (None, False):
            data[bound.html_name] = "on" if value is True else value
    return data


def post(observer: Client, evaluation: Evaluation, **changes: Any) -> Answer:
    """The page sent by its button, with some of its fields changed (`_` for a hyphen)."""
    data = typed(observer, evaluation) | changes.pop("fields", {}) | changes
    return observer.post(address(evaluation), data)


def send(observer: Client, evaluation: Evaluation, fields: dict[str, Any]) -> Answer:
    """The few fields that changed, sent by the page's script."""
    return observer.post(
        address(evaluation, "evaluation_words_save"),
        {"version": evaluation.version, **fields},
        headers={"Accept": "application/json"},
    )


def steps(evaluation: Evaluation) -> list[str]:
    return [s.criterion.key for s in evaluation.next_steps.select_related("criterion")]


def strengths(evaluation: Evaluation) -> list[str]:
    return [s.criterion.key for s in evaluation.strengths.select_related("criterion")]


# --- What is proposed ---------------------------------------------------------------------------
def test_summary_strengths_and_next_steps_are_proposed_from_the_ratings(
    observer: Client, evaluation: Evaluation
) -> None:
    page = text(observer.get(address(evaluation)))
    assert "In this game the work was at its best in “Gives the preliminary signal" in page
    assert "There is most to gain in “Holds the ball until the crew is in place”." in page
    assert "Seen of Nico Vale at the table." in page
    assert "Whoever administers holds the ball until the report is over" in page
    assert "Agree on a ready sign before the game" in page
    assert not evaluation.next_steps.exists()


def test_the_observers_own_pick_comes_first(observer: Client, observation: Observation) -> None:
    evaluation = rated(observation.evaluations.get(position="referee"), flagged=ROUTE)
    form = observer.get(address(evaluation)).context["form"]
    assert form.step_keys == [ROUTE, WEAK]


def test_a_new_official_gets_room_for_two_next_steps(
    cast: Cast, observer: Client, evaluation: Evaluation
) -> None:
    cast.official.new_official = True
    cast.official.save()
    assert "2 at most, the most important first" in text(observer.get(address(evaluation)))


def test_what_goes_into_the_letter_is_proposed_in_the_officials_language(
    cast: Cast, observer: Client, evaluation: Evaluation
) -> None:
    cast.official.user.language = "es"
    cast.official.user.save()
    page = text(observer.get(address(evaluation)))
    assert "Nico Vale reads letters in Spanish." in page
    assert "Holds the ball until the crew is in place" in page
    assert "Quien administra retiene el balón" in page
    assert 'lang="es"' in page


def test_in_one_language_nothing_is_said_of_languages(
    observer: Client, evaluation: Evaluation
) -> None:
    assert "reads letters in" not in text(observer.get(address(evaluation)))


def test_a_form_that_is_half_rated_says_what_the_proposals_follow_from(
    observer: Client, observation: Observation
) -> None:
    blank = observation.evaluations.get(position="umpire")
    assert "12 criteria are not answered yet" in text(observer.get(address(blank)))


@pytest.mark.parametrize(("talk", "asked"), [("held", True), ("declined", False)])
def test_what_was_raised_is_asked_only_where_there_was_a_talk(
    observer: Client, observation: Observation, evaluation: Evaluation, talk: str, asked: bool
) -> None:
    Observation.objects.filter(pk=observation.pk).update(talk=talk)
    assert ("raised after the game" in text(observer.get(address(evaluation)))) is asked


# --- What is kept ---------------------------------------------------------------------------------
def test_proposals_that_are_left_as_they_are_are_kept(
    observer: Client, evaluation: Evaluation
) -> None:
    answer = post(observer, evaluation, check="yes")
    assert answer.headers["Location"] == address(evaluation, "evaluation_check")
    assert (strengths(evaluation), steps(evaluation)) == ([STRONG], [WEAK])
    evaluation.refresh_from_db()
    assert evaluation.summary.startswith("In this game the work was at its best")
    step = evaluation.next_steps.get()
    assert step.how_we_check.startswith("At the next observation")


def test_what_was_edited_is_kept(observer: Client, evaluation: Evaluation) -> None:
    post(
        observer,
        evaluation,
        summary="Calm all night. One thing to work on.",
        fields={
            f"step-{WEAK}-seen": "Twice before the table had\r\nthe report.",
            f"step-{WEAK}-try_this": "Count to two.",
            f"step-{WEAK}-dead_ball": "9",
            f"step-{WEAK}-raised": "on",
        },
    )
    step = evaluation.next_steps.get()
    assert step.seen == "Twice before the table had\nthe report."
    assert (step.try_this, step.dead_ball, step.raised) == ("Count to two.", 9, True)
    evaluation.refresh_from_db()
    assert evaluation.summary == "Calm all night. One thing to work on."


def test_a_page_sent_again_unchanged_is_no_new_version(
    observer: Client, evaluation: Evaluation
) -> None:
    post(observer, evaluation)
    evaluation.refresh_from_db()
    version = evaluation.version
    post(observer, evaluation)
    evaluation.refresh_from_db()
    assert evaluation.version == version


def test_more_than_the_budget_is_kept_and_said_later(
    observer: Client, evaluation: Evaluation
) -> None:
    assert post(observer, evaluation, summary="x" * 400).status_code == 302
    evaluation.refresh_from_db()
    assert len(evaluation.summary) == 400


def test_an_old_page_is_refused_and_keeps_all_that_was_typed(
    observer: Client, evaluation: Evaluation
) -> None:
    data = typed(observer, evaluation) | {f"step-{WEAK}-seen": "Typed in a second tab."}
    write(evaluation)
    answer = observer.post(address(evaluation), data)
    assert answer.status_code == 409
    assert "There is a newer version of this form" in text(answer)
    assert "Typed in a second tab." in text(answer)
    assert evaluation.next_steps.get().seen == "Step of Nico Vale: ball live too soon."


def test_a_form_handed_in_leads_to_its_check_page(observer: Client, evaluation: Evaluation) -> None:
    hand_in(evaluation)
    answer = observer.get(address(evaluation))
    assert answer.headers["Location"] == address(evaluation, "evaluation_check")


# --- Exchanged, left out, added ---------------------------------------------------------------
def test_another_criterion_brings_its_texts_and_the_page_is_shown_at_it(
    observer: Client, evaluation: Evaluation
) -> None:
    answer = post(observer, evaluation, check="yes", fields={f"step-{WEAK}-instead": ROUTE})
    assert answer.headers["Location"] == f"{address(evaluation)}#step-{ROUTE}"
    step = evaluation.next_steps.get()
    assert step.criterion.key == ROUTE
    assert step.standard.startswith("The route to the reporting area leads round")


def test_what_was_typed_elsewhere_survives_an_exchange(
    observer: Client, evaluation: Evaluation
) -> None:
    post(
        observer,
        evaluation,
        summary="Typed before.",
        fields={f"step-{WEAK}-instead": ROUTE, f"strength-{STRONG}-seen": "At every foul."},
    )
    evaluation.refresh_from_db()
    assert evaluation.summary == "Typed before."
    assert evaluation.strengths.get().seen == "At every foul."


def test_a_strength_can_be_left_out(observer: Client, evaluation: Evaluation) -> None:
    answer = post(observer, evaluation, fields={f"strength-{STRONG}-instead": "leave-out"})
    assert answer.headers["Location"] == f"{address(evaluation)}#strengths"
    assert strengths(evaluation) == []
    assert steps(evaluation) == [WEAK]


def test_strengths_and_next_steps_can_be_added_up_to_their_number(
    observer: Client, evaluation: Evaluation
) -> None:
    for key in (ROUTE, STILL):
        evaluation.refresh_from_db()
        post(observer, evaluation, fields={"add-step": key, "add-strength": key})
    assert steps(evaluation) == [WEAK, ROUTE, STILL]
    assert strengths(evaluation) == [STRONG, ROUTE, STILL]
    page = text(observer.get(address(evaluation)))
    assert "Add this strength" not in page and "Add this next step" not in page


def test_one_criterion_does_not_take_two_places(observer: Client, evaluation: Evaluation) -> None:
    fields = {f"step-{WEAK}-instead": ROUTE, "add-step": ROUTE}
    answer = post(observer, evaluation, fields=fields)
    assert "This criterion is chosen twice." in text(answer)
    assert not evaluation.next_steps.exists()


def test_only_what_was_seen_is_offered(observer: Client, evaluation: Evaluation) -> None:
    unseen = "arm-with-whistle"
    page = text(observer.get(address(evaluation)))
    offered = set(re.findall(r'<option value="([a-z-]+)"', page))
    assert unseen not in offered
    assert WEAK in offered and len(offered - {"leave-out"}) == 11
    assert "Select a valid choice" in text(post(observer, evaluation, fields={"add-step": unseen}))


def test_everything_can_be_proposed_anew(observer: Client, evaluation: Evaluation) -> None:
    assert "Propose everything anew" not in text(observer.get(address(evaluation)))
    written = write(evaluation)
    assert "Propose everything anew" in text(observer.get(address(written)))
    post(observer, written, anew="yes")
    evaluation.refresh_from_db()
    assert evaluation.summary.startswith("In this game the work was at its best")


# --- Sent by its script -----------------------------------------------------------------------
def test_one_edited_field_keeps_the_proposals_round_it(
    observer: Client, evaluation: Evaluation
) -> None:
    answer = send(observer, evaluation, {f"step-{WEAK}-raised": "on"})
    assert answer.json()["version"] == evaluation.version + 1
    step = evaluation.next_steps.get()
    assert step.raised and step.standard.startswith("Whoever administers")
    assert strengths(evaluation) == [STRONG]


def test_a_tick_taken_away_arrives(observer: Client, evaluation: Evaluation) -> None:
    version = send(observer, evaluation, {f"step-{WEAK}-raised": "on"}).json()["version"]
    send(observer, evaluation, {f"step-{WEAK}-raised": "", "version": version})
    assert not evaluation.next_steps.get().raised


def test_of_two_tabs_the_second_gets_409(observer: Client, evaluation: Evaluation) -> None:
    assert send(observer, evaluation, {"summary": "First."}).status_code == 200
    answer = send(observer, evaluation, {"summary": "Second."})
    assert answer.status_code == 409
    assert answer.json()["newest_url"] == address(evaluation)
    evaluation.refresh_from_db()
    assert evaluation.summary == "First."


def test_a_field_that_can_not_be_kept_is_named(observer: Client, evaluation: Evaluation) -> None:
    answer = send(observer, evaluation, {f"step-{WEAK}-dead_ball": "nine"})
    assert answer.status_code == 422
    assert list(answer.json()["errors"]) == [f"step-{WEAK}-dead_ball"]
