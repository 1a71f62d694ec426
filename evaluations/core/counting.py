"""What was counted for a criterion, in words beside its level.

A log of only what struck the observer gives examples: dead balls, and no figure at all.
"""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from evaluations.core.mechanics.counts import (
    Contradiction,
    Count,
    Interval,
    Levels,
    suggested,
)
from evaluations.core.printing import whole
from evaluations.core.rubric import RubricSpec, RubricWording
from evaluations.core.voice import Voice


class CountLine(NamedTuple):
    """`figure` ("4 of 6") and all else that there is to say of a count."""

    figure: str
    text: str

    def __str__(self) -> str:
        return f"{self.figure} {self.text}"


def count_line(
    rubric: RubricSpec, wording: RubricWording, found: Count, voice: Voice
) -> CountLine | None:
    """A count with its share, its interval and the level that it suggests; or why there is none.

    None: nothing to show, in a log of only what struck the observer.
    """
    _ = voice.text
    if not found.kept.gives_shares:
        examples = CountLine(_("Examples only:"), _("the log has what struck the observer."))
        return examples if found.dead_balls else None
    share, within, levels = found.share, found.interval, suggested(rubric, found)
    if share is None or within is None or levels is None:
        judged = {"judged": _n(found.judged, voice), "needed": _n(found.minimum, voice)}
        return CountLine(
            _("Not enough seen:"), _("%(judged)s of the %(needed)s needed were judged.") % judged
        )
    parts = [
        ", ".join([_("met"), *beside(found, voice)]),
        _("%(share)s %%") % {"share": _percent(share, voice)},
        interval(within, voice),
        suggestion(levels, wording, voice),
    ]
    return CountLine(met_of(found, voice), "; ".join(parts) + ".")


def met_of(found: Count, voice: Voice) -> str:
    """The count itself, such as "4 of 6"."""
    _ = voice.text
    return _("%(met)s of %(judged)s") % {
        "met": _n(found.met, voice),
        "judged": _n(found.judged, voice),
    }


def beside(found: Count, voice: Voice) -> list[str]:
    """What stands beside a count and isn't in it."""
    _ = voice.text
    said = []
    if found.by_option:
        said.append(_("%(n)s by an option") % {"n": _n(found.by_option, voice)})
    if found.not_judged:
        said.append(_("%(n)s not judged") % {"n": _n(found.not_judged, voice)})
    return said


def interval(found: Interval, voice: Voice) -> str:
    """An interval in whole percent, such as "95 % interval 30 to 90 %"."""
    _ = voice.text
    return _("95 %% interval %(low)s to %(high)s %%") % limits(found, voice)


def limits(found: Interval, voice: Voice) -> dict[str, str]:
    """`low` and `high` of an interval in whole percent."""
    return {
        "low": _percent(Fraction(found.low), voice),
        "high": _percent(Fraction(found.high), voice),
    }


def suggestion(levels: Levels, wording: RubricWording, voice: Voice) -> str:
    """The suggested level or levels by their words."""
    _ = voice.text
    lowest, highest = (wording.level_words[level - 1] for level in levels)
    if levels.lowest == levels.highest:
        return _("suggests %(level)s") % {"level": lowest}
    return _("suggests %(lowest)s to %(highest)s") % {"lowest": lowest, "highest": highest}


def misses(found: Count, voice: Voice) -> str:
    """The dead balls of what was not met, as examples; "" when there are none."""
    if not found.dead_balls:
        return ""
    numbers = ", ".join(_n(n, voice) for n in found.dead_balls)
    return not_met_at(len(found.dead_balls), voice) % {"numbers": numbers}


def not_met_at(dead_balls: int, voice: Voice) -> str:
    """The sentence of `misses`, in which "%(numbers)s" is still to be put."""
    _ = voice.text
    if dead_balls == 1:
        return _("Not met at dead ball %(numbers)s.")
    return _("Not met at dead balls %(numbers)s.")


def remark(found: Contradiction, wording: RubricWording, reason: str, voice: Voice) -> str:
    """What the observer is told of a level at odds with the log, before it is handed in."""
    _ = voice.text
    says = _("The log has %(met_of)s met; the level says “%(level)s”.") % {
        "met_of": met_of(found.found, voice),
        "level": wording.level_words[found.level - 1],
    }
    stands = (
        _("Both will stand in the letter, with your reason.")
        if reason.strip()
        else _("Both will stand in the letter. Look once more, or say why.")
    )
    return " ".join(part for part in (says, misses(found.found, voice), stands) if part)


def remark_while_rating(found: Count, voice: Voice) -> str:
    """The same beside a level that is being chosen."""
    _ = voice.text
    return _(
        "The log has %(met_of)s met, and this level says otherwise. Both will stand in the "
        "letter. Look once more, or say why."
    ) % {"met_of": met_of(found, voice)}


def _percent(share: Fraction, voice: Voice) -> str:
    return voice.number(Fraction(whole(share * 100)), 0)


def _n(number: int, voice: Voice) -> str:
    return voice.number(Fraction(number), 0)
