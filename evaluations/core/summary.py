"""The two sentences that open a letter, proposed from the ratings and the rubric's own words.

They speak of the work, never of the person, and hold no figure: what was at its best in this game,
and where there is most to gain. The observer edits them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from evaluations.core.next_steps import SUMMARY_BUDGET, stretch_goal
from evaluations.core.rubric import RubricWording
from evaluations.core.scoring import ScoreCard
from evaluations.core.voice import Voice


def propose_summary(
    wording: RubricWording,
    card: ScoreCard,
    strengths: Sequence[str],
    next_steps: Sequence[str],
    voice: Voice,
) -> str:
    """Two sentences of at most SUMMARY_BUDGET characters, in the language of `wording` and `voice`.

    `strengths` and `next_steps` are criteria, the most important first; no next step means that
    nothing seen is below the target. As many of them are named as there is room for.
    """
    if all(c.value is None for c in card.criteria):
        return _nothing_seen(voice)
    goal = stretch_goal(card)
    for best, gain in _shorter_and_shorter(strengths, next_steps):
        found = " ".join(
            (
                _at_its_best([_name(wording, key, voice) for key in best], voice),
                _to_gain([_name(wording, key, voice) for key in gain], voice)
                if next_steps
                else _to_stretch_for(_name(wording, goal, voice) if goal else "", voice),
            )
        )
        if len(found) <= SUMMARY_BUDGET:
            return found
    return _without_names(voice)


def _shorter_and_shorter(
    strengths: Sequence[str], next_steps: Sequence[str]
) -> Iterator[tuple[Sequence[str], Sequence[str]]]:
    for best, gain in ((2, 2), (2, 1), (1, 1)):
        yield strengths[:best], next_steps[:gain]


def _name(wording: RubricWording, criterion: str, voice: Voice) -> str:
    """The criterion's label in the language's own quotation marks."""
    _ = voice.text
    return _("“%(name)s”") % {"name": wording.criteria[criterion].label}


def _at_its_best(names: Sequence[str], voice: Voice) -> str:
    _ = voice.text
    if not names:
        return _("This letter keeps to what is worth working on first.")
    if len(names) == 1:
        return _("In this game the work was at its best in %(one)s.") % {"one": names[0]}
    return _("In this game the work was at its best in %(one)s and %(other)s.") % {
        "one": names[0],
        "other": names[1],
    }


def _to_gain(names: Sequence[str], voice: Voice) -> str:
    _ = voice.text
    if len(names) == 1:
        return _("There is most to gain in %(one)s.") % {"one": names[0]}
    return _("There is most to gain in %(one)s and %(other)s.") % {
        "one": names[0],
        "other": names[1],
    }


def _to_stretch_for(name: str, voice: Voice) -> str:
    _ = voice.text
    if not name:
        return _("Everything seen reached the highest level.")
    return _("Everything seen reached the target; to stretch for: %(one)s.") % {"one": name}


def _nothing_seen(voice: Voice) -> str:
    _ = voice.text
    return (
        _("The work that this form asks about could not be seen in this game.")
        + " "
        + _("So there is nothing to rate, and nothing to work on from it.")
    )


def _without_names(voice: Voice) -> str:
    _ = voice.text
    return (
        _("What was at its best in this game stands below.")
        + " "
        + _("Where there is most to gain follows it.")
    )
