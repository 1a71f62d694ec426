"""What stands between a rubric and its publication."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.conf import settings
from django.utils.text import get_text_list
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from accounts.models import Membership
from accounts.queries.people import admins
from evaluations.core.rubric import RubricWording
from evaluations.core.rubric_content import Lack, Where, lacking
from evaluations.models import Rubric
from evaluations.queries.rubrics import published_rubric, rubric_content

TEXT_NAMES = {
    "label": gettext_lazy("name"),
    "standard": gettext_lazy("standard"),
    "why": gettext_lazy("why it matters"),
    "try_this": gettext_lazy("try this"),
    "check": gettext_lazy("how we will check"),
    "levels": gettext_lazy("wording of the levels"),
    "word": gettext_lazy("a word for each level"),
    "name": gettext_lazy("a name for each band"),
}


@dataclass(frozen=True, slots=True)
class MissingText:
    """`name` is the area's or criterion's, `texts` says in words what is missing, `first` names
    the first of these texts.
    """

    where: str
    key: str
    language: str
    name: str
    texts: str
    first: str


@dataclass(frozen=True, slots=True)
class Publishing:
    """What stands between a rubric and its publication, seen by one admin.

    `missing` has to be written first; `advised` (by language) may be: readers get the
    association's language instead.
    """

    missing: tuple[MissingText, ...]
    advised: tuple[tuple[str, tuple[MissingText, ...]], ...]
    own_proposal: bool
    alone: bool
    in_force: Rubric | None


def publishing(rubric: Rubric, member: Membership) -> Publishing:
    """Read what the page for proposing and approving says."""
    content = rubric_content(rubric)
    own = rubric.season.association.language
    wording = content.wording(own, own, str(rubric))
    lacks = {code: lacking(content, code) for code, _name in settings.LANGUAGES}
    return Publishing(
        missing=_in_words(lacks[own], own, wording),
        advised=tuple(
            (str(name), _in_words(lacks[code], code, wording))
            for code, name in settings.LANGUAGES
            if code != own and lacks[code]
        ),
        own_proposal=rubric.proposed_by_id == member.pk,
        alone=not admins(member.association).exclude(pk=member.pk).exists(),
        in_force=published_rubric(rubric.season),
    )


def _in_words(
    lacks: Iterable[Lack], language: str, wording: RubricWording
) -> tuple[MissingText, ...]:
    return tuple(
        MissingText(
            where=lack.where.value,
            key=lack.key,
            language=language,
            name=_place(lack, wording),
            texts=get_text_list([str(TEXT_NAMES[text]) for text in lack.texts], _("and")),
            first=lack.texts[0],
        )
        for lack in lacks
    )


def _place(lack: Lack, wording: RubricWording) -> str:
    if lack.where is Where.CRITERION:
        return wording.criteria[lack.key].label
    if lack.where is Where.AREA:
        return wording.areas[lack.key]
    return _("Levels") if lack.where is Where.LEVELS else _("Bands")
