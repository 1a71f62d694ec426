"""The empty forms of opened observations: one for each of the crew, and they follow the crew.

All of it runs within the caller's transaction, which holds the game's lock.
"""

from __future__ import annotations

from collections.abc import Collection

from django.utils.translation import gettext as _

from accounts.models import Membership
from evaluations.core.games import Kind
from evaluations.models import CrewMember, Evaluation, Game, Observation
from evaluations.queries.observations import IN_WORK, is_blank
from evaluations.services.errors import Refused


def begin_forms(observation: Observation) -> None:
    """Begin a form for each of the crew."""
    for member in observation.game.crew.select_related("official__association"):
        _begin_form(observation, member)


def remove_empty_forms(game: Game, leaving: Collection[int]) -> None:
    """Remove the forms about officials who leave the crew (by key).

    Raises:
        Refused: something is written about one of them.
    """
    forms = Evaluation.objects.filter(observation__game=game, official__in=leaving)
    for form in forms.select_related("official__user"):
        if not is_blank(form):
            raise Refused(
                _(
                    "Something is written about %(name)s already, who therefore stays in the "
                    "crew. To begin anew, reassign the observation first."
                )
                % {"name": form.official}
            )
        form.delete()


def follow_crew(game: Game) -> None:
    """In open observations, begin forms for who is new and put the others at their positions."""
    crew = list(game.crew.select_related("official__association"))
    for observation in game.observations.filter(opened_at__isnull=False, closed_at__isnull=True):
        forms = {form.official_id: form for form in observation.evaluations.all()}
        for member in crew:
            form = forms.get(member.official_id)
            if form is None:
                _begin_form(observation, member)
            elif form.position != member.position:
                form.position = member.position
                form.save(update_fields=["position"])


def _begin_form(observation: Observation, member: CrewMember) -> None:
    """It is coaching if the observation is, and for a new official's first forms."""
    official = member.official
    coaching = observation.kind == Kind.COACHING or (
        official.new_official and _forms_before(official) < official.association.coaching_first
    )
    form = Evaluation(
        observation=observation,
        official=official,
        position=member.position,
        kind=Kind.COACHING if coaching else Kind.SCORED,
    )
    form.full_clean()
    form.save()


def _forms_before(official: Membership) -> int:
    """Forms begun about an official, without those that were given up."""
    given_up = Evaluation.objects.filter(observation__closed_at__isnull=False, state__in=IN_WORK)
    return official.evaluations.exclude(pk__in=given_up).count()
