"""The editions of an association's mechanics codes: which there are, used where, and complete."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import msgspec
from django.utils.functional import Promise
from django.utils.translation import get_language, gettext_lazy

from accounts.models import Membership
from evaluations.core.documents import from_document
from evaluations.core.mechanics import code_words
from evaluations.core.mechanics.code import MechanicsCode, gaps, situations
from evaluations.core.mechanics.code_compare import Covered, summed_up
from evaluations.models import CodeEdition, Game, Rubric
from evaluations.queries.codes import (
    CODE_FIELD,
    codes_for,
    codes_in_force,
    correction_in_work,
    is_correcting,
    is_locked,
    mechanics_code,
    replacement,
)
from evaluations.queries.rubrics import rubrics_for
from evaluations.voice import SiteVoice

LABELS = {2: gettext_lazy("Crews of two"), 3: gettext_lazy("Crews of three")}


@dataclass(frozen=True, slots=True)
class EditionLine:
    """`rubrics` are those that name the edition; `open_situations` counts what no row covers."""

    code: CodeEdition
    name: str
    rubrics: tuple[Rubric, ...]
    open_situations: int
    correcting: bool


@dataclass(frozen=True, slots=True)
class CodeShelf:
    """The editions for one crew size, newest first."""

    crew_size: int
    label: str | Promise
    editions: tuple[EditionLine, ...]

    @property
    def waits_for_rubric(self) -> bool:
        """Whether there are editions and no rubric names any of them."""
        return bool(self.editions) and not any(line.rubrics for line in self.editions)


def code_shelves(member: Membership, language: str) -> list[CodeShelf]:
    """What the asker may see of the association's codes, for crews of two and of three."""
    named = ("rubrics_of_two__season", "rubrics_of_three__season")
    codes = list(codes_for(member).prefetch_related(*named).order_by("-edition"))
    seen = set(rubrics_for(member).values_list("pk", flat=True))
    return [
        CodeShelf(
            crew_size=size.value,
            label=LABELS[size.value],
            editions=tuple(_line(code, language, seen) for code in codes if code.crew_size == size),
        )
        for size in Game.CrewSize
    ]


def _line(code: CodeEdition, language: str, seen: set[int]) -> EditionLine:
    named = {2: code.rubrics_of_two, 3: code.rubrics_of_three}[code.crew_size]
    return EditionLine(
        code=code,
        name=code_name(mechanics_code(code), language),
        rubrics=tuple(rubric for rubric in named.all() if rubric.pk in seen),
        open_situations=open_situations(code),
        correcting=is_correcting(code),
    )


def code_name(value: MechanicsCode, language: str) -> str:
    """The code's name in a language, else in the first that it has, else its key."""
    return value.name.get(language) or next(filter(None, value.name.values()), value.key)


# --- What no row covers ---------------------------------------------------------------------------
def open_situations(code: CodeEdition) -> int:
    """In how many situations no row of the edition applies."""
    return sum(len(covered.situations) for covered in uncovered(packed(code)))


@dataclass(frozen=True, slots=True)
class CodeGap:
    """A code that a rubric names and that leaves situations open; `first` is one in words."""

    code: CodeEdition
    situations: int
    first: str


def code_gap(code: CodeEdition) -> CodeGap | None:
    """What is missing of a code, in the language in use; None: it is complete."""
    found = uncovered(packed(code))
    if not found:
        return None
    first = next(s for s in situations(code.crew_size) if s in found[0].situations)
    return CodeGap(
        code=code,
        situations=open_situations(code),
        first=code_words.situation(SiteVoice(get_language() or "en"), first),
    )


def code_gaps(rubric: Rubric) -> list[CodeGap]:
    """The codes under a rubric that aren't complete."""
    return [gap for code in codes_in_force(rubric) if (gap := code_gap(code)) is not None]


@lru_cache(maxsize=64)
def uncovered(content: bytes) -> tuple[Covered, ...]:
    """The situations that no row covers, summed up. Kept: pages ask often, codes seldom change."""
    value = from_document(MechanicsCode, msgspec.json.decode(content))
    found = gaps(value)
    return summed_up(found) if found else ()


def packed(code: CodeEdition) -> bytes:
    """An edition's content as what `uncovered` is asked with."""
    return msgspec.json.encode(code.content)


# --- What a page says first -----------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class CodeStanding:
    """Where an edition stands for the asker. `rubrics` are those that name it; `to_choose` is a
    draft rubric in which it could be named; `compare_with` is the edition that it corrects, else
    the one before it.
    """

    locked: bool
    rubrics: tuple[Rubric, ...]
    to_choose: Rubric | None
    correcting: bool
    correction: CodeEdition | None
    replaced_by: CodeEdition | None
    compare_with: CodeEdition | None


def code_standing(code: CodeEdition, member: Membership) -> CodeStanding:
    """What the page of an edition offers to do."""
    names_it = {CODE_FIELD[code.crew_size]: code}
    rubrics = rubrics_for(member)
    drafts = rubrics.filter(state=Rubric.State.DRAFT)
    return CodeStanding(
        locked=is_locked(code),
        rubrics=tuple(rubrics.filter(**names_it)),
        to_choose=drafts.exclude(**names_it).first(),
        correcting=is_correcting(code),
        correction=correction_in_work(code),
        replaced_by=replacement(code),
        compare_with=code.corrects or _one_before(code, member),
    )


def _one_before(code: CodeEdition, member: Membership) -> CodeEdition | None:
    earlier = codes_for(member).filter(crew_size=code.crew_size, edition__lt=code.edition)
    return earlier.order_by("-edition").first()
