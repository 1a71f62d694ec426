"""From a frozen release to the text of its letter, in the official's language."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from evaluations.core import words
from evaluations.core.games import Seen
from evaluations.core.letter import (
    Annex,
    AnnexItem,
    Fact,
    LetterContent,
    Verification,
)
from evaluations.core.letter_evidence import (
    comments,
    quotes,
    said,
    step_items,
    steps_note,
    strength_items,
)
from evaluations.core.letter_floor import band_picture, sketch_picture
from evaluations.core.letter_form import compose_form
from evaluations.core.letter_log import count_in_full, movement_picture
from evaluations.core.printing import printed, whole
from evaluations.core.release import ReleaseSnapshot
from evaluations.core.scoring import level_step
from evaluations.core.season import shown
from evaluations.core.voice import Voice


def compose(snapshot: ReleaseSnapshot, voice: Voice) -> LetterContent:
    """The letter of a release. The voice must speak the language of the snapshot's wording."""
    _ = voice.text
    quoted, longer = quotes(snapshot, voice)
    return LetterContent(
        language=voice.language,
        paper=snapshot.paper,
        title=_("Observation letter"),
        notice="",
        association=snapshot.association,
        official=snapshot.official,
        facts=tuple(_facts(snapshot, voice)),
        talk=_talk(snapshot, voice),
        headings={
            "summary": _("In short"),
            "went_well": _("What went well"),
            "next_steps": _("Next steps"),
            "evidence": _("What was seen"),
            "form": _("The form"),
            "respond": _("How to respond"),
            "verify": _("Is this copy genuine?"),
        },
        summary=snapshot.summary,
        went_well=strength_items(snapshot, voice),
        went_well_empty=_("Nothing was set down under this heading this time.")
        if not snapshot.strengths
        else "",
        next_steps=step_items(snapshot, voice),
        next_steps_note=steps_note(snapshot, voice),
        quotes=quoted,
        quotes_note=_("Longer comments stand on the letter's page and in its annex.")
        if longer
        else "",
        total=_total(snapshot, voice),
        total_note=_total_note(snapshot, voice),
        season=_season(snapshot, voice),
        form=compose_form(snapshot, voice),
        respond=_respond(snapshot, voice),
        paragraph=snapshot.paragraph,
        cautions=_cautions(voice),
        verification=_verification(snapshot, voice),
        footer=_("Letter %(code)s · confidential, written to %(official)s")
        % {"code": snapshot.code, "official": snapshot.official},
        page_label=_("Page %(page)s of %(pages)s"),
        issued=snapshot.issued_on.isoformat(),
        movement=movement_picture(snapshot.log, voice),
        sketch=sketch_picture(snapshot.log, voice),
        band=band_picture(snapshot.log, voice),
    )


def compose_annex(snapshot: ReleaseSnapshot, answer: Iterable[AnnexItem], voice: Voice) -> Annex:
    """All comments and counts at full length in rubric order; the answer and what came of it."""
    _ = voice.text
    heading = (
        _("Annex: all comments and counts, and your answer")
        if snapshot.log and snapshot.log.counted
        else _("Annex: all comments, and your answer")
    )
    return Annex(heading, (*_in_full(snapshot, voice), *answer))


def _in_full(snapshot: ReleaseSnapshot, voice: Voice) -> Iterable[AnnexItem]:
    counted = snapshot.log.counted if snapshot.log else {}
    for rating, comment, why in comments(snapshot, voice):
        key, found = rating.criterion, counted.get(rating.criterion)
        count = count_in_full(found, snapshot.wording, voice) if found else ""
        if texts := tuple(text for text in (count, said(comment, why)) if text):
            yield AnnexItem(snapshot.wording.criteria[key].label, texts)


