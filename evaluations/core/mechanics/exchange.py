"""Two officials whom the observer had mixed up."""

from __future__ import annotations

from dataclasses import replace

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.facts import DeadBall


def exchange_members(ball: DeadBall, first: CrewPosition, second: CrewPosition) -> DeadBall:
    """The same facts, with what was said of one said of the other; done twice, nothing changes.

    >>> a, b = CrewPosition.REFEREE, CrewPosition.UMPIRE
    >>> exchange_members(DeadBall(3, caller=a), a, b).caller.value
    'umpire'
    """
    other = {first: second, second: first}

    def meant(member: CrewPosition) -> CrewPosition:
        return other.get(member, member)

    caller, whose, forces = ball.caller, ball.eyes.whose, ball.switch_whose
    return replace(
        ball,
        caller=caller and meant(caller),
        before={meant(member): stood for member, stood in ball.before.items()},
        after={meant(member): stood for member, stood in ball.after.items()},
        watching={meant(member): seen for member, seen in ball.watching.items()},
        eyes=replace(ball.eyes, whose=whose and meant(whose)),
        switch_whose=forces and meant(forces),
    )
