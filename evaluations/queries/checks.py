"""A form as its observer looks it over before it is submitted."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from evaluations.core.mechanics.counts import Contradiction, contradictions
from evaluations.core.next_steps import Draft, FormProblem, order_next_steps, steps_allowed
from evaluations.core.ratings import Rating
from evaluations.core.rubric import RubricWording
from evaluations.core.voice import Voice
from evaluations.core.workings import Workings, workings
from evaluations.models import Evaluation
from evaluations.queries.evaluations import only_coaching_left, worksheet
from evaluations.queries.observations import IN_WORK, Names, letter_names
from evaluations.queries.rating_sheets import rubric_of
from evaluations.queries.rubrics import rubric_wording


@dataclass(frozen=True, slots=True)
class LetterPart:
    """A strength or a next step as the letter has it. `parts` are the rubric's, edited or not."""

    label: str
    seen: str
    dead_ball: int | None
    raised: bool
    parts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Remark:
    """What was written while rating, beside its criterion."""

    label: str
    dead_ball: int | None
    evidence: str
    comment: str


@dataclass(frozen=True, slots=True)
class CheckSheet:
    """`problems` are all that keeps the form from being submitted, facts apart.

    `contradictions` are levels at odds with what the log counted; they keep nothing back.
    `facts_missing`: the observation doesn't say yet whether there was a talk. `late`: only
    coaching is left. `names` are those of the people around it.
    """

    wording: RubricWording
    draft: Draft
    strengths: tuple[LetterPart, ...]
    next_steps: tuple[LetterPart, ...]
    remarks: tuple[Remark, ...]
    workings: Workings
    problems: tuple[FormProblem, ...]
    contradictions: tuple[Contradiction, ...]
    steps_at_most: int
    names: Names
    in_work: bool
    facts_missing: bool
    late: bool

    @property
    def open_points(self) -> int:
        return len(self.problems) + self.facts_missing + self.late

    @property
    def ready(self) -> bool:
        return self.in_work and not self.open_points


def check_sheet(evaluation: Evaluation, voice: Voice, now: datetime) -> CheckSheet:
    """Everything of one form; `voice` speaks the reader's language."""
    sheet = worksheet(evaluation)
    wording = rubric_wording(rubric_of(evaluation.observation), voice.language)
    draft = sheet.draft
    said = {s.seen.strip() for s in draft.strengths} | {s.seen.strip() for s in draft.next_steps}
    in_work = evaluation.state in IN_WORK
    return CheckSheet(
        wording=wording,
        draft=draft,
        strengths=tuple(
            LetterPart(_label(wording, s.criterion), s.seen, s.dead_ball, s.raised)
            for s in draft.strengths
        ),
        next_steps=tuple(
            LetterPart(
                _label(wording, s.criterion),
                s.seen,
                s.dead_ball,
                s.raised,
                (s.standard, s.why, s.try_this, s.check),
            )
            for s in order_next_steps(sheet.card, draft.next_steps)
        ),
        remarks=tuple(
            Remark(_label(wording, r.criterion), r.dead_ball, r.evidence, r.comment)
            for r in draft.ratings
            if _says_something(r, said)
        ),
        workings=workings(
            sheet.rubric, wording, sheet.card, draft.ratings, voice, counts=sheet.counts
        ),
        problems=sheet.problems,
        contradictions=contradictions(
            sheet.rubric,
            sheet.counts,
            {r.criterion: r.level for r in draft.ratings if r.level is not None},
        ),
        steps_at_most=steps_allowed(new_official=evaluation.official.new_official),
        names=letter_names(evaluation),
        in_work=in_work,
        facts_missing=not evaluation.observation.talk,
        late=in_work and only_coaching_left(evaluation, now),
    )


def _label(wording: RubricWording, criterion: str) -> str:
    return wording.criteria[criterion].label


def _says_something(rating: Rating, said: Collection[str]) -> bool:
    """Whether a rating's words aren't those of a strength or a next step, as in the letter."""
    texts = [text for t in (rating.evidence, rating.comment) if (text := t.strip())]
    return " ".join(texts) not in said if texts else rating.dead_ball is not None