def _facts(snapshot: ReleaseSnapshot, voice: Voice) -> Iterable[Fact]:
    _ = voice.text
    game, observation = snapshot.game, snapshot.observation
    yield Fact(_("Game"), f"{game.home} – {game.visitors}, {game.level_of_play}")
    yield Fact(_("Played"), f"{voice.day(game.played_on)}, {game.site}")
    yield Fact(
        _("Your place"),
        _("%(position)s in a crew of %(size)s")
        % {"position": words.position(voice, snapshot.position), "size": game.crew_size},
    )
    if snapshot.observer:
        yield Fact(_("Observer"), snapshot.observer)
    seen = _("whole game") if observation.seen is Seen.WHOLE else observation.part
    yield Fact(_("Seen"), f"{seen}, {words.difficulty(voice, observation.difficulty)}")
    yield Fact(
        _("Rubric"), ", ".join(x for x in (snapshot.rubric_name, snapshot.mechanics_code) if x)
    )
    yield Fact(_("Issued"), voice.day(snapshot.issued_on))
    if snapshot.serial > 1:
        yield Fact(
            _("Amended"), _("release %(n)s, replaces the one before") % {"n": snapshot.serial}
        )


def _talk(snapshot: ReleaseSnapshot, voice: Voice) -> str:
    return words.talk(voice, snapshot.observation.talk)


def _total(snapshot: ReleaseSnapshot, voice: Voice) -> str:
    _ = voice.text
    card = snapshot.card
    if card.total is None or card.band is None:
        return _("No total")
    number = whole(printed(card.total))
    bands = snapshot.wording.bands
    if card.between is None:
        return _("%(total)s of 100, %(band)s") % {"total": number, "band": bands[card.band]}
    below, above = (bands[key] for key in card.between)
    return _("%(total)s of 100, between “%(below)s” and “%(above)s”") % {
        "total": number,
        "below": below,
        "above": above,
    }


def _total_note(snapshot: ReleaseSnapshot, voice: Voice) -> str:
    _ = voice.text
    card = snapshot.card
    if card.withheld is not None:
        return words.withheld(voice, card.withheld)
    step = level_step(snapshot.rubric, card)
    return _("One level on one criterion moves the total by up to %(points)s points.") % {
        "points": voice.number(printed(step))
    }


def _season(snapshot: ReleaseSnapshot, voice: Voice) -> str:
    _ = voice.text
    season = snapshot.season
    if snapshot.card.total is None or not shown(season) or season.mean is None:
        return ""
    sentence = _(
        "Your season so far: %(mean)s, give or take %(margin)s (95 %% t interval of the mean of "
        "%(n)s scored observations)."
    ) % {
        "mean": voice.number(printed(season.mean)),
        "margin": voice.number(printed(Fraction(season.margin or 0))),
        "n": season.observations,
    }
    if season.corrected:
        return sentence
    return sentence + " " + _("Uncorrected: differences between observers are still in it.")


def _respond(snapshot: ReleaseSnapshot, voice: Voice) -> str:
    _ = voice.text
    return _(
        "On the letter's page, until %(day)s: say that you have read it (this isn't agreement), "
        "mark any line with “this is not what happened” and say why, or ask once, within 7 days, "
        "for a review by another observer. No answer is recorded as “not answered”, never as "
        "agreement."
    ) % {"day": voice.day(snapshot.respond_until)}


def _cautions(voice: Voice) -> tuple[str, ...]:
    _ = voice.text
    return (
        _("This letter is not discipline, and one game is one game."),
        _("The association's adopted rules and mechanics manual prevail over anything in it."),
        _("It speaks of your work only; players appear by jersey colour only."),
        _("Nothing is decided by a score alone."),
    )


def _verification(snapshot: ReleaseSnapshot, voice: Voice) -> Verification:
    _ = voice.text
    return Verification(
        code=snapshot.code,
        address=snapshot.address,
        text=_("Ask there, or scan the square: it says whether the letter is genuine and current."),
        alt=_("Square code that leads to the page which checks this letter's code."),
    )
