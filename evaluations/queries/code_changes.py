"""Whom a corrected mechanics code changes, as its admins read it before and after it holds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from django.db.models import Exists, OuterRef

from accounts.models import Membership
from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.corrections import Corrected
from evaluations.core.release import State
from evaluations.core.rubric import RubricSpec, RubricWording
from evaluations.core.voice import Voice
from evaluations.models import (
    CodeEdition,
    Evaluation,
    Observation,
    Rating,
    Release,
    ReleaseEvent,
    Rubric,
)
from evaluations.queries.code_change_lines import CriterionChange, FindingLine, finding_lines
from evaluations.queries.corrections import CorrectedLog, Touched, logs_judged_before, touched
from evaluations.queries.logs import counted, logs_for
from evaluations.queries.rating_sheets import rubric_of
from evaluations.queries.releases import LETTER
from evaluations.queries.rubrics import rubric_spec, rubric_wording
from evaluations.voice import SiteVoice

RELATED = (
    "observation__game",
    "observation__observer__user",
    "observation__rubric__season__association",
)


class Stage(StrEnum):
    """How far the evaluation is whose counts a correction changes."""

    LETTER = "letter"
    """A letter that was made before is out, and stays as it is unless it is amended."""
    AMENDING = "amending"
    RENEWED = "renewed"
    """The newest letter was made after the correction came into force."""
    WITHDRAWN = "withdrawn"
    SUBMITTED = "submitted"
    IN_WORK = "in_work"
    CLOSED = "closed"


@dataclass(frozen=True, slots=True)
class OfficialChange:
    """What changes for one official at one game. `release` is the newest letter."""

    evaluation: Evaluation
    observation: Observation
    findings: tuple[Corrected, ...]
    criteria: tuple[CriterionChange, ...]
    stage: Stage
    release: Release | None
    voice: Voice

    @property
    def moves_level(self) -> bool:
        return any(criterion.moves_level for criterion in self.criteria)

    @property
    def lines(self) -> list[FindingLine]:
        return finding_lines(self.findings, self.voice)


@dataclass(frozen=True, slots=True)
class NobodysChange:
    """What changes at one game and is nobody's in particular, or somebody's without a form."""

    observation: Observation
    findings: tuple[Corrected, ...]
    voice: Voice

    @property
    def lines(self) -> list[FindingLine]:
        return finding_lines(self.findings, self.voice)


@dataclass(frozen=True, slots=True)
class CodeChanges:
    """Whom a correction changes, by game. Logs of the reader's own crews are only counted."""

    touched: Touched
    officials: tuple[OfficialChange, ...]
    nobodys: tuple[NobodysChange, ...]
    own_crews: int

    @property
    def letters(self) -> tuple[OfficialChange, ...]:
        """Those whose letter is out and stays as it is unless it is amended."""
        return tuple(o for o in self.officials if o.stage is Stage.LETTER)

    @property
    def submitted(self) -> tuple[OfficialChange, ...]:
        return tuple(o for o in self.officials if o.stage is Stage.SUBMITTED)

    @property
    def levels(self) -> int:
        """How many officials get another suggested level."""
        return sum(official.moves_level for official in self.officials)


def code_changes(
    correction: CodeEdition,
    member: Membership,
    language: str,
    *,
    of: Iterable[int] | None = None,
) -> CodeChanges:
    """Judge every log that `member` may see by both editions; `of` keeps to these evaluations.

    The number of queries grows with the rubrics, not with the logs.
    """
    judged = logs_judged_before(correction)
    if of is not None:
        theirs = Evaluation.objects.filter(pk__in=list(of)).order_by().values("observation")
        judged = judged.filter(observation__in=theirs)
    readable = judged.filter(pk__in=logs_for(member).order_by().values("pk"))
    found = touched(
        correction,
        readable.select_related(*RELATED).order_by("observation__game__plays_at", "pk"),
    )
    page = _Page(correction, found, language)
    return CodeChanges(
        touched=found,
        officials=tuple(change for one in found.logs for change in page.officials(one)),
        nobodys=tuple(change for one in found.logs for change in page.nobodys(one)),
        own_crews=judged.count() - found.read,
    )


