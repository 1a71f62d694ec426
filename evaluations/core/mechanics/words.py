"""What mechanics has to say, in the language of the voice that is handed in."""

from __future__ import annotations

from fractions import Fraction

from evaluations.core.mechanics.court import Court, Place, Position, Resumes, Side, Whistle
from evaluations.core.mechanics.engine import Finding
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.mechanics.switching import Switch
from evaluations.core.mechanics.zones import Zone
from evaluations.core.printing import printed
from evaluations.core.rubric import FloorRule
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


def whistle(voice: Voice, value: Whistle) -> str:
    """What was called, without an article: "common foul"."""
    _ = voice.text
    return {
        Whistle.COMMON: _("common foul"),
        Whistle.SHOOTING: _("shooting or bonus foul"),
        Whistle.PLAYER_CONTROL: _("player control foul"),
        Whistle.INTENTIONAL: _("intentional foul"),
        Whistle.TECHNICAL: _("technical foul"),
        Whistle.DISQUALIFYING: _("disqualifying foul"),
        Whistle.DOUBLE: _("double foul"),
        Whistle.VIOLATION: _("violation"),
        Whistle.HELD_BALL: _("held ball"),
    }[value]


def resumes(voice: Voice, value: Resumes) -> str:
    _ = voice.text
    return {
        Resumes.FREE_THROWS: _("free throws"),
        Resumes.END_LINE: _("throw-in on the end line"),
        Resumes.SIDE_LINE: _("throw-in on the side line"),
        Resumes.DIVISION_LINE: _("throw-in at the division line"),
    }[value]


def court_part(voice: Voice, value: Court) -> str:
    _ = voice.text
    return {Court.FRONT: _("front court"), Court.BACK: _("back court")}[value]


def option(voice: Voice, key: str) -> str:
    """What an option allows: keys like "caller_lead_opposite" say where the caller ends.

    A key in no known form is printed as it is.
    """
    _ = voice.text
    if key == "other_places":
        return _("other places")
    begins, _sep, where = key.partition("_")
    at, _sep, side = where.partition("_")
    if begins != "caller" or at not in list(Position) or side not in ("", *Side):
        return key.replace("_", " ")
    ends = Place(Position(at), Side(side) if side else None)
    return _("the caller ends %(place)s") % {"place": place(voice, ends)}


def zone(voice: Voice, value: Zone) -> str:
    """A zone of the floor, left and right as seen from the table."""
    _ = voice.text
    return {
        Zone.T1: _("table side, left end line"),
        Zone.T2: _("table side, left of the middle"),
        Zone.T3: _("table side, right of the middle"),
        Zone.T4: _("table side, right end line"),
        Zone.O1: _("opposite the table, left end line"),
        Zone.O2: _("opposite the table, left of the middle"),
        Zone.O3: _("opposite the table, right of the middle"),
        Zone.O4: _("opposite the table, right end line"),
    }[value]


def side(voice: Voice, value: Side) -> str:
    _ = voice.text
    return {Side.TABLE: _("table side"), Side.OPPOSITE: _("opposite the table")}[value]


def rule(voice: Voice, key: str) -> str:
    """What a rule is about, as a heading over its counts."""
    _ = voice.text
    return {
        "signal_at_spot": _("preliminary signal at the spot"),
        "player_told": _("colour and number to the player"),
        "route_around": _("route around the players"),
        "benches_watched": _("benches in view on the way"),
        "full_stop": _("full stop before speaking"),
        "spoken": _("colour and number spoken"),
        "number_shown": _("number shown as the code has it"),
        "type_shown": _("type of foul shown"),
        "result_shown": _("spot or shots shown"),
        "live_after_report": _("ball live only after the report"),
        "end": _("right end when the ball is live"),
        "side": _("right side when the ball is live"),
        "force_switch": _("switch forced before the ball is live"),
        "vision_wide": _("vision wide on a partner's whistle"),
        "ball_not_chased": _("ball left to others"),
        "moved_opposite": _("moved opposite the partner"),
        "eyes_kept": _("players faced all the time"),
        FloorRule.VIEW_KEPT: _("own view held wide while a partner reports"),
        FloorRule.BOXED_IN: _("players between the officials"),
        FloorRule.APART: _("officials opposite each other"),
        FloorRule.ROUTE_CLEAR: _("way to report clear of the players"),
        FloorRule.FACED: _("players faced while a partner reports"),
    }[key]


def switch(voice: Voice, value: Switch | None) -> str:
    """Whether the code asked for a switch; None: the facts leave it open."""
    _ = voice.text
    return {
        Switch.NONE: _("no switch due"),
        Switch.SHORT: _("switch due"),
        Switch.LONG: _("long switch due"),
        None: _("open whether a switch was due"),
    }[value]


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
    due = finding.expected
    if finding.rule == "end" and due is not None:
        at = {"position": position(voice, due.position)}
        return _("Be at your end when the ball is live: %(position)s.") % at
    if finding.rule == "side" and due is not None:
        return _("Be in your place when the ball is live: %(place)s.") % {
            "place": place(voice, due)
        }
    return duty_of(voice, finding.rule)


def duty_of(voice: Voice, rule: str) -> str:
    """What a rule asks for at any dead ball, as a sentence to an official."""
    _ = voice.text
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
        "end": _("Be at your end when the ball is live."),
        "side": _("Be on your side when the ball is live."),
        "force_switch": _("Force the switch before the ball is live."),
        "vision_wide": _("Hold your vision wide on a partner's whistle."),
        "ball_not_chased": _("Leave the ball and stay with the players."),
        "moved_opposite": _("Move opposite the partner who reports."),
        "eyes_kept": _("Stay facing the players."),
        FloorRule.VIEW_KEPT: _("Keep the players in your view while a partner reports."),
        FloorRule.BOXED_IN: _("Keep the players between you and your partner."),
        FloorRule.APART: _("Stand opposite your partner, the players between you."),
        FloorRule.ROUTE_CLEAR: _("Keep your way to report clear of the players."),
        FloorRule.FACED: _("Face the players while a partner reports."),
    }[rule]


def threshold(voice: Voice, rule: FloorRule, at: Fraction) -> str:
    """From where on film meets a rule: "at least 80 % of the players in view"."""
    _ = voice.text
    figure = {
        FloorRule.VIEW_KEPT: _("at least %(n)s %% of the players in the own view"),
        FloorRule.BOXED_IN: _("at least %(n)s %% of the players between the officials"),
        FloorRule.APART: _("at least %(n)s degrees apart around the players"),
        FloorRule.ROUTE_CLEAR: _("at most %(n)s m of the way through the players"),
        FloorRule.FACED: _("at most %(n)s s in which nobody faces the players"),
    }[rule]
    shares = (FloorRule.VIEW_KEPT, FloorRule.BOXED_IN)
    shown = at * 100 if rule in shares else at / 1000 if rule is FloorRule.FACED else at
    return figure % {"n": voice.number(printed(shown))}
