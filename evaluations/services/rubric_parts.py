"""Areas and criteria of a draft: added, taken away, moved. Raises as `rubric_edits` does.

A rubric always has an area, and an area a criterion: so what is stored can always be scored with.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal
from typing import TypeVar

from django.utils.translation import gettext as _

from accounts.models import Membership
from evaluations.core.rubric import CriterionWording
from evaluations.core.rubric_content import CRITERIA_AT_MOST, AreaContent, CriterionContent
from evaluations.models import Area, Criterion, Rubric
from evaluations.services.errors import Refused
from evaluations.services.rubric_drafts import editing
from evaluations.services.rubric_edits import area_of, criterion_of, free_key, one_line
from evaluations.services.rubric_rows import write_area, write_criterion

Part = TypeVar("Part", Area, Criterion)


def add_area(
    *,
    rubric: Rubric,
    version: int,
    label: str,
    weight: Decimal,
    first_criterion: str,
    by: Membership,
    now: datetime,
) -> str:
    """A new area at the end, with its first criterion, named in the association's language.

    Returns the area's key.
    """
    action = "rubric.area_added"
    with editing(rubric=rubric, version=version, by=by, action=action, now=now) as draft:
        _refuse_full(draft)
        language = draft.season.association.language
        areas = list(draft.areas.all())
        content = AreaContent(
            key=free_key(label, {a.key for a in areas}, "area"),
            weight=weight,
            minimum_share=Decimal("0.5"),
            needed=False,
            labels={language: one_line(label)},
            criteria=(_new_criterion(draft, first_criterion, language),),
        )
        write_area(draft, areas[-1].order + 1, content)
        return content.key


def remove_area(
    *, rubric: Rubric, version: int, area: str, by: Membership, now: datetime
) -> Rubric:
    """Take an area away with its criteria and ceilings; `undo_removal` brings them back."""
    with editing(
        rubric=rubric,
        version=version,
        by=by,
        action="rubric.area_removed",
        now=now,
        removing=_area_name(rubric, area),
    ) as draft:
        area_of(draft, area).delete()
        return draft


def move_area(
    *, rubric: Rubric, version: int, area: str, up: bool, by: Membership, now: datetime
) -> Rubric:
    """Change places with the area before or after; at the end nothing moves."""
    action = "rubric.area_moved"
    with editing(rubric=rubric, version=version, by=by, action=action, now=now) as draft:
        area_of(draft, area)
        for order, row in enumerate(_moved(list(draft.areas.all()), area, up), start=1):
            Area.objects.filter(pk=row.pk).update(order=order)
        return draft


def add_criterion(
    *, rubric: Rubric, version: int, area: str, label: str, by: Membership, now: datetime
) -> str:
    """A new criterion at the end of an area, named in the association's language; weight 1.

    Returns the criterion's key.
    """
    action = "rubric.criterion_added"
    with editing(rubric=rubric, version=version, by=by, action=action, now=now) as draft:
        _refuse_full(draft)
        into = area_of(draft, area)
        last = into.criteria.order_by("-order").first()
        content = _new_criterion(draft, label, draft.season.association.language)
        write_criterion(into, last.order + 1 if last else 1, content)
        return content.key


def remove_criterion(
    *, rubric: Rubric, version: int, criterion: str, by: Membership, now: datetime
) -> Rubric:
    """Take a criterion away with its ceilings; `undo_removal` brings it back."""
    with editing(
        rubric=rubric,
        version=version,
        by=by,
        action="rubric.criterion_removed",
        now=now,
        removing=_criterion_name(rubric, criterion),
    ) as draft:
        found = criterion_of(draft, criterion)
        if found.area.criteria.count() == 1:
            raise Refused(
                _("An area needs a criterion, and this is its last. Remove the area instead.")
            )
        found.delete()
        return draft


def move_criterion(
    *, rubric: Rubric, version: int, criterion: str, up: bool, by: Membership, now: datetime
) -> Rubric:
    """Change places with the criterion before or after in its area; at the end nothing moves."""
    action = "rubric.criterion_moved"
    with editing(rubric=rubric, version=version, by=by, action=action, now=now) as draft:
        siblings = list(criterion_of(draft, criterion).area.criteria.all())
        for order, row in enumerate(_moved(siblings, criterion, up), start=1):
            Criterion.objects.filter(pk=row.pk).update(order=order)
        return draft


def _moved(rows: Sequence[Part], key: str, up: bool) -> list[Part]:
    """The rows with the one of this key a place further up or down."""
    moved = list(rows)
    place = next(n for n, row in enumerate(moved) if row.key == key)
    other = place - 1 if up else place + 1
    if 0 <= other < len(moved):
        moved[place], moved[other] = moved[other], moved[place]
    return moved


def _new_criterion(rubric: Rubric, label: str, language: str) -> CriterionContent:
    taken = set(Criterion.objects.filter(area__rubric=rubric).values_list("key", flat=True))
    texts = CriterionWording(one_line(label), "", "", "", "", "", ())
    return CriterionContent(free_key(label, taken, "criterion"), Decimal(1), {language: texts})


def _refuse_full(rubric: Rubric) -> None:
    if Criterion.objects.filter(area__rubric=rubric).count() >= CRITERIA_AT_MOST:
        raise Refused(
            _("A letter has room for %(limit)s criteria. Remove one before you add another.")
            % {"limit": CRITERIA_AT_MOST}
        )


def _area_name(rubric: Rubric, key: str) -> str:
    language = rubric.season.association.language
    text = area_of(rubric, key).texts.filter(language=language).first()
    return text.label if text else key


def _criterion_name(rubric: Rubric, key: str) -> str:
    language = rubric.season.association.language
    text = criterion_of(rubric, key).texts.filter(language=language).first()
    return text.label if text and text.label else key
