"""The form as a letter prints it: every criterion with level, points and room, areas with bars."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from evaluations.core.letter import AreaBar, Fact, FormArea, FormRow, FormTable
from evaluations.core.letter_log import count_in_form, counts_heading, counts_note
from evaluations.core.printing import printed, whole
from evaluations.core.release import ReleaseSnapshot
from evaluations.core.scoring import AreaScore, CriterionScore, PrintedScore, print_score
from evaluations.core.season import shown
from evaluations.core.voice import Voice


def percent(share: Fraction, voice: Voice) -> str:
    """A share (0 to 1) as percent: whole when it is, else one decimal."""
    figure = printed(share * 100)
    decimals = 0 if figure.denominator == 1 else 1
    return f"{voice.number(figure, decimals)} %"


def compose_form(snapshot: ReleaseSnapshot, voice: Voice) -> FormTable:
    """The whole form; without a total its points and room stay empty."""
    _ = voice.text
    figures = print_score(snapshot.card)
    return FormTable(
        columns=(_("Criterion"), _("Level"), _("Points"), _("Room to gain")),
        levels=snapshot.rubric.levels,
        areas=tuple(_area(snapshot, a, figures, voice) for a in snapshot.card.areas),
        closing=tuple(_closing(snapshot, figures, voice)),
        seen=_("%(share)s of the form could be seen and counts.")
        % {"share": percent(snapshot.card.share_seen, voice)},
        key=_key(snapshot, figures, voice),
        counted=counts_heading(snapshot.log, voice),
        counts_note=counts_note(snapshot.log, voice),
    )


def _area(
    snapshot: ReleaseSnapshot, area: AreaScore, figures: PrintedScore | None, voice: Voice
) -> FormArea:
    _ = voice.text
    return FormArea(
        label=snapshot.wording.areas[area.key],
        share=_("%(share)s of the form") % {"share": percent(area.form_share, voice)},
        bar=_bar(snapshot, area, voice),
        rows=tuple(
            _row(snapshot, c, figures, voice) for c in snapshot.card.criteria if c.area == area.key
        ),
    )


def _bar(snapshot: ReleaseSnapshot, area: AreaScore, voice: Voice) -> AreaBar:
    _ = voice.text
    label = snapshot.wording.areas[area.key]
    if snapshot.card.total is None:
        return AreaBar(None, None, "", "")
    if area.capped is None or not area.counts:
        too_little = _("not enough seen")
        return AreaBar(None, None, too_little, f"{label}: {too_little}")
    value = printed(area.capped * 100)
    season = snapshot.season.areas.get(area.key) if shown(snapshot.season) else None
    alt = _("%(area)s: %(value)s of 100 in this game") % {"area": label, "value": whole(value)}
    if season is not None:
        mean = whole(printed(season))
        alt += _(", %(mean)s over your season") % {"mean": mean}
    line = None if season is None else float(season)
    return AreaBar(float(value), line, str(whole(value)), alt)


def _row(
    snapshot: ReleaseSnapshot,
    criterion: CriterionScore,
    figures: PrintedScore | None,
    voice: Voice,
) -> FormRow:
    key = criterion.key
    counted = snapshot.log.counted if snapshot.log else {}
    return FormRow(
        label=snapshot.wording.criteria[key].label,
        position=criterion.level,
        level=_level(snapshot, criterion, voice),
        points=voice.number(figures.points[key]) if figures and key in figures.points else "",
        room=voice.number(figures.room[key]) if figures and key in figures.room else "",
        counted=count_in_form(counted.get(key), voice),
    )


def _level(snapshot: ReleaseSnapshot, criterion: CriterionScore, voice: Voice) -> str:
    _ = voice.text
    if criterion.level is None:
        return _("not seen")
    return snapshot.wording.level_words[criterion.level - 1]


def _closing(
    snapshot: ReleaseSnapshot, figures: PrintedScore | None, voice: Voice
) -> Iterable[Fact]:
    _ = voice.text
    if figures is None:
        return
    if snapshot.card.bites:
        labels = dict.fromkeys(
            snapshot.wording.criteria[b.ceiling.criterion].label for b in snapshot.card.bites
        )
        yield Fact(_("Points"), voice.number(figures.uncapped))
        yield Fact(
            _("Ceiling: %(criteria)s") % {"criteria": "; ".join(labels)},
            f"−{voice.number(figures.ceiling)}",
        )
    yield Fact(_("Total"), voice.number(figures.total))


def _key(snapshot: ReleaseSnapshot, figures: PrintedScore | None, voice: Voice) -> str:
    _ = voice.text
    if figures is None:
        return ""
    if shown(snapshot.season):
        return _(
            "Points are what a criterion added to the total, room to gain what it could still "
            "add. Bars: this game; the small upright line is your own season."
        )
    return _(
        "Points are what a criterion added to the total, room to gain what it could still add."
    )
