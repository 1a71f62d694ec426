"""What a form still lacks, and where a text should be looked at again, as sentences with links."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from django.urls import reverse
from django.utils.translation import gettext as _

from evaluations.core.counting import remark
from evaluations.core.mechanics.counts import Contradiction
from evaluations.core.names import looks_like_full_name, mentioned
from evaluations.core.next_steps import (
    FROM_ONE_AREA,
    REASON_BUDGET,
    STEP_BUDGET,
    STRENGTH_BUDGET,
    STRENGTHS_AT_MOST,
    SUMMARY_BUDGET,
    Draft,
    FormProblem,
    Problem,
)
from evaluations.core.ratings import COMMENT_LIMIT
from evaluations.core.rubric import RubricWording
from evaluations.core.voice import Voice
from evaluations.letters import lacking
from evaluations.models import Evaluation
from evaluations.queries.observations import Names

# Where on the pages a problem is: the page, then the control. {} is the criterion's key.
_RATINGS, _WORDS = "evaluation_form", "evaluation_words"
_PLACES = {
    Problem.NOT_ANSWERED: (_RATINGS, "id_{}-level_0"),
    Problem.NEEDS_EVIDENCE: (_RATINGS, "id_{}-evidence"),
    Problem.COMMENT_TOO_LONG: (_RATINGS, "id_{}-comment"),
    Problem.REASON_MISSING: (_RATINGS, "id_{}-reason"),
    Problem.REASON_TOO_LONG: (_RATINGS, "id_{}-reason"),
    Problem.SUMMARY_MISSING: (_WORDS, "id_summary"),
    Problem.SUMMARY_TOO_LONG: (_WORDS, "id_summary"),
    Problem.STEP_MISSING: (_WORDS, "steps"),
    Problem.STEP_WITHOUT_EVIDENCE: (_WORDS, "id_step-{}-seen"),
    Problem.STEP_NOT_SEEN: (_WORDS, "step-{}"),
    Problem.STEP_TOO_LONG: (_WORDS, "id_step-{}-seen"),
    Problem.STEP_INCOMPLETE: (_WORDS, "step-{}"),
    Problem.TOO_MANY_STEPS: (_WORDS, "steps"),
    Problem.TOO_MANY_FROM_ONE_AREA: (_WORDS, "steps"),
    Problem.STRENGTH_WITHOUT_EVIDENCE: (_WORDS, "id_strength-{}-seen"),
    Problem.STRENGTH_NOT_SEEN: (_WORDS, "strength-{}"),
    Problem.STRENGTH_TOO_LONG: (_WORDS, "id_strength-{}-seen"),
    Problem.TOO_MANY_STRENGTHS: (_WORDS, "strengths"),
}


@dataclass(frozen=True, slots=True)
class Line:
    """A sentence, and the address of the control that it is about."""

    text: str
    url: str


def problem_lines(
    evaluation: Evaluation,
    problems: Iterable[FormProblem],
    wording: RubricWording,
    *,
    steps_at_most: int,
) -> list[Line]:
    """One line for each problem, in the order of the pages."""
    sentences = _sentences(steps_at_most)
    lines = []
    for found in problems:
        text = sentences[found.problem]
        if found.criterion:
            text = f"{wording.criteria[found.criterion].label}: {text}"
        else:
            text = text[0].upper() + text[1:]
        page, place = _PLACES[found.problem]
        lines.append(Line(text, _address(evaluation, page, place.format(found.criterion))))
    return lines


def _sentences(steps_at_most: int) -> dict[Problem, str]:
    return {
        Problem.NOT_ANSWERED: _("not answered yet."),
        Problem.NEEDS_EVIDENCE: _(
            "the lowest and the highest level need a sentence on what was seen, or a dead ball."
        ),
        Problem.COMMENT_TOO_LONG: _("the comment has more than %(n)s characters.")
        % {"n": COMMENT_LIMIT},
        Problem.REASON_MISSING: _(
            "the level is not as counted. Say why, or take what was counted."
        ),
        Problem.REASON_TOO_LONG: _("the reason has more than %(n)s characters.")
        % {"n": REASON_BUDGET},
        Problem.SUMMARY_MISSING: _("The letter has no summary yet."),
        Problem.SUMMARY_TOO_LONG: _("The summary has more than %(n)s characters.")
        % {"n": SUMMARY_BUDGET},
        Problem.STEP_MISSING: _("there should be a next step; something is below the target."),
        Problem.STEP_WITHOUT_EVIDENCE: _("the next step doesn't say what was seen."),
        Problem.STEP_NOT_SEEN: _("a next step, but the form says “not seen” or is not answered."),
        Problem.STEP_TOO_LONG: _("the next step has more than %(n)s characters in all.")
        % {"n": STEP_BUDGET},
        Problem.STEP_INCOMPLETE: _("a part of the next step is empty."),
        Problem.TOO_MANY_STEPS: _("This letter has room for %(n)s next steps; leave one out.")
        % {"n": steps_at_most},
        Problem.TOO_MANY_FROM_ONE_AREA: _("At most %(n)s next steps come from one area.")
        % {"n": FROM_ONE_AREA},
        Problem.STRENGTH_WITHOUT_EVIDENCE: _(
            "the strength doesn't say what was seen. Write it, or leave the strength out."
        ),
        Problem.STRENGTH_NOT_SEEN: _(
            "a strength, but the form says “not seen” or is not answered."
        ),
        Problem.STRENGTH_TOO_LONG: _("the strength has more than %(n)s characters.")
        % {"n": STRENGTH_BUDGET},
        Problem.TOO_MANY_STRENGTHS: _("This letter has room for %(n)s strengths; leave one out.")
        % {"n": STRENGTHS_AT_MOST},
    }


def contradiction_lines(
    evaluation: Evaluation,
    found: Iterable[Contradiction],
    draft: Draft,
    wording: RubricWording,
    voice: Voice,
) -> list[Line]:
    """One line for each level at odds with the log."""
    reasons = {rating.criterion: rating.reason for rating in draft.ratings}
    lines = []
    for one in found:
        label = wording.criteria[one.criterion].label
        text = f"{label}: {remark(one, wording, reasons[one.criterion], voice)}"
        control = f"id_{one.criterion}-level_{one.level - 1}"
        lines.append(Line(text, _address(evaluation, _RATINGS, control)))
    return lines


def name_lines(
    evaluation: Evaluation, draft: Draft, wording: RubricWording, names: Names
) -> list[Line]:
    """One line for each text that names another of the crew, or seems to name a person in full."""
    known = [*names.crew_mates, *names.others, *_rubric_words(wording)]
    lines = []
    for place, page, control, text in _texts(draft, wording):
        sentence = ""
        if mate := mentioned(text, names.crew_mates, besides=names.others):
            sentence = _("%(place)s: this letter is not about %(name)s.")
        elif mate := looks_like_full_name(text, known):
            sentence = _("%(place)s: “%(name)s” looks like a name.")
        if sentence:
            sentence %= {"place": place, "name": mate}
            lines.append(Line(sentence, _address(evaluation, page, control)))
    return lines


def character_lines(evaluation: Evaluation, draft: Draft, wording: RubricWording) -> list[Line]:
    """One line for each text with characters that a letter can't print, such as small pictures."""
    return [
        Line(f"{place}: {' '.join(found)}", _address(evaluation, page, control))
        for place, page, control, text in _texts(draft, wording)
        if (found := lacking(text))
    ]


