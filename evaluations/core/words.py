"""The words for core's fixed values, in the language of the voice that is handed in."""

from __future__ import annotations

from evaluations.core.games import CrewPosition, Difficulty, Kind, Talk
from evaluations.core.scoring import Withheld
from evaluations.core.voice import Voice


def position(voice: Voice, value: CrewPosition) -> str:
    _ = voice.text
    return {
        CrewPosition.REFEREE: _("referee"),
        CrewPosition.UMPIRE: _("umpire"),
        CrewPosition.UMPIRE_1: _("umpire 1"),
        CrewPosition.UMPIRE_2: _("umpire 2"),
    }[value]


def kind(voice: Voice, value: Kind) -> str:
    _ = voice.text
    return {Kind.SCORED: _("scored"), Kind.COACHING: _("coaching")}[value]


def difficulty(voice: Voice, value: Difficulty) -> str:
    _ = voice.text
    return {
        Difficulty.ROUTINE: _("routine game"),
        Difficulty.ORDINARY: _("ordinary game"),
        Difficulty.DEMANDING: _("demanding game"),
    }[value]


def talk(voice: Voice, value: Talk) -> str:
    _ = voice.text
    return {
        Talk.HELD: _("You and the observer talked after the game."),
        Talk.DECLINED: _("The talk after the game was declined."),
        Talk.IMPOSSIBLE: _("A talk after the game was not possible."),
    }[value]


def withheld(voice: Voice, value: Withheld) -> str:
    _ = voice.text
    return {
        Withheld.NOT_ENOUGH_SEEN: _("Not enough was seen for a total."),
        Withheld.COACHING: _("A coaching observation has no total and counts in no standing."),
        Withheld.UNDER_18: _("Letters to officials under 18 have no total."),
    }[value]
