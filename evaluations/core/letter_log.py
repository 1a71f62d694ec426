"""What a letter says of the dead-ball log: the official's own counts and one own movement.

Nothing here is about anybody else: not in a figure, a caption or an alternative text.
"""

from __future__ import annotations

from collections.abc import Iterable

from evaluations.core import counting
from evaluations.core.floor_evidence import When
from evaluations.core.letter_pictures import MovementPicture
from evaluations.core.mechanics import words
from evaluations.core.mechanics.court import Place
from evaluations.core.mechanics.facts import Kept, Source
from evaluations.core.mechanics.movement import Movement
from evaluations.core.ratings import Rating
from evaluations.core.release import CountedCriterion, LogEvidence, ReleaseSnapshot
from evaluations.core.rubric import RubricWording
from evaluations.core.voice import Voice

_EXAMPLES = 3
"""Dead balls named in the form as examples; the annex has all."""


def counts_heading(log: LogEvidence | None, voice: Voice) -> str:
    """The head of the form's column of counts; "" where no criterion is counted."""
    _ = voice.text
    if log is None or not log.counted:
        return ""
    return _("Counted") if log.kept.gives_shares else _("Examples")


def count_in_form(found: CountedCriterion | None, voice: Voice) -> str:
    """A count as the form has it: "4 of 6", with its interval when the log is a sample."""
    _ = voice.text
    if found is None:
        return ""
    counted = found.count
    if not counted.kept.gives_shares:
        more = " …" if len(counted.dead_balls) > _EXAMPLES else ""
        return ", ".join(map(str, counted.dead_balls[:_EXAMPLES])) + more
    if counted.interval is None:
        return _("not enough seen")
    met = counting.met_of(counted, voice)
    if not counted.kept.is_sample:
        return met
    within = counting.limits(counted.interval, voice)
    return _("%(count)s, %(low)s–%(high)s %%") % {"count": met, **within}


def counts_note(log: LogEvidence | None, voice: Voice) -> str:
    """What was counted, from what, and where the rest stands; "" where nothing is."""
    _ = voice.text
    if log is None or not log.counted:
        return ""
    return " ".join(_note(log, voice))


def _note(log: LogEvidence, voice: Voice) -> Iterable[str]:
    _ = voice.text
    counts = [found.count for found in log.counted.values()]
    kept = (_kept(log.kept, voice), _source(log.source, voice), log.code)
    terms = {"terms": "; ".join(part for part in kept if part), "n": log.dead_balls}
    if not log.kept.gives_shares:
        yield (
            _(
                "Examples: where a duty was not met, by the dead-ball log (%(terms)s; dead balls: "
                "%(n)s). Nothing is counted."
            )
            % terms
        )
    else:
        yield (
            _("Counted: met of those judged, by the dead-ball log (%(terms)s; dead balls: %(n)s).")
            % terms
        )
        if not_judged := sum(count.not_judged for count in counts):
            yield _("Not judged and not counted: %(n)s.") % {"n": not_judged}
        if log.kept.is_sample and any(count.enough for count in counts):
            yield _("A sample, so with its 95 %% interval.") % {}
        if short := [count.minimum for count in counts if not count.enough]:
            yield _("Not enough seen: fewer than %(n)s judged.") % {"n": short[0]}
    yield _("In full, with dead balls, on the letter's page and in its annex.")


def _kept(kept: Kept, voice: Voice) -> str:
    _ = voice.text
    return {
        Kept.EVERY_FOUL: _("every foul"),
        Kept.EVERY_NTH: _("every n-th foul"),
        Kept.ONE_DUTY: _("one duty a quarter"),
        Kept.STRIKING: _("only what struck the observer"),
    }[kept]


def _source(source: Source, voice: Voice) -> str:
    _ = voice.text
    return {
        Source.LIVE: _("live"),
        Source.FILM: _("from film"),
        Source.MEMORY: _("from memory"),
    }[source]


def count_in_full(found: CountedCriterion, wording: RubricWording, voice: Voice) -> str:
    """A count with all that belongs to it, for the annex; "" when there is nothing to say."""
    _ = voice.text
    counted = found.count
    missed = counting.misses(counted, voice)
    if not counted.kept.gives_shares or not counted.judged + counted.not_judged:
        return missed
    parts = [", ".join([_("met"), *counting.beside(counted, voice)])]
    if counted.interval is None or found.suggested is None:
        parts.append(_("not enough seen"))
    else:
        if counted.kept.is_sample:
            parts.append(counting.interval(counted.interval, voice))
        parts.append(counting.suggestion(found.suggested, wording, voice))
    told = _("Counted: %(count)s %(details)s.") % {
        "count": counting.met_of(counted, voice),
        "details": "; ".join(parts),
    }
    return f"{told} {missed}".rstrip()


def reason(snapshot: ReleaseSnapshot, rating: Rating, voice: Voice) -> str:
    """Why a level isn't the one that the count suggests, with that count; else ""."""
    _ = voice.text
    found = snapshot.log.counted.get(rating.criterion) if snapshot.log else None
    if not rating.reason.strip() or found is None or found.suggested is None:
        return ""
    return _("Counted %(count)s, which %(suggests)s: %(reason)s") % {
        "count": counting.met_of(found.count, voice),
        "suggests": counting.suggestion(found.suggested, snapshot.wording, voice),
        "reason": rating.reason.strip(),
    }


def movement_picture(log: LogEvidence | None, voice: Voice) -> MovementPicture | None:
    """The own movement to be drawn, told in its caption and once more in its alternative text."""
    _ = voice.text
    if log is None or log.movement is None or log.shows_sketch:
        return None
    told = _went(log.movement, voice)
    return MovementPicture(
        movement=log.movement,
        caption=f"{which(log.movement, voice)} {told}",
        alt=_("Your movement on a court. %(told)s") % {"told": told},
        table=_("table"),
    )


def which(movement: Movement | When, voice: Voice) -> str:
    """Which dead ball: "Dead ball 9, period 2, 4:10, shooting or bonus foul."."""
    _ = voice.text
    parts = [_("Dead ball %(n)s") % {"n": movement.dead_ball}]
    if movement.period is not None:
        parts.append(_("period %(n)s") % {"n": movement.period})
    if movement.clock:
        parts.append(movement.clock)
    if movement.whistle is not None:
        parts.append(words.whistle(voice, movement.whistle))
    return ", ".join(parts) + "."


def _went(movement: Movement, voice: Voice) -> str:
    _ = voice.text
    due = (
        _("The code sends you to %(place)s (square), a long switch.")
        if movement.long_switch
        else _("The code sends you to %(place)s (square).")
    )
    stayed = not movement.flip and movement.actual.position is movement.before.position
    ended = _("You stayed %(place)s (dot).") if stayed else _("You ended %(place)s (dot).")
    sentences = [
        _("You were %(place)s (ring).") % {"place": _seen(movement.before, voice)},
        due % {"place": words.place(voice, movement.expected)},
        ended % {"place": _seen(movement.actual, voice)},
    ]
    if movement.option is not None:
        sentences.append(_("That is an option which the code allows."))
    return " ".join(sentences)


def _seen(place: Place, voice: Voice) -> str:
    """Where somebody was seen; a side that is missing was not seen, which isn't free."""
    _ = voice.text
    if place.side is not None:
        return words.place(voice, place)
    return _("%(position)s, side not seen") % {"position": words.position(voice, place.position)}
