"""What an admin sets in a draft: weights, words, bands, ceilings, texts.

Every step raises as `evaluations.services.rubric_drafts.editing` does, and ValidationError for a
value that its column refuses.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from itertools import count

from django.utils.text import slugify
from django.utils.translation import gettext as _

from accounts.models import Membership
from evaluations.core.mechanics.rules import RULES
from evaluations.core.rubric import CriterionWording, FloorRule
from evaluations.core.rubric_content import STEP_TEXTS_BUDGET, BandContent, too_long
from evaluations.models import Area, Ceiling, CodeEdition, Criterion, Rubric
from evaluations.models.rubric import default_cut_points
from evaluations.services.codes import usable
from evaluations.services.errors import Refused
from evaluations.services.rubric_drafts import editing
from evaluations.services.rubric_rows import (
    stored_thresholds,
    write_area_labels,
    write_bands,
    write_criterion_texts,
    write_level_words,
)

KEY_LENGTH = 40


@dataclass(frozen=True, slots=True)
class AreaWeight:
    """`minimum_share` is from 0 to 1."""

    weight: Decimal
    minimum_share: Decimal
    needed: bool


def set_weights(
    *,
    rubric: Rubric,
    version: int,
    areas: Mapping[str, AreaWeight],
    criteria: Mapping[str, Decimal],
    target_level: int,
    minimum_seen: Decimal,
    by: Membership,
    now: datetime,
) -> Rubric:
    """Weights of the areas and criteria with these keys, and when there is a total."""
    action = "rubric.weights_changed"
    with editing(rubric=rubric, version=version, by=by, action=action, now=now) as draft:
        draft.target_level = target_level
        draft.minimum_seen = minimum_seen
        draft.full_clean()
        draft.save(update_fields=["target_level", "minimum_seen"])
        for key, value in areas.items():
            area = area_of(draft, key)
            area.weight = value.weight
            area.minimum_share = value.minimum_share
            area.needed = value.needed
            area.full_clean()
            area.save()
        for key, weight in criteria.items():
            criterion = criterion_of(draft, key)
            criterion.weight = weight
            criterion.full_clean()
            criterion.save()
        return draft


def set_words(
    *,
    rubric: Rubric,
    version: int,
    note: str,
    mechanics: str,
    level_words: Mapping[str, Sequence[str]],
    cut_points: Sequence[Decimal],
    minimum_count: int,
    bands: Iterable[BandContent],
    code_of_two: CodeEdition | None,
    code_of_three: CodeEdition | None,
    by: Membership,
    now: datetime,
) -> Rubric:
    """The words of the rubric as a whole; `cut_points` are shares, bands in any order.

    Below `minimum_count` judged findings a count suggests no level. The codes are those that crews
    of two and of three are judged by; a correction that isn't in force is refused.
    """
    action = "rubric.words_changed"
    with editing(rubric=rubric, version=version, by=by, action=action, now=now) as draft:
        draft.note = one_line(note)
        draft.mechanics = one_line(mechanics)
        draft.cut_points = [str(c) for c in cut_points]
        draft.minimum_count = minimum_count
        draft.code_of_two = usable(code_of_two, draft.season.association, crew_size=2)
        draft.code_of_three = usable(code_of_three, draft.season.association, crew_size=3)
        draft.full_clean()
        draft.save()
        write_level_words(
            draft, {tongue: [one_line(w) for w in words] for tongue, words in level_words.items()}
        )
        write_bands(draft, _with_keys(sorted(bands, key=lambda band: band.lower)))
        return draft


def set_levels(
    *, rubric: Rubric, version: int, levels: int, by: Membership, now: datetime
) -> Rubric:
    """The number of levels. Words of levels that go are kept and come back with them.

    The shares from which a count reaches a level are spread evenly anew.
    """
    action = "rubric.levels_changed"
    with editing(rubric=rubric, version=version, by=by, action=action, now=now) as draft:
        draft.levels = levels
        draft.target_level = min(draft.target_level, levels)
        draft.cut_points = _even_cut_points(levels)
        draft.full_clean()
        draft.save(update_fields=["levels", "target_level", "cut_points"])
        return draft


def set_ceiling(
    *,
    rubric: Rubric,
    version: int,
    criterion: str,
    area: str | None,
    at_most: Decimal,
    by: Membership,
    now: datetime,
) -> Ceiling:
    """With the criterion at its lowest level, the area (None: the total) is at most `at_most`.

    It takes the place of a ceiling of the same criterion on the same area.
    """
    action = "rubric.ceiling_set"
    with editing(rubric=rubric, version=version, by=by, action=action, now=now) as draft:
        of = criterion_of(draft, criterion)
        on = area_of(draft, area) if area else None
        ceiling = draft.ceilings.filter(criterion=of, area=on).first() or Ceiling(
            rubric=draft, criterion=of, area=on
        )
        ceiling.at_most = at_most
        ceiling.full_clean()
        ceiling.save()
        return ceiling


def remove_ceiling(
    *, rubric: Rubric, version: int, ceiling: int, by: Membership, now: datetime
) -> Rubric:
    """Take a ceiling away; `undo_removal` brings it back."""
    action = "rubric.ceiling_removed"
    with editing(
        rubric=rubric, version=version, by=by, action=action, now=now, removing=_("The ceiling")
    ) as draft:
        removed, _rows = draft.ceilings.filter(pk=ceiling).delete()
        if not removed:
            raise not_of_this_rubric()
        return draft


def set_area_labels(
    *,
    rubric: Rubric,
    version: int,
    area: str,
    labels: Mapping[str, str],
    by: Membership,
    now: datetime,
) -> Rubric:
    """An area's name by language."""
    action = "rubric.area_renamed"
    with editing(rubric=rubric, version=version, by=by, action=action, now=now) as draft:
        found = area_of(draft, area)
        write_area_labels(found, {tongue: one_line(label) for tongue, label in labels.items()})
        return draft


