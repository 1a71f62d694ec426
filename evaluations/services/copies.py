"""Copies of a letter: the stored bytes, or the letter with what has come of it since."""

from __future__ import annotations

from collections.abc import Iterable

from django.utils.translation import gettext as _
from django.utils.translation import override

from evaluations.core.letter import Annex, AnnexItem, LetterContent, with_notice
from evaluations.core.letter_text import compose_annex
from evaluations.core.release import ReleaseSnapshot, State
from evaluations.letters import render
from evaluations.models import Release, ResponseLine, Review, ReviewLine
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


def letter_annex(release: Release) -> Annex:
    """All comments at full length, then the answer and what a review found."""
    snapshot = snapshot_of(release)
    return compose_annex(snapshot, answer_items(release), SiteVoice(snapshot.wording.language))


def answer_items(release: Release) -> tuple[AnnexItem, ...]:
    """The official's answer and what a review found, for the annex and the page alike.

    An amended letter carries the answers to the letters before it.
    """
    snapshot = snapshot_of(release)
    earlier = release.evaluation.releases.filter(serial__lt=release.serial).order_by("serial")
    with override(snapshot.wording.language):
        found: list[AnnexItem] = []
        for one in earlier.select_related("response", "review").defer("pdf", "content"):
            if _answered(one):
                about = _("release %(n)s") % {"n": one.serial}
                found += _items(one, snapshot_of(one), f" ({about})")
        return (*found, *_items(release, snapshot, ""))


def _answered(release: Release) -> bool:
    return hasattr(release, "response") or hasattr(release, "review")


def _items(release: Release, snapshot: ReleaseSnapshot, about: str) -> Iterable[AnnexItem]:
    yield AnnexItem(_("Answer of the official") + about, tuple(_response(release, snapshot)))
    if hasattr(release, "review"):
        yield _item(release.review, snapshot, about)


def review_item(review: Review) -> AnnexItem:
    """What a review found, in the language of the request."""
    return _item(review, snapshot_of(review.release), "")


def _item(review: Review, snapshot: ReleaseSnapshot, about: str) -> AnnexItem:
    found = (
        (_("Asked for, not closed yet."),)
        if review.closed_at is None
        else tuple(_found(line, snapshot) for line in review.lines.all())
    )
    return AnnexItem(_("Review by another observer") + about, found)


def _response(release: Release, snapshot: ReleaseSnapshot) -> Iterable[str]:
    response = getattr(release, "response", None)
    if response is None:
        yield _("Not answered.")
        return
    yield from (line for line in response.text.splitlines() if line.strip())
    for said in response.lines.all():
        yield _said(said, snapshot)


def _said(line: ResponseLine, snapshot: ReleaseSnapshot) -> str:
    return _("%(criterion)s: “this is not what happened”. %(text)s") % {
        "criterion": snapshot.wording.criteria[line.criterion].label,
        "text": line.text,
    }


def _found(line: ReviewLine, snapshot: ReleaseSnapshot) -> str:
    outcome = line.get_outcome_display()
    if line.level is not None:
        word = snapshot.wording.level_words[line.level - 1]
        outcome = _("%(outcome)s to “%(level)s”") % {"outcome": outcome, "level": word}
    return _("%(criterion)s: %(outcome)s. %(note)s") % {
        "criterion": snapshot.wording.criteria[line.criterion].label,
        "outcome": outcome,
        "note": line.note,
    }


def letter_pdf(*, release: Release, annex: bool) -> bytes:
    """The letter as a file.

    The stored bytes as long as nothing has come of the letter; the answer travels with every
    copy, so from then on, or when asked for, the annex is laid out behind the same two pages.
    """
    with_annex = annex or _answered(release)
    content = letter_content(release)
    if not (with_annex or content.notice):
        return bytes(release.pdf)
    return render(content, letter_annex(release) if with_annex else None)
