"""What mechanics has to say, in the language of the voice that is handed in."""

from __future__ import annotations

from evaluations.core.mechanics.court import Place, Position, Side
from evaluations.core.mechanics.engine import Finding
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.voice import Voice


def position(voice: Voice, value: Position) -> str:
    _ = voice.text
    return {
        Position.LEAD: _("lead"),
        Position.TRAIL: _("trail"),
        Position.CENTRE: _("centre"),
    }[value]


def place(voice: Voice, value: Place) -> str:
    """A place such as "trail, table side"; without a side the side is free."""
    _ = voice.text
    side = {
        None: _("%(position)s, either side"),
        Side.TABLE: _("%(position)s, table side"),
        Side.OPPOSITE: _("%(position)s, opposite the table"),
    }[value.side]
    return side % {"position": position(voice, value.position)}


def verdict(voice: Voice, value: Verdict) -> str:
    _ = voice.text
    return {
        Verdict.MET: _("met"),
        Verdict.NOT_MET: _("not met"),
        Verdict.NOT_JUDGED: _("not judged"),
    }[value]


def duty(voice: Voice, finding: Finding) -> str:
    """What was due, as a sentence to the official whose duty it was."""
    _ = voice.text
    if finding.rule == "place" and finding.expected is not None:
        due = {"place": place(voice, finding.expected)}
        return _("Be in your place when the ball is live: %(place)s.") % due
    return {
        "signal_at_spot": _("Give the preliminary signal at the spot of the foul."),
        "player_told": _("Tell the player colour and number."),
        "route_around": _("Go around the players to the reporting area."),
        "benches_watched": _("Keep the benches in view on the way to the reporting area."),
        "full_stop": _("Come to a full stop before you speak to the table."),
        "spoken": _("Speak colour and number to the table."),
        "number_shown": _("Show the number the way the mechanics code has it."),
        "type_shown": _("Show the type of foul."),
        "result_shown": _("Show what follows: the spot or the shots."),
        "live_after_report": _("Keep the ball from play until the report has ended."),
        "place": _("Be in your place when the ball is live."),
        "force_switch": _("Force the switch before the ball is live."),
        "vision_wide": _("Hold your vision wide on a partner's whistle."),
        "ball_not_chased": _("Leave the ball and stay with the players."),
        "moved_opposite": _("Move opposite the partner who reports."),
        "eyes_kept": _("Stay facing the players."),
    }[finding.rule]