def _rubric_words(wording: RubricWording) -> Iterator[str]:
    yield from wording.areas.values()
    yield from (texts.label for texts in wording.criteria.values())


def _texts(draft: Draft, wording: RubricWording) -> Iterator[tuple[str, str, str, str]]:
    for rating in draft.ratings:
        label = wording.criteria[rating.criterion].label
        yield label, _RATINGS, f"id_{rating.criterion}-evidence", rating.evidence
        yield label, _RATINGS, f"id_{rating.criterion}-comment", rating.comment
        yield label, _RATINGS, f"id_{rating.criterion}-reason", rating.reason
    yield _("In short"), _WORDS, "id_summary", draft.summary
    for strength in draft.strengths:
        label = wording.criteria[strength.criterion].label
        yield label, _WORDS, f"id_strength-{strength.criterion}-seen", strength.seen
    for step in draft.next_steps:
        label = wording.criteria[step.criterion].label
        for part in ("seen", "standard", "why", "try_this", "check"):
            control = f"id_step-{step.criterion}-{part}"
            yield label, _WORDS, control, getattr(step, part)


def _address(evaluation: Evaluation, page: str, control: str) -> str:
    slug = evaluation.observation.game.season.association.slug
    return reverse(f"evaluations:{page}", args=[slug, evaluation.pk]) + f"#{control}"
