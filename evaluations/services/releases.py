"""Releasing a crew's letters, and what becomes of a letter afterwards."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from accounts.models import Association, Membership
from accounts.services.audit import record
from evaluations.core.documents import to_document
from evaluations.core.printing import printed
from evaluations.core.release import Action, QuietHours, State, allowed, opens_at
from evaluations.models import CrewMember, Evaluation, Observation, Release, ReleaseEvent
from evaluations.queries.evaluations import RELATED, stands_to
from evaluations.queries.releases import current, state_of
from evaluations.services.errors import Refused, StaleVersion
from evaluations.services.letters import PreparedLetter, prepare_letter
from evaluations.services.mail import announce_letter


def release_crew(*, observation: Observation, by: Membership, now: datetime) -> list[Release]:
    """Release the submitted evaluations of a crew, all at once or none.

    Each is frozen and its letter laid out before the transaction begins; whatever was saved in
    between makes the release start over. An evaluation that was released before gets a new
    release, which supersedes the old one.

    Raises:
        Refused: somebody's form is not in yet, nothing waits, a letter can't be made, or the
            admin belongs to this crew.
        StaleVersion: an evaluation changed meanwhile; nothing was released.
    """
    crew = list(observation.evaluations.select_related(*RELATED))
    waiting = _waiting(crew, by)
    opening = max(_opens_at(e, now) for e in waiting)
    letters = [
        prepare_letter(evaluation=e, serial=e.releases.count() + 1, now=now, opens_at=opening)
        for e in waiting
    ]
    return _store(letters=letters, opening=opening, by=by, now=now)


def _waiting(crew: Sequence[Evaluation], by: Membership) -> list[Evaluation]:
    if any(e.official_id == by.pk for e in crew):
        raise Refused(_("You belong to this crew: another admin must release its letters."))
    missing = [e for e in crew if e.state in (State.DRAFT, State.RETURNED)]
    if missing:
        raise Refused(
            _("A crew's letters are released together. Still open: %(names)s.")
            % {"names": ", ".join(str(e.official) for e in missing)}
        )
    waiting = [e for e in crew if e.state == State.SUBMITTED]
    if not waiting:
        raise Refused(_("Nothing of this observation waits for release."))
    return waiting


def quiet_hours(association: Association) -> QuietHours:
    return QuietHours(
        begin=association.quiet_from,
        end=association.quiet_until,
        before_game=timedelta(hours=association.quiet_before_game_hours),
        cool_off=timedelta(hours=association.cool_off_hours),
    )


def _opens_at(evaluation: Evaluation, now: datetime) -> datetime:
    official = evaluation.official
    zone = ZoneInfo(official.user.time_zone)
    following = (
        CrewMember.objects.filter(
            official=official, game__plays_at__gt=now, game__cancelled_at__isnull=True
        )
        .order_by("game__plays_at")
        .values_list("game__plays_at", flat=True)
        .first()
    )
    return opens_at(
        now.astimezone(zone),
        game_at=evaluation.observation.game.plays_at.astimezone(zone),
        next_game_at=following.astimezone(zone) if following else None,
        quiet=quiet_hours(official.association),
    )


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
    """
    if not reason.strip():
        raise Refused(_("Say why the letter is withdrawn; the official will read it."))
    if not allowed(Action.WITHDRAW, state_of(release), stands_to(by, release.evaluation)):
        raise Refused(_("Only a current letter can be withdrawn, and not by its own official."))
    return add_event(release, ReleaseEvent.Kind.WITHDRAWN, by, now, reason.strip())


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
