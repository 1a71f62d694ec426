"""A mechanics code with a wrong row, the log of a crew that it judged, and its correction.

By the row as it is wrong, a lead who calls a foul with free throws ends trail opposite the table;
the shipped code has the table side. Only the caller's place is another one.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any, Final

from django.db.models import F

from evaluations.core.documents import to_document
from evaluations.core.mechanics import facts
from evaluations.core.mechanics.code import MechanicsCode
from evaluations.core.mechanics.court import Place, Position, Side
from evaluations.models import (
    CodeEdition,
    CrewMember,
    DeadBall,
    DeadBallLog,
    Evaluation,
    Game,
    Observation,
    Release,
)
from evaluations.queries.codes import mechanics_code
from evaluations.services.code_corrections import put_in_force, start_correction
from evaluations.services.codes import add_edition
from evaluations.services.releases import release_crew
from evaluations.services.shipped_codes import shipped_code
from tests.factories.accounts import Cast
from tests.factories.evaluations import BEFORE_SEASON, GAME_AT
from tests.factories.logs import REFEREE, UMPIRE, lead_calls, log_with
from tests.factories.releases import RELEASED_AT, crew_of, hand_in

PLACE_CRITERION: Final = "code-place-when-live"
DEAD_BALLS: Final = 6
REASON: Final = "The manual has the table side."
FOUND_OUT: Final = GAME_AT + timedelta(days=30)
"""When the wrong row is noticed: the letters are long out."""

LEAD, TRAIL = Position.LEAD, Position.TRAIL


def with_first_row(code: MechanicsCode, side: Side) -> MechanicsCode:
    """The code with the lead who calls sent trail on this side for free throws."""
    first, *rest = code.rows
    after = {LEAD: Place(TRAIL, side), TRAIL: Place(LEAD, Side.OPPOSITE)}
    return replace(code, rows=(replace(first, after=after), *rest))


def wrong_edition(cast: Cast) -> CodeEdition:
    """An edition for crews of two whose first row is wrong; a rubric made later uses it."""
    wrong = with_first_row(shipped_code("two_person_every_foul"), Side.OPPOSITE)
    return add_edition(
        association=cast.association, content=wrong, answers=None, by=cast.admin, now=BEFORE_SEASON
    )


def well_done() -> facts.DeadBall:
    """A lead's foul with free throws, and a switch to the places of the shipped code."""
    after = {
        REFEREE: facts.Stood(TRAIL, Side.TABLE),
        UMPIRE: facts.Stood(LEAD, Side.OPPOSITE),
    }
    return lead_calls(True, after=after)


def logged_crew(cast: Cast) -> Observation:
    """The season's one game with six such fouls by the referee, `official`; no form is filled."""
    wrong_edition(cast)
    observation = crew_of(cast)
    log_with(observation, [well_done() for _ball in range(DEAD_BALLS)])
    return observation


def handed_in_crew(cast: Cast) -> Observation:
    """The same, rated as the log has it: the referee never stood right."""
    observation = logged_crew(cast)
    referee, umpire = observation.evaluations.order_by("position")
    hand_in(referee, {PLACE_CRITERION: 1})
    hand_in(umpire)
    return observation


def letters_by_wrong_code(cast: Cast) -> list[Release]:
    """The same, with the letters out: to `official`, the referee, and to `other_official`."""
    observation = handed_in_crew(cast)
    return release_crew(observation=observation, by=cast.admin, now=RELEASED_AT)


def edited(draft: CodeEdition, content: MechanicsCode) -> CodeEdition:
    """The draft with other rows, as an admin leaves it."""
    CodeEdition.objects.filter(pk=draft.pk).update(
        content=to_document(content), version=F("version") + 1
    )
    return CodeEdition.objects.get(pk=draft.pk)


def begun_correction(cast: Cast, now: datetime = FOUND_OUT) -> CodeEdition:
    """A correction of the edition with the wrong row, not edited yet."""
    wrong = cast.association.codes.get(crew_size=2, edition=1)
    return start_correction(code=wrong, by=cast.admin, now=now)


def righted_correction(cast: Cast) -> CodeEdition:
    """The same with the row put right."""
    draft = begun_correction(cast)
    return edited(draft, with_first_row(mechanics_code(draft), Side.TABLE))


def correction_in_force(cast: Cast) -> CodeEdition:
    """The same, put in the place of the edition with the wrong row."""
    draft = righted_correction(cast)
    put_in_force(
        correction=draft, version=draft.version, reason=REASON, by=cast.admin, now=FOUND_OUT
    )
    return CodeEdition.objects.get(pk=draft.pk)


def more_logs(first: Observation, number: int) -> None:
    """So many games more, a day apart, each with the crew, the forms and the log of `first`.

    As bare rows: nothing is counted, and the forms are empty.
    """
    log = DeadBallLog.objects.get(observation=first)
    crew, forms = list(first.game.crew.all()), list(first.evaluations.all())
    balls = list(log.dead_balls.values_list("number", "facts", "made_at"))
    plays_at = [first.game.plays_at + timedelta(days=n) for n in range(1, number + 1)]
    games = Game.objects.bulk_create(_copied(first.game, plays_at=day) for day in plays_at)
    seen = Observation.objects.bulk_create(_copied(first, game=game) for game in games)
    logs = DeadBallLog.objects.bulk_create(_copied(log, observation=one) for one in seen)
    CrewMember.objects.bulk_create(_copied(one, game=game) for game in games for one in crew)
    Evaluation.objects.bulk_create(_copied(form, observation=one) for one in seen for form in forms)
    DeadBall.objects.bulk_create(
        DeadBall(log=one, number=number, facts=seen_then, made_at=made_at)
        for one in logs
        for number, seen_then, made_at in balls
    )


def _copied(row: Any, **changes: object) -> Any:
    """An unsaved row with the same values, but for `changes`."""
    names = [f.attname for f in row._meta.concrete_fields if not f.primary_key]
    kept = {name: getattr(row, name) for name in names if name.removesuffix("_id") not in changes}
    return type(row)(**kept, **changes)
