"""A crew of three out of place: which end is whose miss, and which one is another's.

The referee was lead at the table and calls a foul with free throws: due at trail, the first umpire
(trail) at lead, the second one stays centre. Common practice, no source.
"""

from __future__ import annotations

import pytest

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.judging import Verdict
from tests.core.mechanics.crews import (
    MET,
    NOT_JUDGED,
    NOT_MET,
    REFEREE,
    UMPIRE_1,
    UMPIRE_2,
    findings,
    shooting,
    standing,
    verdicts,
)

BEFORE = standing(referee="lead table", umpire_1="trail table", umpire_2="centre opposite")
Ends = tuple[Verdict, Verdict, Verdict]


def ends(found: Ends) -> dict[CrewPosition, Verdict]:
    return dict(zip((REFEREE, UMPIRE_1, UMPIRE_2), found, strict=True))


@pytest.mark.parametrize(
    ("after", "forced", "judged"),
    [
        # Nobody moves: one miss, of the one who stays in the caller's place.
        (("lead", "trail", "centre"), NOT_MET, (NOT_JUDGED, NOT_JUDGED, MET)),
        # The first umpire makes room and the caller doesn't come.
        (("lead", "centre", "trail"), NOT_JUDGED, (NOT_MET, NOT_MET, NOT_MET)),
        # The caller leaves, but not for the place of the first umpire, who stays.
        (("centre", "trail", "lead"), NOT_JUDGED, (NOT_MET, NOT_MET, NOT_MET)),
        # The caller comes, and the other two take each other's place.
        (("trail", "centre", "lead"), MET, (MET, NOT_MET, NOT_MET)),
    ],
)
def test_where_a_switch_is_due(after: tuple[str, ...], forced: Verdict, judged: Ends) -> None:
    names = ("referee", "umpire_1", "umpire_2")
    ball = shooting(before=BEFORE, after=standing(**dict(zip(names, after, strict=True))))
    found = findings(ball, "three_person")
    assert verdicts(found, "force_switch") == {UMPIRE_1: forced}
    assert verdicts(found, "end") == ends(judged)


@pytest.mark.parametrize(
    ("after", "judged"),
    [
        # The caller and the first umpire exchange ends: the caller's miss alone.
        (("trail", "lead", "centre"), (NOT_JUDGED, NOT_MET, MET)),
        # All three go round: who is in nobody's old place by the caller's doing has an own miss.
        (("centre", "lead", "trail"), (NOT_MET, NOT_MET, NOT_MET)),
        (("trail", "centre", "lead"), (NOT_MET, NOT_MET, NOT_MET)),
        # The caller stays and the other two exchange.
        (("centre", "trail", "lead"), (NOT_MET, MET, NOT_MET)),
    ],
)
def test_where_none_is_due(after: tuple[str, ...], judged: Ends) -> None:
    """The first umpire calls as trail, and stays."""
    names = ("referee", "umpire_1", "umpire_2")
    ball = shooting(
        caller=UMPIRE_1,
        before=BEFORE,
        after=standing(**dict(zip(names, after, strict=True))),
    )
    found = findings(ball, "three_person")
    assert verdicts(found, "force_switch") == {}
    assert verdicts(found, "end") == ends(judged)
