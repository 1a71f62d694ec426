"""The rules, each a function of one dead ball and what the code says about it.

To add one: write its function in switching, reporting or coverage, give it a line here, its duty
in words, a scenario table in the tests and a paragraph in the developers' guide.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics import coverage, reporting, switching
from evaluations.core.mechanics.judging import Board, Judgement
from evaluations.core.rubric import FloorRule


def _everybody(board: Board) -> tuple[CrewPosition, ...]:
    return board.members


class Rule(NamedTuple):
    """`whose` names the members whose duty it was; a None among them is nobody in particular.

    `judge` gives the verdict for one of them. `film`: what can't be seen from the stand, judged
    only from film and when asked for. `by_row`: a row of the code says what was due.
    """

    key: str
    judge: Callable[[Board, CrewPosition | None], Judgement]
    whose: Callable[[Board], tuple[CrewPosition | None, ...]]
    film: bool = False
    by_row: bool = False


RULES: tuple[Rule, ...] = (
    Rule("signal_at_spot", reporting.signal_at_spot, reporting.caller),
    Rule("player_told", reporting.player_told, reporting.caller),
    Rule("route_around", reporting.route_around, reporting.caller),
    Rule("benches_watched", reporting.benches_watched, reporting.caller, film=True),
    Rule("full_stop", reporting.full_stop, reporting.caller),
    Rule("spoken", reporting.spoken, reporting.caller, film=True),
    Rule("number_shown", reporting.number_shown, reporting.caller),
    Rule("type_shown", reporting.type_shown, reporting.caller),
    Rule("result_shown", reporting.result_shown, reporting.caller),
    Rule("live_after_report", reporting.live_after_report, reporting.puts_in_play),
    Rule("end", switching.end, _everybody, by_row=True),
    Rule("side", switching.side, _everybody, by_row=True),
    Rule("force_switch", switching.force_switch, switching.forcers, by_row=True),
    Rule("vision_wide", coverage.vision_wide, coverage.others, film=True),
    Rule("ball_not_chased", coverage.ball_not_chased, coverage.others),
    Rule("moved_opposite", coverage.moved_opposite, coverage.others_at_a_foul),
    Rule("eyes_kept", coverage.eyes_kept, coverage.players_keepers),
)

RULE_KEYS: tuple[str, ...] = (*(rule.key for rule in RULES), *FloorRule)
"""The rules in the order in which they are listed, those about sketches and ledgers last."""

WHO_GOES_WHERE = frozenset(rule.key for rule in RULES if rule.by_row)
"""The rules about places and the switch."""
