"""A season's findings by rule over the whole association, from the counts beside each log."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Count, Exists, F, OuterRef, Q, QuerySet, Sum

from accounts.models import Membership
from evaluations.core.mechanics.facts import Kept
from evaluations.core.mechanics.training import Observed, Tally, tallies
from evaluations.models import CrewMember, DeadBallLog, Evaluation, FindingCount, Game, Season
from evaluations.queries.observations import IN_WORK


@dataclass(frozen=True, slots=True)
class Asked:
    """Which logs are asked for; what is None or "" is not narrowed down."""

    season: Season
    crew_size: int | None = None
    level_of_play: str = ""
    kept: Kept | None = None


@dataclass(frozen=True, slots=True)
class SeasonFindings:
    """What the logs add up to, and how many of those asked for are left out.

    `observations` have a log that counts. Left out: `own`, of a crew that the reader belongs to;
    `unfinished`, with a form that is still written; `striking`, of only what struck the observer.
    """

    asked: Asked
    tallies: tuple[Tally, ...]
    observations: int
    own: int
    unfinished: int
    striking: int


def levels_of_play(reader: Membership) -> list[str]:
    """The levels of play that the association's games have, each once."""
    games = Game.objects.filter(season__association=reader.association)
    return list(games.order_by("level_of_play").values_list("level_of_play", flat=True).distinct())


def season_findings(reader: Membership, asked: Asked) -> SeasonFindings:
    """Add up what `reader` may see; three queries, whatever there is.

    One row is read for each log and rule: an interval that goes by observation needs them.
    """
    own = Q(Exists(_crew_places().filter(official=reader)))
    forms = Evaluation.objects.filter(observation=OuterRef("observation"))
    finished = Q(Exists(forms)) & ~Q(Exists(forms.filter(state__in=IN_WORK)))
    striking = Q(kept=Kept.STRIKING)
    asked_for = _logs(asked)
    numbers = asked_for.aggregate(
        own=Count("pk", filter=own),
        unfinished=Count("pk", filter=~own & ~finished),
        striking=Count("pk", filter=~own & finished & striking),
        counted=Count("pk", filter=~own & finished & ~striking),
    )
    counts = FindingCount.objects.filter(log__in=asked_for.filter(~own, finished, ~striking))
    return SeasonFindings(
        asked=asked,
        tallies=tallies(_by_observation(counts), _officials(counts)),
        observations=numbers["counted"],
        own=numbers["own"],
        unfinished=numbers["unfinished"],
        striking=numbers["striking"],
    )


def _logs(asked: Asked) -> QuerySet[DeadBallLog]:
    logs = DeadBallLog.objects.filter(observation__game__season=asked.season)
    if asked.crew_size is not None:
        logs = logs.filter(observation__game__crew_size=asked.crew_size)
    if asked.level_of_play:
        logs = logs.filter(observation__game__level_of_play=asked.level_of_play)
    return logs if asked.kept is None else logs.filter(kept=asked.kept)


def _crew_places() -> QuerySet[CrewMember]:
    return CrewMember.objects.filter(game=OuterRef("observation__game"))


def _by_observation(counts: QuerySet[FindingCount]) -> list[Observed]:
    rows = counts.order_by().values_list("rule", "log")
    judged = Sum(F("met") + F("not_met"))
    added = rows.annotate(Sum("met"), judged=judged, unjudged=Sum("not_judged"))
    return [
        Observed(rule, met, judged, not_judged) for rule, _log, met, judged, not_judged in added
    ]


def _officials(counts: QuerySet[FindingCount]) -> dict[str, int]:
    """How many officials have a judged finding, by rule; one that is nobody's is their crew's."""
    crew = "log__observation__game__crew"
    whose = Q(position="") | Q(**{f"{crew}__position": F("position")})
    theirs = counts.filter(Q(met__gt=0) | Q(not_met__gt=0)).filter(whose)
    rows = theirs.order_by().values_list("rule")
    return dict(rows.annotate(Count(f"{crew}__official", distinct=True)))
