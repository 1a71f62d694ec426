"""The evaluation forms of a whole crew on one page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from django.http import QueryDict

from evaluations.forms.ratings import RatingsForm
from evaluations.forms.versions import joined_versions, posted_versions
from evaluations.models import Evaluation
from evaluations.queries.rating_sheets import RatingSheet
from evaluations.services.evaluation_rows import CrewAnswers


class CrewRatings:
    """One `RatingsForm` for each official; the fields of each have the evaluation's key."""

    def __init__(
        self,
        evaluations: Sequence[Evaluation],
        sheets: Sequence[RatingSheet],
        data: QueryDict | None = None,
    ) -> None:
        self.evaluations = list(evaluations)
        self.data = data
        self.forms = [
            RatingsForm(sheet, data, prefix=f"of-{evaluation.pk}", whose=str(evaluation.official))
            for evaluation, sheet in zip(evaluations, sheets, strict=True)
        ]

    def __iter__(self) -> Iterator[RatingsForm]:
        return iter(self.forms)

    def is_valid(self) -> bool:
        return all(form.is_valid() for form in self)

    @property
    def errors(self) -> dict[str, object]:
        found = ((form, name) for form in self for name in form.errors)
        return {form.add_prefix(name): form.errors[name] for form, name in found}

    @property
    def total_error_count(self) -> int:
        """As a formset's, for the template pack's error summary."""
        return len(self.errors)

    @property
    def version(self) -> str:
        """The version of the page: as it came back, or as the evaluations are now."""
        if self.data is not None:
            return joined_versions(posted_versions(self.data, len(self.forms)))
        return joined_versions([evaluation.version for evaluation in self.evaluations])

    def sent(self) -> list[CrewAnswers]:
        """The officials about whom anything came in."""
        return [a for a, form in self._answers() if any(self._is_in(form, n) for n in form.fields)]

    def changed(self) -> list[CrewAnswers]:
        """The officials about whom anything differs from what is kept."""
        return [answers for answers, form in self._answers() if form.changed]

    @property
    def saved_at(self) -> datetime | None:
        """When the page was saved last; None on a page that was sent and not saved."""
        if self.data is not None:
            return None
        return max((e.saved_at for e in self.evaluations if e.saved_at), default=None)

    def version_after(self, saved: Sequence[Evaluation]) -> str:
        """The page's version when these were saved; the others stay as the page knows them."""
        assert self.data is not None
        before = posted_versions(self.data, len(self.forms))
        now = {evaluation.pk: evaluation.version for evaluation in saved}
        known = zip(self.evaluations, before, strict=True)
        return joined_versions([now.get(e.pk, version) for e, version in known])

    def _answers(self) -> Iterator[tuple[CrewAnswers, RatingsForm]]:
        assert self.data is not None
        versions = posted_versions(self.data, len(self.forms))
        for evaluation, version, form in zip(self.evaluations, versions, self.forms, strict=True):
            yield CrewAnswers(evaluation, version, form.answers, form.flagged), form

    def _is_in(self, form: RatingsForm, name: str) -> bool:
        return self.data is not None and form.add_prefix(name) in self.data
