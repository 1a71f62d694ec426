"""The parts of a letter that rest on evidence: what went well, next steps, the observer's words."""

from __future__ import annotations

from collections.abc import Iterable

from evaluations.core.games import Talk
from evaluations.core.letter import Quote, StepItem, StepPart, StrengthItem
from evaluations.core.letter_log import reason
from evaluations.core.next_steps import (
    QUOTES_BESIDE_BAND,
    QUOTES_BESIDE_COURT,
    QUOTES_BUDGET,
    NextStep,
    order_next_steps,
    propose_next_steps,
    stretch_goal,
)
from evaluations.core.printing import printed
from evaluations.core.ratings import Rating, by_area
from evaluations.core.release import ReleaseSnapshot
from evaluations.core.voice import Voice


def strength_items(snapshot: ReleaseSnapshot, voice: Voice) -> tuple[StrengthItem, ...]:
    """What went well, in the observer's order."""
    return tuple(
        StrengthItem(
            _label(snapshot, strength.criterion),
            _evidence(strength.seen, strength.dead_ball, voice),
            _mark(snapshot, strength.raised, voice),
        )
        for strength in snapshot.strengths
    )


def step_items(snapshot: ReleaseSnapshot, voice: Voice) -> tuple[StepItem, ...]:
    """The next steps, in the observer's order but for ceilings, which come first."""
    ordered = order_next_steps(snapshot.card, snapshot.next_steps)
    return tuple(_step(snapshot, step, voice) for step in ordered)


def _label(snapshot: ReleaseSnapshot, criterion: str) -> str:
    return snapshot.wording.criteria[criterion].label


def _mark(snapshot: ReleaseSnapshot, raised: bool, voice: Voice) -> str:
    _ = voice.text
    held = snapshot.observation.talk is Talk.HELD
    return _("not raised that night") if held and not raised else ""


def _where(dead_ball: int | None, voice: Voice) -> str:
    _ = voice.text
    return _("dead ball %(n)s") % {"n": dead_ball} if dead_ball is not None else ""


def _evidence(seen: str, dead_ball: int | None, voice: Voice) -> str:
    where = _where(dead_ball, voice)
    where = where[:1].upper() + where[1:]
    return ": ".join(part for part in (where, seen.strip()) if part)


def _step(snapshot: ReleaseSnapshot, step: NextStep, voice: Voice) -> StepItem:
    _ = voice.text
    return StepItem(
        _label(snapshot, step.criterion),
        (
            StepPart(_("Seen"), _evidence(step.seen, step.dead_ball, voice)),
            StepPart(_("Standard"), step.standard),
            StepPart(_("Why"), step.why),
            StepPart(_("Try this"), step.try_this),
            StepPart(_("How we will check"), step.check),
        ),
        _gain(snapshot, step.criterion, voice),
        _mark(snapshot, step.raised, voice),
    )


def _gain(snapshot: ReleaseSnapshot, criterion: str, voice: Voice) -> str:
    _ = voice.text
    for bite in snapshot.card.bites:
        if bite.ceiling.criterion == criterion and not bite.rise:
            return _("lifts one of several ceilings")
        if bite.ceiling.criterion == criterion:
            points = voice.number(printed(bite.rise))
            return _("lifts a ceiling, worth up to %(points)s points") % {"points": points}
    room = next((c.room for c in snapshot.card.criteria if c.key == criterion), None)
    if not room:
        return ""
    return _("worth up to %(points)s points") % {"points": voice.number(printed(room))}


def steps_note(snapshot: ReleaseSnapshot, voice: Voice) -> str:
    """With nothing below target: that it is so, and what to stretch for; else ""."""
    _ = voice.text
    card = snapshot.card
    seen = [c for c in card.criteria if c.value is not None]
    if not seen or propose_next_steps(snapshot.rubric, card):
        return ""
    goal = stretch_goal(card)
    all_counts = card.withheld is not None or all(c.points is not None for c in seen)
    if goal is None and all_counts:
        return _("Everything seen reached the highest level.")
    if goal is None:
        return _("Everything that counts reached the highest level.")
    reached = (
        _("Everything seen reached the target. To stretch for: %(criterion)s.")
        if all_counts
        else _("Everything that counts reached the target. To stretch for: %(criterion)s.")
    )
    return reached % {"criterion": _label(snapshot, goal)}


def comments(snapshot: ReleaseSnapshot, voice: Voice) -> Iterable[tuple[Rating, str, str]]:
    """What the observer wrote while rating: the rating, its words, and why its level is not the
    counted one, in rubric order. Either text may be "".
    """
    for area in by_area(snapshot.rubric, snapshot.ratings):
        for rating in area.ratings:
            yield rating, said(rating.evidence, rating.comment), reason(snapshot, rating, voice)


def said(*texts: str) -> str:
    """The texts that there are, as one."""
    return " ".join(part for text in texts if (part := text.strip()))


def quotes(snapshot: ReleaseSnapshot, voice: Voice) -> tuple[tuple[Quote, ...], bool]:
    """Whole comments in rubric order while they fit the budget, and whether any was left out."""
    elsewhere = {s.seen.strip() for s in snapshot.strengths}
    elsewhere |= {s.seen.strip() for s in snapshot.next_steps}
    log = snapshot.log
    drawn = log is not None and (log.draws or log.ledger is not None)
    left, left_in_all = QUOTES_BUDGET, QUOTES_BESIDE_COURT
    if log is not None and log.ledger is not None:
        left_in_all = QUOTES_BESIDE_BAND
    found: list[Quote] = []
    longer = False
    for rating, words, why in comments(snapshot, voice):
        text = said("" if words in elsewhere else words, why)
        if not text:
            continue
        label, where = _label(snapshot, rating.criterion), _where(rating.dead_ball, voice)
        in_all = len(label) + len(text) + len(where)
        if len(text) > left or (drawn and in_all > left_in_all):
            longer = True
            continue
        left, left_in_all = left - len(text), left_in_all - in_all
        found.append(Quote(label, text, where))
    return tuple(found), longer
