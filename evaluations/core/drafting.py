"""The words of a letter before an observer has touched them: proposed from ratings and rubric.

Everything here is in the official's language except what the observer wrote while rating, which
is taken over as it stands.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from evaluations.core.next_steps import (
    STEP_BUDGET,
    STRENGTH_BUDGET,
    NextStep,
    Strength,
    propose_next_steps,
    propose_strengths,
)
from evaluations.core.ratings import Rating
from evaluations.core.rubric import RubricSpec, RubricWording
from evaluations.core.scoring import ScoreCard
from evaluations.core.summary import propose_summary
from evaluations.core.voice import Voice

MORE = "…"


@dataclass(frozen=True, slots=True)
class Words:
    """What an observer writes for a letter besides the ratings."""

    summary: str = ""
    strengths: tuple[Strength, ...] = ()
    next_steps: tuple[NextStep, ...] = ()

    @property
    def blank(self) -> bool:
        """Nothing of it was ever kept, so that it is to be proposed."""
        return not (self.summary.strip() or self.strengths or self.next_steps)


def propose_words(
    rubric: RubricSpec,
    wording: RubricWording,
    card: ScoreCard,
    ratings: Mapping[str, Rating],
    *,
    flagged: str | None,
    steps_at_most: int,
    voice: Voice,
) -> Words:
    """Summary, strengths and next steps for these ratings.

    A strength has to say what was seen. So the proposals with evidence are taken, or, where none
    has any, the first alone: one sentence to write is asked for, not three.
    """
    steps = propose_next_steps(rubric, card, flagged=flagged, at_most=steps_at_most)
    good = [key for key in propose_strengths(rubric, card) if key not in steps]
    shown = [key for key in good if ratings[key].has_evidence] or good[:1]
    return Words(
        summary=propose_summary(wording, card, shown, steps, voice),
        strengths=tuple(strength_for(ratings[key]) for key in shown),
        next_steps=tuple(next_step_for(wording, ratings[key]) for key in steps),
    )


def strength_for(rating: Rating) -> Strength:
    """A strength with the evidence of its rating, within the budget."""
    return Strength(
        rating.criterion,
        shortened(_what_was_seen(rating), STRENGTH_BUDGET),
        rating.dead_ball,
        raised=False,
    )


def next_step_for(wording: RubricWording, rating: Rating) -> NextStep:
    """A next step with the rubric's texts and the evidence of its rating, within the budget."""
    texts = wording.criteria[rating.criterion]
    step = NextStep(
        criterion=rating.criterion,
        seen="",
        standard=texts.standard,
        why=texts.why,
        try_this=texts.try_this,
        check=texts.check,
        dead_ball=rating.dead_ball,
        raised=False,
    )
    seen = shortened(_what_was_seen(rating), STEP_BUDGET - step.length)
    return replace(step, seen=seen)


def _what_was_seen(rating: Rating) -> str:
    return rating.evidence.strip() or rating.comment.strip()


def shortened(text: str, limit: int) -> str:
    """The text if it has at most `limit` characters, else whole words of it and a mark.

    >>> shortened("Turned to the table at once.", 20)
    'Turned to the table…'
    >>> shortened("Turned.", 3)
    ''
    """
    if len(text) <= limit:
        return text
    kept = text[: max(limit - len(MORE) + 1, 0)]
    words = kept.rpartition(" ")[0].rstrip(" ,;:.–—-")
    return words + MORE if words else ""
