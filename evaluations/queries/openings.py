"""When a crew's letters open, and when mail may go to somebody."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from accounts.models import Association, Membership
from evaluations.core.release import QuietHours, opens_at
from evaluations.models import Evaluation, Game

ROUNDS = 50
"""Some weeks of quiet nights and games: a crew that agrees does so long before."""


@dataclass(frozen=True, slots=True)
class OwnOpening:
    """When one of the crew could read the letter, and the game that it has to wait for."""

    official: Membership
    at: datetime
    held_by: Game | None


@dataclass(frozen=True, slots=True)
class Opening:
    """When a crew's letters open, all at once, and what each of the crew would have had alone."""

    at: datetime
    own: tuple[OwnOpening, ...]


def quiet_hours(association: Association) -> QuietHours:
    return QuietHours(
        begin=association.quiet_from,
        end=association.quiet_until,
        before_game=timedelta(hours=association.quiet_before_game_hours),
        cool_off=timedelta(hours=association.cool_off_hours),
    )


def crew_opening(evaluations: Iterable[Evaluation], now: datetime) -> Opening:
    """The first moment from `now` on that no rule forbids for any of the crew.

    A later moment that suits one may be another's quiet hour or too close to another's game, so
    that each is asked again until all agree. Officials whose clocks leave no common hour never do:
    after `ROUNDS` the latest moment that suits one of them is taken.
    """
    asked = [_Official(e) for e in evaluations]
    own = tuple(official.opening(now) for official in asked)
    moment = now.astimezone(UTC)
    for _round in range(ROUNDS):
        later = max(official.opening(moment).at for official in asked)
        if later == moment:
            break
        moment = later
    return Opening(moment, own)


class _Official:
    """One of the crew, with the games that may be in the way."""

    def __init__(self, evaluation: Evaluation) -> None:
        self.official = evaluation.official
        self.zone = ZoneInfo(self.official.user.time_zone)
        self.quiet = quiet_hours(self.official.association)
        self.played_at = evaluation.observation.game.plays_at
        self.games = _games_from(self.official, self.played_at)

    def opening(self, moment: datetime) -> OwnOpening:
        """What the rules say from `moment` on, as often as a game moves it on."""
        held_by, moment = None, moment.astimezone(UTC)
        while True:
            ahead = next((g for g in self.games if g.plays_at + self.quiet.cool_off > moment), None)
            free = self._opens_at(moment, None)
            later = self._opens_at(moment, ahead)
            held_by = ahead if later > free else held_by
            if later == moment:
                return OwnOpening(self.official, moment, held_by)
            moment = later

    def _opens_at(self, moment: datetime, game: Game | None) -> datetime:
        """In UTC: moments in the hour that comes twice equal none of another zone."""
        opening = opens_at(
            moment.astimezone(self.zone),
            game_at=self.played_at,
            next_game_at=game.plays_at if game else None,
            quiet=self.quiet,
        )
        return opening.astimezone(UTC)


def _games_from(official: Membership, since: datetime) -> list[Game]:
    """The official's games after `since`, in the order of play."""
    games = Game.objects.filter(
        crew__official=official, plays_at__gt=since, cancelled_at__isnull=True
    )
    return list(games.order_by("plays_at"))


def mail_time(member: Membership, now: datetime) -> datetime:
    """When mail may go to a member: at once, or after the quiet hours or the next game."""
    zone = ZoneInfo(member.user.time_zone)
    quiet = quiet_hours(member.association)
    ahead = _games_from(member, now - quiet.cool_off)
    return opens_at(
        now.astimezone(zone),
        game_at=now - quiet.cool_off,
        next_game_at=ahead[0].plays_at if ahead else None,
        quiet=quiet,
    )
