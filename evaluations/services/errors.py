"""Refusals that a page turns into an answer. Each says in words what to do."""

from __future__ import annotations

from evaluations.core.next_steps import FormProblem


class Refused(Exception):
    """Something that can't be done now. `str()` is a translated sentence for the person."""


class StaleVersion(Refused):
    """Somebody, or another tab, saved in between. Nothing was written."""


class NotReady(Refused):
    """A form that lacks something. `problems` says what and where."""

    def __init__(self, message: str, problems: tuple[FormProblem, ...]) -> None:
        super().__init__(message)
        self.problems = problems
