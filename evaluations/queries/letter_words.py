"""What the words of a letter start from: what is kept, and what the rubric proposes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from evaluations.core.drafting import Words, next_step_for, propose_words, strength_for
from evaluations.core.next_steps import NextStep, Strength, steps_allowed
from evaluations.core.ratings import Rating
from evaluations.core.rubric import RubricSpec, RubricWording
from evaluations.core.voice import Voice
from evaluations.models import Evaluation
from evaluations.queries.evaluations import worksheet
from evaluations.queries.rating_sheets import rubric_of
from evaluations.queries.rubrics import rubric_wording


@dataclass(frozen=True, slots=True)
class WordSheet:
    """One letter's words.

    `wording` is in the observer's language, for names on the page; `letter_wording` in the
    official's, for texts that go into the letter. `seen` are the rated criteria, in rubric order.
    """

    spec: RubricSpec
    wording: RubricWording
    letter_wording: RubricWording
    seen: Mapping[str, Rating]
    still_open: int
    stored: Words
    proposed: Words
    steps_at_most: int

    @property
    def words(self) -> Words:
        """What the page begins with."""
        return self.proposed if self.stored.blank else self.stored

    def strength(self, criterion: str) -> Strength:
        return strength_for(self.seen.get(criterion, Rating(criterion)))

    def next_step(self, criterion: str) -> NextStep:
        return next_step_for(self.letter_wording, self.seen.get(criterion, Rating(criterion)))


def word_sheet(evaluation: Evaluation, language: str, letter_voice: Voice) -> WordSheet:
    """The words of one letter; `letter_voice` speaks the official's language."""
    rubric = rubric_of(evaluation.observation)
    sheet = worksheet(evaluation)
    letter_wording = rubric_wording(rubric, letter_voice.language)
    ratings = {r.criterion: r for r in sheet.draft.ratings}
    seen = {c.key: ratings[c.key] for c in sheet.rubric.criteria if c.key in ratings}
    at_most = steps_allowed(new_official=evaluation.official.new_official)
    return WordSheet(
        spec=sheet.rubric,
        wording=rubric_wording(rubric, language),
        letter_wording=letter_wording,
        seen={key: rating for key, rating in seen.items() if rating.seen},
        still_open=sum(1 for c in sheet.rubric.criteria if c.key not in ratings),
        stored=Words(sheet.draft.summary, sheet.draft.strengths, sheet.draft.next_steps),
        proposed=propose_words(
            sheet.rubric,
            letter_wording,
            sheet.card,
            ratings,
            flagged=evaluation.flagged.key if evaluation.flagged else None,
            steps_at_most=at_most,
            voice=letter_voice,
        ),
        steps_at_most=at_most,
    )
