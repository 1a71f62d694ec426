"""What a letter says of a floor sketch and of an eyes ledger: one of each at most, the own.

Sentences speak of places and seconds, never of calls, and name their source. Whatever wasn't drawn
from film says so, and gives no lengths.
"""

from __future__ import annotations

from fractions import Fraction

from evaluations.core.floor.eyes import Facing
from evaluations.core.floor.measures import Measures
from evaluations.core.floor_evidence import OwnLedger, OwnSketch
from evaluations.core.floor_words import seconds
from evaluations.core.letter_log import which
from evaluations.core.letter_pictures import BandPicture, SketchPicture
from evaluations.core.mechanics.facts import Source
from evaluations.core.printing import printed
from evaluations.core.release import LogEvidence
from evaluations.core.voice import Voice


def sketch_picture(log: LogEvidence | None, voice: Voice) -> SketchPicture | None:
    """The own sketch where it takes the court's place; see `LogEvidence.shows_sketch`."""
    _ = voice.text
    if log is None or log.sketch is None or not log.shows_sketch:
        return None
    told = f"{_shown(log.sketch, voice)} {_source(log.sketch, voice)}"
    return SketchPicture(
        sketch=log.sketch,
        caption=f"{which(log.sketch.when, voice)} {told}",
        alt=_("You among the players on a court. %(told)s") % {"told": told},
        you=_("you"),
        table=_("table"),
    )


def _shown(own: OwnSketch, voice: Voice) -> str:
    found = own.measures
    return _way(own, found, voice) if found.route else _view(own, found, voice)


def _view(own: OwnSketch, found: Measures, voice: Voice) -> str:
    _ = voice.text
    players, unseen = len(own.sketch.players), len(found.unseen)
    figures = {"seen": players - unseen, "players": players, "unseen": unseen}
    if not unseen:
        told = _(
            "While your partner reported, your view (broken lines) held all %(players)s players."
        )
        return told % figures
    told = _(
        "While your partner reported, your view (broken lines) held %(seen)s of %(players)s "
        "players; out of it (crossed): %(unseen)s."
    )
    return told % figures


def _way(own: OwnSketch, found: Measures, voice: Voice) -> str:
    _ = voice.text
    assert found.route is not None  # asked of a way only
    if found.route.around:
        return _("Your way to report (line) led around the players.")
    if own.sketch.source is not Source.FILM:
        return _("Your way to report (line) led through the players.")
    metres = voice.number(printed(Fraction(found.route.inside)))
    return _("Your way to report (line) led through the players for %(metres)s m.") % {
        "metres": metres
    }


def _source(own: OwnSketch, voice: Voice) -> str:
    _ = voice.text
    if own.sketch.source is Source.FILM:
        return _("From film.")
    return _("Observer's drawing, not to scale.")


def band_picture(log: LogEvidence | None, voice: Voice) -> BandPicture | None:
    """The band of the own duty with its seconds, which are from film always."""
    _ = voice.text
    if log is None or log.ledger is None:
        return None
    told = _seconds(log.ledger, voice)
    return BandPicture(
        band=log.ledger.band,
        caption=f"{which(log.ledger.when, voice)} {told}",
        alt=_("A band from the whistle to the end of the report. %(told)s") % {"told": told},
        whistle=_("whistle"),
        reported=_("report over"),
    )


def _seconds(own: OwnLedger, voice: Voice) -> str:
    _ = voice.text
    sums = {state.value: seconds(voice, own.total(state)) for state in Facing}
    told = (
        _(
            "Until your partner's report ended, from film: you faced the players (bar) for "
            "%(facing)s s, did not (line) for %(not_facing)s s, can't tell (blank) for "
            "%(cant_tell)s s."
        )
        % sums
    )
    if own.longest is None:
        return told
    gap = _("The longest gap was %(length)s s, from %(start)s s on.") % {
        "length": seconds(voice, own.longest.length),
        "start": seconds(voice, own.longest.start),
    }
    return f"{told} {gap}"
