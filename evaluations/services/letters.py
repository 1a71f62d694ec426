"""From an evaluation to its letter: the snapshot, the text, the bytes. Nothing is stored here."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from django.conf import settings
from django.urls import reverse
from django.utils import translation
from django.utils.crypto import salted_hmac
from django.utils.translation import gettext as _

from evaluations.core.games import (
    CrewPosition,
    Difficulty,
    GameFacts,
    Kind,
    ObservationFacts,
    Seen,
    Talk,
)
from evaluations.core.letter import LetterContent
from evaluations.core.letter_text import compose
from evaluations.core.next_steps import order_next_steps
from evaluations.core.release import ReleaseSnapshot, SeasonValue
from evaluations.core.season import season_value
from evaluations.letters import LetterTooLong, missing_characters, render
from evaluations.models import Evaluation, Game, Observation
from evaluations.queries.evaluations import worksheet
from evaluations.queries.log_evidence import log_evidence
from evaluations.queries.releases import season_point, season_snapshots
from evaluations.queries.rubrics import rubric_wording
from evaluations.services.errors import Refused
from evaluations.voice import SiteVoice

CODE_ALPHABET = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
CODE_LENGTH = 12


@dataclass(frozen=True, slots=True)
class PreparedLetter:
    """Everything a release stores, made before its transaction begins."""

    evaluation: Evaluation
    snapshot: ReleaseSnapshot
    content: LetterContent
    pdf: bytes


def prepare_letter(
    *, evaluation: Evaluation, serial: int, now: datetime, opens_at: datetime
) -> PreparedLetter:
    """Freeze an evaluation and lay out its letter. Reads only.

    Raises:
        Refused: text that does not fit two pages, or a character that the letter's font lacks.
    """
    snapshot = _snapshot(evaluation, serial, now, opens_at)
    content = compose(snapshot, SiteVoice(evaluation.official.user.language))
    lacking = missing_characters(content)
    if lacking:
        raise Refused(
            _("The letter's font lacks these characters: %(characters)s. Write them differently.")
            % {"characters": " ".join(lacking)}
        )
    try:
        return PreparedLetter(evaluation, snapshot, content, render(content))
    except LetterTooLong as error:
        raise Refused(
            _("The letter to %(official)s does not fit two pages: shorten %(part)s.")
            % {"official": evaluation.official, "part": error.part}
        ) from error


@dataclass(frozen=True, slots=True)
class LetterPreview:
    """A letter as it would read now, or (`content` None) the `obstacle` to making it."""

    evaluation: Evaluation
    content: LetterContent | None
    obstacle: str


def preview_letters(
    *, evaluations: Iterable[Evaluation], now: datetime, opens_at: datetime
) -> list[LetterPreview]:
    """A crew's letters before they are released. Nothing is stored."""
    return [_preview(evaluation, now, opens_at) for evaluation in evaluations]


def _preview(evaluation: Evaluation, now: datetime, opens_at: datetime) -> LetterPreview:
    serial = evaluation.releases.count() + 1
    try:
        letter = prepare_letter(evaluation=evaluation, serial=serial, now=now, opens_at=opens_at)
    except Refused as refusal:
        return LetterPreview(evaluation, None, str(refusal))
    return LetterPreview(evaluation, letter.content, "")


def _snapshot(
    evaluation: Evaluation, serial: int, now: datetime, opens_at: datetime
) -> ReleaseSnapshot:
    observation = evaluation.observation
    association = observation.game.season.association
    zone = ZoneInfo(association.time_zone)
    sheet = worksheet(evaluation)
    rubric = observation.rubric
    assert rubric is not None  # an evaluation is made when its observation is opened
    official = evaluation.official
    code = letter_code(evaluation, serial)
    respond_until = opens_at.astimezone(zone).date() + timedelta(days=association.respond_days)
    with translation.override(official.user.language):
        rubric_name = str(rubric)
    snapshot = ReleaseSnapshot(
        association=association.name,
        official=official.user.name,
        observer=observation.observer.user.name if association.show_observer else "",
        position=CrewPosition(evaluation.position),
        game=_game_facts(observation.game, zone),
        observation=_observation_facts(observation, Kind(evaluation.kind)),
        rubric_name=rubric_name,
        mechanics_code=rubric.mechanics,
        rubric=sheet.rubric,
        wording=rubric_wording(rubric, official.user.language),
        ratings=sheet.draft.ratings,
        card=sheet.card,
        summary=sheet.draft.summary,
        strengths=sheet.draft.strengths,
        next_steps=order_next_steps(sheet.card, sheet.draft.next_steps),
        season=season_value([]),
        new_official=official.new_official,
        under_18=official.under_18,
        issued_on=now.astimezone(zone).date(),
        respond_until=respond_until,
        paragraph=association.letter_paragraph,
        serial=serial,
        code=code,
        address=settings.CREWMARK_ADDRESS + reverse("evaluations:verify", args=[code]),
        paper=association.paper_size,
        log=log_evidence(sheet, CrewPosition(evaluation.position), official.user.language),
    )
    return replace(snapshot, season=_season(evaluation, snapshot))


def _season(evaluation: Evaluation, snapshot: ReleaseSnapshot) -> SeasonValue:
    """The official's season as of this letter, this evaluation included if it has a total."""
    season = evaluation.observation.game.season
    counted = season_snapshots(evaluation.official, season, without=evaluation)
    if snapshot.card.total is not None:
        counted.append(snapshot)
    return season_value([season_point(s) for s in counted])


def _game_facts(game: Game, zone: ZoneInfo) -> GameFacts:
    return GameFacts(
        played_on=game.plays_at.astimezone(zone).date(),
        level_of_play=game.level_of_play,
        home=game.home,
        visitors=game.visitors,
        site=game.site,
        crew_size=game.crew_size,
    )


def _observation_facts(observation: Observation, kind: Kind) -> ObservationFacts:
    return ObservationFacts(
        kind=kind,
        seen=Seen(observation.seen),
        part=observation.part,
        difficulty=Difficulty(observation.difficulty),
        talk=Talk(observation.talk),
        observer=observation.observer.user.name,
    )


def letter_code(evaluation: Evaluation, serial: int) -> str:
    """The code of a letter, such as K7QM-2XPA-9RTC: nobody can guess one without the site's key.

    >>> letter_code(Evaluation(pk=1), 1) == letter_code(Evaluation(pk=1), 1)
    True
    """
    digest = salted_hmac("evaluations.letter", f"{evaluation.pk}/{serial}", algorithm="sha256")
    number = int.from_bytes(digest.digest(), "big")
    letters = []
    for _place in range(CODE_LENGTH):
        number, place = divmod(number, len(CODE_ALPHABET))
        letters.append(CODE_ALPHABET[place])
    return "-".join("".join(letters[i : i + 4]) for i in range(0, CODE_LENGTH, 4))