class _Page:
    """The rows about all touched logs, read once."""

    def __init__(self, correction: CodeEdition, found: Touched, language: str) -> None:
        self.correction = correction
        self.voice = SiteVoice(language)
        observations = [one.log.observation_id for one in found.logs]
        forms = Evaluation.objects.filter(observation__in=observations).select_related(
            "official__user"
        )
        self.forms: dict[tuple[int, str], Evaluation] = {
            (form.observation_id, form.position): form for form in forms
        }
        self.levels = _levels(observations)
        self.letters = _letters(observations)
        self.rubrics: dict[int, tuple[RubricSpec, RubricWording]] = {}

    def officials(self, one: CorrectedLog) -> Iterator[OfficialChange]:
        observation = one.log.observation
        members = dict.fromkeys(c.member for c in one.findings if c.member is not None)
        for member in sorted(members):
            form = self.forms.get((observation.pk, member.value))
            if form is None:
                continue
            letter = self.letters.get(form.pk)
            yield OfficialChange(
                evaluation=form,
                observation=observation,
                findings=tuple(c for c in one.findings if c.member is member),
                criteria=tuple(self._criteria(one, form, member)),
                stage=_stage(self.correction, observation, form, letter),
                release=letter[0] if letter else None,
                voice=self.voice,
            )

    def nobodys(self, one: CorrectedLog) -> Iterator[NobodysChange]:
        observation = one.log.observation
        theirs = {position for pk, position in self.forms if pk == observation.pk}
        left = tuple(c for c in one.findings if c.member is None or c.member.value not in theirs)
        if left:
            yield NobodysChange(observation, left, self.voice)

    def _criteria(
        self, one: CorrectedLog, form: Evaluation, member: CrewPosition
    ) -> Iterator[CriterionChange]:
        if not one.after.value.kept.gives_shares:
            return  # examples only
        spec, wording = self._rubric(rubric_of(one.log.observation))
        before, after = (counted(spec, judged, member) for judged in (one.before, one.after))
        for key, was in before.items():
            if was != after[key]:
                yield CriterionChange(
                    key=key,
                    before=was,
                    after=after[key],
                    level=self.levels.get((form.pk, key)),
                    spec=spec,
                    wording=wording,
                    voice=self.voice,
                )

    def _rubric(self, rubric: Rubric) -> tuple[RubricSpec, RubricWording]:
        found = self.rubrics.get(rubric.pk)
        if found is None:
            found = rubric_spec(rubric), rubric_wording(rubric, self.voice.language)
            self.rubrics[rubric.pk] = found
        return found


def _levels(observations: list[int]) -> Mapping[tuple[int, str], int]:
    rated = Rating.objects.filter(
        evaluation__observation__in=observations, level__isnull=False
    ).order_by()
    rows = rated.values_list("evaluation", "criterion__key", "level")
    return {(form, key): level for form, key, level in rows if level is not None}


def _letters(observations: list[int]) -> Mapping[int, tuple[Release, bool]]:
    """The newest release of each evaluation, and whether it was withdrawn."""
    releases = Release.objects.filter(evaluation__observation__in=observations)
    withdrawn = ReleaseEvent.objects.filter(
        release=OuterRef("pk"), kind=ReleaseEvent.Kind.WITHDRAWN
    )
    ordered = releases.annotate(withdrawn=Exists(withdrawn)).defer(*LETTER)
    return {r.evaluation_id: (r, r.withdrawn) for r in ordered.order_by("evaluation", "serial")}


def _stage(
    correction: CodeEdition,
    observation: Observation,
    form: Evaluation,
    letter: tuple[Release, bool] | None,
) -> Stage:
    if letter is None:
        if form.state == State.SUBMITTED:
            return Stage.SUBMITTED
        return Stage.IN_WORK if observation.closed_at is None else Stage.CLOSED
    if form.state != State.RELEASED:
        return Stage.AMENDING
    (release, withdrawn), since = letter, correction.in_force_at
    if since is not None and release.released_at >= since:
        return Stage.RENEWED
    return Stage.WITHDRAWN if withdrawn else Stage.LETTER
