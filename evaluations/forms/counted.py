"""What the log says of a criterion, as it stands beside the levels of a form."""

from __future__ import annotations

from django.urls import reverse
from django.utils.html import format_html, format_html_join

from evaluations.core.counting import count_line, not_met_at, remark_while_rating
from evaluations.core.mechanics.counts import Count, at_odds, departs
from evaluations.core.voice import Voice
from evaluations.forms.widgets import Counted
from evaluations.models import Observation
from evaluations.queries.rating_sheets import RatingSheet


def counted_beside(sheet: RatingSheet, criterion: str, voice: Voice) -> Counted | None:
    """The line under a criterion's levels; None without a count, or examples, to show."""
    found = sheet.counts.get(criterion)
    line = found and count_line(sheet.spec, sheet.wording, found, voice)
    if not (found and line):
        return None
    levels = range(1, sheet.spec.levels + 1)
    odd = frozenset(str(n) for n in levels if at_odds(sheet.spec, found, n))
    return Counted(
        line.figure,
        _with_misses(line.text, found, sheet.observation, voice),
        departing=frozenset(str(n) for n in levels if departs(sheet.spec, found, n)),
        at_odds=odd,
        remark=remark_while_rating(found, voice) if odd else "",
    )


def _with_misses(text: str, found: Count, observation: Observation, voice: Voice) -> str:
    """The text, then the dead balls of what was not met, each with the way to its place."""
    if not found.dead_balls:
        return text
    links = format_html_join(
        ", ", '<a href="{}">{}</a>', ((_address(observation, n), n) for n in found.dead_balls)
    )
    before, _numbers, after = not_met_at(len(found.dead_balls), voice).partition("%(numbers)s")
    return format_html("{} {}{}{}", text, before, links, after)


def _address(observation: Observation, number: int) -> str:
    slug = observation.game.season.association.slug
    return reverse("evaluations:dead_ball", args=[slug, observation.pk, number])
