"""What somebody may do with a letter now, and the other releases of its evaluation."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from accounts.models import Membership
from evaluations.core.release import CORRECT_WITHIN, REVIEW_WITHIN, Action, State, Who, allowed
from evaluations.models import Release
from evaluations.queries.evaluations import stands_to
from evaluations.queries.releases import (
    LETTER,
    correction_open,
    releases_for,
    respond_open,
    review_open,
    state_of,
)


@dataclass(frozen=True, slots=True)
class LetterPage:
    """A letter for one reader, who is its official (`own`), its `author`, or neither.

    `opens_at` is None once its official can read it. `history` are the releases of the evaluation
    that the reader may read, in order; `follows_at` is when an amended letter opens that the
    reader can't read yet. Until `correct_until` the author may correct because of the answer.
    """

    state: State
    opens_at: datetime | None
    own: bool
    author: bool
    may_acknowledge: bool
    may_respond: bool
    may_ask_review: bool
    may_amend: bool
    may_withdraw: bool
    being_amended: bool
    review_until: datetime
    correct_until: datetime | None
    history: tuple[Release, ...]
    follows_at: datetime | None

    @property
    def newest(self) -> Release:
        return self.history[-1]


def letter_page(member: Membership, release: Release, now: datetime) -> LetterPage:
    """`release` is one of `releases_for(member, now)`."""
    evaluation, state = release.evaluation, state_of(release)
    who = stands_to(member, evaluation)
    readable = releases_for(member, now).filter(evaluation=evaluation).order_by("serial")
    history = tuple(readable)
    later = evaluation.releases.filter(serial__gt=history[-1].serial).defer(*LETTER).first()
    newest = later is None and history[-1].pk == release.pk
    correctable = correction_open(release, now)
    return LetterPage(
        state=state,
        opens_at=release.opens_at if release.opens_at > now else None,
        own=Who.SUBJECT in who,
        author=Who.AUTHOR in who,
        may_acknowledge=allowed(Action.ACKNOWLEDGE, state, who),
        may_respond=allowed(Action.RESPOND, state, who) and respond_open(release, now),
        may_ask_review=allowed(Action.ASK_REVIEW, state, who) and review_open(release, now),
        may_amend=newest
        and allowed(Action.AMEND, State(evaluation.state), who)
        and (Who.ADMIN in who or correctable),
        may_withdraw=allowed(Action.WITHDRAW, state, who),
        being_amended=evaluation.state != State.RELEASED,
        review_until=release.opens_at + REVIEW_WITHIN,
        correct_until=release.response.answered_at + CORRECT_WITHIN if correctable else None,
        history=history,
        follows_at=later.opens_at if later else None,
    )
