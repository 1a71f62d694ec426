"""Copies of a letter: the stored bytes, or the letter with what has come of it since."""

from __future__ import annotations

from collections.abc import Iterable

from django.utils.translation import gettext as _
from django.utils.translation import override

from evaluations.core.letter import Annex, AnnexItem, LetterContent, with_notice
from evaluations.core.letter_text import compose_annex
from evaluations.core.release import ReleaseSnapshot, State
from evaluations.letters import render
from evaluations.models import Release, ResponseLine, ReviewLine
from evaluations.queries.releases import content_of, snapshot_of, state_of
from evaluations.voice import SiteVoice


def letter_content(release: Release) -> LetterContent:
    """The letter's text as it reads today: a withdrawn or superseded one opens with that word."""
    content = content_of(release)
    notice = _notice(release, content.language)
    return with_notice(content, notice) if notice else content


def _notice(release: Release, language: str) -> str:
    state = state_of(release)
    with override(language):
        if state is State.WITHDRAWN:
            reason = release.events.get(kind=State.WITHDRAWN.value).reason
            return _("Withdrawn. %(reason)s") % {"reason": reason}
        if state is State.SUPERSEDED:
            return _("Superseded. An amended letter has taken this one's place.")
    return ""


def answer_items(release: Release) -> tuple[AnnexItem, ...]:
    """The official's answer and what a review found, for the annex and the page alike."""
    snapshot = snapshot_of(release)
    with override(snapshot.wording.language):
        return (*_response(release, snapshot), *_review(release, snapshot))


def _response(release: Release, snapshot: ReleaseSnapshot) -> Iterable[AnnexItem]:
    response = getattr(release, "response", None)
    if response is None:
        yield AnnexItem(_("Answer of the official"), (_("Not answered."),))
        return
    paragraphs = (response.text, *(_said(line, snapshot) for line in response.lines.all()))
    yield AnnexItem(_("Answer of the official"), tuple(p for p in paragraphs if p))


def _said(line: ResponseLine, snapshot: ReleaseSnapshot) -> str:
    return _("%(criterion)s: “this is not what happened”. %(text)s") % {
        "criterion": snapshot.wording.criteria[line.criterion].label,
        "text": line.text,
    }


def _review(release: Release, snapshot: ReleaseSnapshot) -> Iterable[AnnexItem]:
    review = getattr(release, "review", None)
    if review is None:
        return
    if review.closed_at is None:
        yield AnnexItem(_("Review by another observer"), (_("Asked for, not closed yet."),))
        return
    lines = tuple(_found(line, snapshot) for line in review.lines.all())
    yield AnnexItem(_("Review by another observer"), lines)


def _found(line: ReviewLine, snapshot: ReleaseSnapshot) -> str:
    return _("%(criterion)s: %(outcome)s. %(note)s") % {
        "criterion": snapshot.wording.criteria[line.criterion].label,
        "outcome": line.get_outcome_display(),
        "note": line.note,
    }


def letter_pdf(*, release: Release, annex: bool) -> bytes:
    """The letter as a file.

    The stored bytes as long as nothing has come of the letter; the answer travels with every
    copy, so from then on, or when asked for, the annex is laid out behind the same two pages.
    """
    answered = hasattr(release, "response") or hasattr(release, "review")
    content = letter_content(release)
    if not (annex or answered or content.notice):
        return bytes(release.pdf)
    return render(content, _annex(release) if annex or answered else None)


def _annex(release: Release) -> Annex:
    snapshot = snapshot_of(release)
    return compose_annex(snapshot, answer_items(release), SiteVoice(snapshot.wording.language))
