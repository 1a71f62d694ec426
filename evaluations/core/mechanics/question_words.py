"""The plain questions about a manual in words: what is asked, what it means, what a code says."""

from __future__ import annotations

from collections.abc import Mapping

from evaluations.core.mechanics.questions import Answer, Asked
from evaluations.core.voice import Voice


def question(voice: Voice, crew: int, asked: Asked) -> str:
    _ = voice.text
    if crew == 3 and asked is Asked.FREE_THROWS:
        return _("Where does the caller stand, as trail, for free throws?")
    return {
        Asked.SWITCH: _("Does the crew switch after a foul without free throws?"),
        Asked.LONG_SWITCH: _("Does a switch ever take the officials the length of the floor?"),
        Asked.FREE_THROWS: _("Where does the trail stand for free throws?"),
        Asked.HEATED_BENCH: _(
            "With a heated bench, may the caller of a foul with free throws end lead, opposite "
            "the table?"
        ),
        Asked.TECHNICAL: _(
            "After a technical or disqualifying foul, may the caller end lead, opposite the table?"
        ),
        Asked.WITHOUT_FREE_THROWS: _("Where does the caller end after a foul without free throws?"),
        Asked.NUMBER: _("How do the caller's hands show the player's number?"),
    }[asked]


def meaning(voice: Voice, crew: int, asked: Asked) -> str:
    """What the question means on the floor."""
    _ = voice.text
    if crew == 3 and asked is Asked.FREE_THROWS:
        return _("The centre takes the other side; the lead is at the end line, on either side.")
    return {
        Asked.SWITCH: _(
            "Yes: lead and trail change ends before the ball is live, whoever called. No: they do "
            "so only for free throws, when the lead called and has to become trail."
        ),
        Asked.LONG_SWITCH: _(
            "Yes: after a foul in the back court, or when the direction of play turns, they may "
            "have to change ends. No: both then stay at their ends."
        ),
        Asked.FREE_THROWS: _(
            "The lead is across from the trail. Whoever called a technical foul is opposite the "
            "table, unless sides are free."
        ),
        Asked.HEATED_BENCH: _(
            "Instead of trail, and away from that bench. It needs both: the crew agreed on it "
            "before the game, and the bench is heated."
        ),
        Asked.TECHNICAL: _("Instead of trail. The crew has to agree on it before the game."),
        Asked.WITHOUT_FREE_THROWS: _(
            "On a side of the table or opposite, the caller may have to change places with the "
            "partner who stands there."
        ),
        Asked.NUMBER: _(
            "At once: tens with the right hand, units with the left. One after the other: from 16 "
            "on, both hands show the tens, then the units."
        ),
    }[asked]


def answer(voice: Voice, asked: Asked, value: Answer) -> str:
    _ = voice.text
    if asked is Asked.SWITCH and value is Answer.NO:
        return _("no, only for free throws")
    return {
        Answer.YES: _("yes"),
        Answer.NO: _("no"),
        Answer.TABLE: _("on the table side"),
        Answer.OPPOSITE: _("opposite the table"),
        Answer.EITHER: _("on either side"),
        Answer.NOBODY: _("where the caller was: nobody switches"),
        Answer.TOGETHER: _("tens and units at once, a hand each"),
        Answer.TENS_THEN_UNITS: _("tens first, then units"),
    }[value]


def says(voice: Voice, crew: int, asked: Asked, value: Answer | None) -> str:
    """What a code says about it, as a sentence; with no single answer, that it depends."""
    if crew == 3 and asked is Asked.FREE_THROWS:
        return _caller_of_three(voice)[value]
    return _SENTENCES[asked](voice)[value]


Sentences = Mapping[Answer | None, str]


def _switch(voice: Voice) -> Sentences:
    _ = voice.text
    return {
        Answer.YES: _("After a foul without free throws lead and trail switch, whoever called."),
        Answer.NO: _("After a foul without free throws nobody switches."),
        None: _("Whether a foul without free throws brings a switch depends on the situation."),
    }


def _long_switch(voice: Voice) -> Sentences:
    _ = voice.text
    return {
        Answer.YES: _("Some switches take the officials the length of the floor."),
        Answer.NO: _(
            "Nobody goes the length of the floor: in the back court, and when the direction of "
            "play turns, both stay at their ends."
        ),
        None: _("Nothing is said yet about the back court and about turns of direction."),
    }


def _free_throws(voice: Voice) -> Sentences:
    _ = voice.text
    return {
        Answer.TABLE: _("For free throws the trail stands on the table side."),
        Answer.OPPOSITE: _("For free throws the trail stands opposite the table."),
        Answer.EITHER: _("For free throws the trail stands on either side."),
        None: _("Where the trail stands for free throws depends on the situation."),
    }


def _caller_of_three(voice: Voice) -> Sentences:
    _ = voice.text
    return {
        Answer.TABLE: _("For free throws the caller stands trail, on the table side."),
        Answer.OPPOSITE: _("For free throws the caller stands trail, opposite the table."),
        Answer.EITHER: _("For free throws the caller's side is free."),
        None: _("Where the caller stands for free throws depends on the situation."),
    }


def _heated_bench(voice: Voice) -> Sentences:
    _ = voice.text
    return {
        Answer.YES: _(
            "With a heated bench the caller of a foul with free throws may end lead, opposite the "
            "table, if the crew agreed on it before the game."
        ),
        Answer.NO: _("A heated bench changes nothing about who goes where."),
        None: _(
            "Whether the caller of a foul with free throws may end lead, opposite the table, "
            "depends on the situation."
        ),
    }


def _technical(voice: Voice) -> Sentences:
    _ = voice.text
    return {
        Answer.YES: _(
            "After a technical or disqualifying foul the caller may end lead, opposite the table, "
            "if the crew agreed on it before the game."
        ),
        Answer.NO: _("Nobody may end lead instead of trail after a technical foul."),
        None: _(
            "Whether the caller of a technical or disqualifying foul may end lead, opposite the "
            "table, depends on the situation."
        ),
    }


def _without_free_throws(voice: Voice) -> Sentences:
    _ = voice.text
    return {
        Answer.TABLE: _("After a foul without free throws the caller ends on the table side."),
        Answer.OPPOSITE: _("After a foul without free throws the caller ends opposite the table."),
        Answer.EITHER: _("After a foul without free throws the caller's side is free."),
        Answer.NOBODY: _("After a foul without free throws nobody switches."),
        None: _("Where the caller of a foul without free throws ends depends on the situation."),
    }


def _number(voice: Voice) -> Sentences:
    _ = voice.text
    return {
        Answer.TOGETHER: _("The hands show a number at once, tens right and units left."),
        Answer.TENS_THEN_UNITS: _("The hands show a number's tens first, then its units."),
    }


_SENTENCES = {
    Asked.SWITCH: _switch,
    Asked.LONG_SWITCH: _long_switch,
    Asked.FREE_THROWS: _free_throws,
    Asked.HEATED_BENCH: _heated_bench,
    Asked.TECHNICAL: _technical,
    Asked.WITHOUT_FREE_THROWS: _without_free_throws,
    Asked.NUMBER: _number,
}
