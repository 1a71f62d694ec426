"""With JavaScript off everything works, by the forms' own buttons."""

from __future__ import annotations

from evaluations.models import Evaluation
from tests.browser.pages import PHONE, OpenPage
from tests.factories.accounts import Cast
from tests.journeys.observed import REFEREE, UMPIRE, evaluate, say_facts
from tests.journeys.signing_in import sign_in


def test_an_observer_hands_in_a_crew_s_forms(open_page: OpenPage, observed_game: Cast) -> None:
    hand = sign_in(open_page(PHONE, scripts=False), observed_game.observer)
    hand.follow("Herons – Millstone")
    say_facts(hand)
    hand.follow("Evaluate Nico Vale")
    evaluate(hand, REFEREE)
    hand.follow("Next: Mara Odell")
    evaluate(hand, UMPIRE)
    hand.follow("To do next")
    hand.sees("Nothing to do.")
    of_referee, of_umpire = Evaluation.objects.all()
    assert {of_referee.state, of_umpire.state} == {Evaluation.Stage.SUBMITTED}
    kept = of_referee.ratings.get(criterion__key="non-caller-starts-switch")
    assert (kept.level, kept.dead_ball) == (2, 9)
    assert kept.evidence == REFEREE["As non-caller, starts the switch unasked"].words
