"""What a sketch and a ledger show, in sentences. Geometry and seconds, nothing about calls."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from evaluations.core.floor.eyes import Gap, Ledger, Whose
from evaluations.core.floor.measures import Measures
from evaluations.core.floor.sketch import Sketch
from evaluations.core.games import CrewPosition
from evaluations.core.printing import printed, whole
from evaluations.core.voice import Voice


def sketch_sentence(voice: Voice, sketch: Sketch, found: Measures) -> str:
    """Who is seen, who is boxed in and how far apart the officials stand; what can't be measured
    is left out."""
    _ = voice.text
    players = len(sketch.players)
    parts = []
    if found.coverage is not None:
        seen = {"seen": players - len(found.unseen), "players": players}
        parts.append(_("%(seen)s of %(players)s players are in an official's view") % seen)
    if found.boxed is not None:
        boxed = {"boxed": round(found.boxed * players), "players": players}
        parts.append(_("%(boxed)s of %(players)s stand between the officials") % boxed)
    if found.apart is not None:
        angle = whole(Fraction(found.apart[0]))
        parts.append(_("who stand %(angle)s degrees apart around them") % {"angle": angle})
    if found.route is not None:
        parts.append(
            _("the way to report leads around the players")
            if found.route.around
            else _("the way to report leads through the players for %(metres)s m")
            % {"metres": voice.number(printed(Fraction(found.route.inside)))}
        )
    return ", ".join(parts) + "." if parts else _("Too little is drawn to measure anything.")


def ledger_sentence(voice: Voice, found: Ledger) -> str:
    """The seconds in which somebody faced the players, nobody did, or nobody can tell."""
    _ = voice.text
    if found.sums is None:
        return _("The ball did not become live on this film, so that nothing is added up.")
    sentence = _(
        "In %(all)s s somebody faced the players for %(covered)s s, nobody for %(uncovered)s s, "
        "and for %(unknown)s s nobody can tell."
    ) % {
        "all": seconds(voice, found.end - found.start),
        "covered": seconds(voice, found.sums.covered),
        "uncovered": seconds(voice, found.sums.uncovered),
        "unknown": seconds(voice, found.sums.unknown),
    }
    return sentence if found.longest is None else f"{sentence} {_gap(voice, found, found.longest)}"


def _gap(voice: Voice, found: Ledger, gap: Gap) -> str:
    _ = voice.text
    figures = _length_and_start(voice, found, gap)
    if gap.whose is Whose.CREW:
        return (
            _("The longest gap is %(length)s s, from %(start)s s on; the players were the crew's.")
            % figures
        )
    return (
        _(
            "The longest gap is %(length)s s, from %(start)s s on; the players were the other's "
            "while one reported."
        )
        % figures
    )


def _length_and_start(voice: Voice, found: Ledger, gap: Gap) -> dict[str, str]:
    return {
        "length": seconds(voice, gap.length),
        "start": seconds(voice, gap.start - found.start),
    }


def seconds(voice: Voice, milliseconds: int) -> str:
    """Seconds to one decimal, half up."""
    return voice.number(Fraction((milliseconds + 50) // 100, 10))


def gap_line(voice: Voice, found: Ledger, gap: Gap, names: Mapping[CrewPosition, str]) -> str:
    """A gap: how long, from when on after the whistle, and whose the players were."""
    _ = voice.text
    figures = _length_and_start(voice, found, gap)
    if gap.whose is Whose.CREW:
        line = _("%(length)s s, from %(start)s s after the whistle on; the players were the crew's")
        return line % figures
    if gap.owner is None:
        line = _(
            "%(length)s s, from %(start)s s after the whistle on; the players were the others' "
            "while one reported"
        )
        return line % figures
    line = _(
        "%(length)s s, from %(start)s s after the whistle on; the players were %(owner)s's while "
        "the other reported"
    )
    return line % {**figures, "owner": names[gap.owner]}


def film_time(milliseconds: int) -> str:
    """A time on film, as in 1:23.480.

    >>> film_time(83_480)
    '1:23.480'
    """
    whole_seconds, rest = divmod(milliseconds, 1000)
    minutes, left = divmod(whole_seconds, 60)
    return f"{minutes}:{left:02d}.{rest:03d}"


def court_point(voice: Voice, key: str) -> str:
    """A point of `frames.court_points`, left and right as seen from the table."""
    _ = voice.text
    return {
        "division-near": _("division line, table side"),
        "division-far": _("division line, far side"),
        "left-corner-near": _("left corner, table side"),
        "left-corner-far": _("left corner, far side"),
        "right-corner-near": _("right corner, table side"),
        "right-corner-far": _("right corner, far side"),
        "left-lane-near": _("left lane at the end line, table side"),
        "left-lane-far": _("left lane at the end line, far side"),
        "right-lane-near": _("right lane at the end line, table side"),
        "right-lane-far": _("right lane at the end line, far side"),
        "left-free-throw-near": _("left lane at the free-throw line, table side"),
        "left-free-throw-far": _("left lane at the free-throw line, far side"),
        "right-free-throw-near": _("right lane at the free-throw line, table side"),
        "right-free-throw-far": _("right lane at the free-throw line, far side"),
    }[key]