def set_criterion(
    *,
    rubric: Rubric,
    version: int,
    criterion: str,
    texts: Mapping[str, CriterionWording],
    findings: Collection[str],
    thresholds: Mapping[FloorRule, Decimal],
    by: Membership,
    now: datetime,
) -> Rubric:
    """A criterion's texts in the given languages, of which any may be empty in a draft; the keys of
    the counted `findings`, in any order, and the `thresholds` for film in their rules' units.
    """
    action = "rubric.criterion_written"
    with editing(rubric=rubric, version=version, by=by, action=action, now=now) as draft:
        found = criterion_of(draft, criterion)
        tidy = {tongue: _tidy(wording) for tongue, wording in texts.items()}
        for wording in tidy.values():
            if over := too_long(wording):
                raise Refused(_over_budget(over))
        found.findings = _in_rule_order(findings)
        found.thresholds = stored_thresholds(thresholds)
        found.full_clean()
        found.save(update_fields=["findings", "thresholds"])
        write_criterion_texts(found, tidy)
        return draft


def one_line(text: str) -> str:
    """The text without line breaks and double spaces: a letter runs it into a paragraph."""
    return " ".join(text.split())


def free_key(name: str, taken: Collection[str], otherwise: str) -> str:
    """A key made from a name, unlike those in use; it stays when the name changes."""
    base = slugify(name)[:KEY_LENGTH].strip("-") or otherwise
    ends = (f"-{n}" for n in count(2))
    key = base
    while key in taken:
        end = next(ends)
        key = base[: KEY_LENGTH - len(end)] + end
    return key


def area_of(rubric: Rubric, key: str) -> Area:
    found = rubric.areas.filter(key=key).first()
    if found is None:
        raise not_of_this_rubric()
    return found


def criterion_of(rubric: Rubric, key: str) -> Criterion:
    found = Criterion.objects.filter(area__rubric=rubric, key=key).select_related("area").first()
    if found is None:
        raise not_of_this_rubric()
    return found


def not_of_this_rubric() -> Refused:
    return Refused(_("This is not in the rubric any more. Load the page again."))


def _tidy(wording: CriterionWording) -> CriterionWording:
    return CriterionWording(
        label=one_line(wording.label),
        hint=one_line(wording.hint),
        standard=one_line(wording.standard),
        why=one_line(wording.why),
        try_this=one_line(wording.try_this),
        check=one_line(wording.check),
        levels=tuple(map(one_line, wording.levels)),
    )


def _in_rule_order(keys: Collection[str]) -> list[str]:
    known = [rule.key for rule in RULES if rule.key in keys]
    if len(known) < len(set(keys)):
        reason = _("One of the counted findings is none that a log has. Choose from the list.")
        raise Refused(reason)
    return known


def _over_budget(over: Mapping[str, int]) -> str:
    if "step" in over:
        return _(
            "Standard, why, try this and how we check have %(limit)s characters together; "
            "take away %(over)s."
        ) % {"limit": STEP_TEXTS_BUDGET, "over": over["step"]}
    return _("A text is too long: take away %(over)s characters.") % {"over": max(over.values())}


def _with_keys(bands: Iterable[BandContent]) -> list[BandContent]:
    """Bands with a key each; a new one gets it from its name."""
    rows = list(bands)
    taken = {band.key for band in rows}
    for n, band in enumerate(rows):
        if not band.key:
            name = next(filter(None, band.names.values()), "")
            rows[n] = replace(band, key=free_key(name, taken, "band"))
            taken.add(rows[n].key)
    return rows


def _even_cut_points(levels: int) -> list[str]:
    usual = default_cut_points()
    if levels == len(usual) + 1:
        return usual
    return [str(round(Decimal(n) / (levels - 1), 2)) for n in range(1, levels)]
