"""Releasing a crew's letters, and what becomes of a letter afterwards."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from datetime import datetime
from decimal import Decimal

from django.db import transaction
from django.db.models import F
from django.urls import reverse
from django.utils.translation import gettext as _

from accounts.models import Membership
from accounts.services.audit import record
from evaluations.core.documents import to_document
from evaluations.core.printing import printed
from evaluations.core.release import Action, State, allowed
from evaluations.models import Evaluation, Observation, Release, ReleaseEvent
from evaluations.queries.evaluations import crew_forms, stands_to
from evaluations.queries.openings import crew_opening
from evaluations.queries.releases import current, state_of
from evaluations.services.errors import Refused, StaleVersion
from evaluations.services.letters import PreparedLetter, prepare_letter
from evaluations.services.mail import announce_letter, tell


def release_crew(
    *,
    observation: Observation,
    by: Membership,
    now: datetime,
    read: Mapping[int, int] | None = None,
) -> list[Release]:
    """Release the submitted evaluations of a crew, all at once or none.

    Each is frozen and its letter laid out before the transaction begins; whatever was saved in
    between makes the release start over. An evaluation that was released before gets a new
    release, which supersedes the old one. `read` are the versions by key that the admin has read,
    if somebody did: others are not released.

    Raises:
        Refused: somebody's form is not in yet, nothing waits, a letter can't be made, or the
            admin belongs to this crew.
        StaleVersion: an evaluation changed meanwhile; nothing was released.
    """
    waiting = waiting_forms(observation=observation, by=by)
    if read is not None and read != {e.pk: e.version for e in waiting}:
        raise StaleVersion(_("A form of this crew changed meanwhile. Read it again, then release."))
    opening = crew_opening(waiting, now).at
    letters = [
        prepare_letter(evaluation=e, serial=e.releases.count() + 1, now=now, opens_at=opening)
        for e in waiting
    ]
    return _store(letters=letters, opening=opening, by=by, now=now)


def waiting_forms(*, observation: Observation, by: Membership) -> list[Evaluation]:
    """The submitted evaluations of a crew, which `by` may release now.

    Forms that an admin closed before they were submitted hold nobody up.

    Raises:
        Refused: as `release_crew` does.
    """
    if observation.game.crew.filter(official=by).exists():
        raise Refused(_("You belong to this crew: another admin must release its letters."))
    crew = crew_forms(observation)
    missing = [e for e in crew if e.state in (State.DRAFT, State.RETURNED)]
    if missing and observation.closed_at is None:
        raise Refused(
            _("A crew's letters are released together. Still open: %(names)s.")
            % {"names": ", ".join(str(e.official) for e in missing)}
        )
    waiting = [e for e in crew if allowed(Action.RELEASE, State(e.state), stands_to(by, e))]
    if not waiting:
        raise Refused(_("Nothing of this observation waits for release."))
    return waiting


@transaction.atomic
def _store(
    *, letters: Iterable[PreparedLetter], opening: datetime, by: Membership, now: datetime
) -> list[Release]:
    return [_store_one(letter, opening, by, now) for letter in letters]


def _store_one(letter: PreparedLetter, opening: datetime, by: Membership, now: datetime) -> Release:
    evaluation, card = letter.evaluation, letter.snapshot.card
    won = Evaluation.objects.filter(
        pk=evaluation.pk, version=evaluation.version, state=State.SUBMITTED
    ).update(version=F("version") + 1, state=State.RELEASED)
    if not won:
        raise StaleVersion(
            _("The evaluation of %(official)s changed meanwhile. Read it again, then release.")
            % {"official": evaluation.official}
        )
    evaluation.refresh_from_db(fields=["version", "state"])
    for earlier in current(evaluation.releases.all()):
        add_event(earlier, ReleaseEvent.Kind.SUPERSEDED, by, now)
    release = Release(
        evaluation=evaluation,
        serial=letter.snapshot.serial,
        snapshot=to_document(letter.snapshot),
        content=to_document(letter.content),
        pdf=letter.pdf,
        sha256=hashlib.sha256(letter.pdf).hexdigest(),
        code=letter.snapshot.code,
        total=None if card.total is None else Decimal(str(float(printed(card.total)))),
        band=card.band or "",
        released_by=by,
        released_at=now,
        opens_at=opening,
        respond_until=letter.snapshot.respond_until,
    )
    release.full_clean()
    release.save()
    announce_letter(release=release)
    record(
        actor=by.user,
        association=by.association,
        action="release.made",
        target=release,
        now=now,
        details={"sha256": release.sha256, "serial": release.serial},
    )
    return release


@transaction.atomic
def withdraw(*, release: Release, reason: str, by: Membership, now: datetime) -> ReleaseEvent:
    """Withdraw a letter: it stays readable, and opens with the word that it was withdrawn.

    Raises:
        Refused: no reason, or the letter is not current.
        django.core.exceptions.ValidationError: a reason of more than 300 characters.
    """
    if not reason.strip():
        raise Refused(_("Say why the letter is withdrawn; the official will read it."))
    lock_release(release)
    if not allowed(Action.WITHDRAW, state_of(release), stands_to(by, release.evaluation)):
        raise Refused(_("Only a current letter can be withdrawn, and not by its own official."))
    event = add_event(release, ReleaseEvent.Kind.WITHDRAWN, by, now, reason.strip())
    tell(
        member=release.evaluation.official,
        key=f"withdrawn-{release.pk}",
        path=letter_path(release),
        now=max(now, release.opens_at),
    )
    return event


def letter_path(release: Release) -> str:
    slug = release.evaluation.official.association.slug
    return reverse("evaluations:letter", args=[slug, release.pk])


def lock_release(release: Release) -> None:
    """Until the transaction ends, whoever else wants to add an event to this letter waits."""
    Release.objects.select_for_update().only("pk").get(pk=release.pk)


def add_event(
    release: Release,
    kind: ReleaseEvent.Kind,
    by: Membership,
    now: datetime,
    reason: str = "",
) -> ReleaseEvent:
    event = ReleaseEvent(release=release, kind=kind, by=by, at=now, reason=reason)
    event.full_clean()
    event.save()
    record(
        actor=by.user,
        association=by.association,
        action=f"release.{kind.value}",
        target=release,
        now=now,
    )
    return event
