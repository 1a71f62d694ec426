"""What the form about one official sends, and what is stored of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.test import Client
from django.urls import reverse

from evaluations.models import Evaluation

if TYPE_CHECKING:
    from django.test.client import _MonkeyPatchedWSGIResponse as Answer

A, B = "still-before-first-sign", "route-round-players"


def address(evaluation: Evaluation, page: str = "evaluation_form") -> str:
    return reverse(f"evaluations:{page}", args=["rivers", evaluation.pk])


def post(client: Client, evaluation: Evaluation, fields: dict[str, Any]) -> Answer:
    """A whole page, sent by its button."""
    return client.post(address(evaluation), {"version": evaluation.version, **fields})


def send(client: Client, evaluation: Evaluation, fields: dict[str, Any]) -> Answer:
    """The few fields that changed, sent by the page's script."""
    data = {"version": evaluation.version, **fields}
    return client.post(
        address(evaluation, "evaluation_save"), data, headers={"Accept": "application/json"}
    )


def stored(evaluation: Evaluation, key: str = A) -> tuple[int | None, bool, str, int | None]:
    row = evaluation.ratings.get(criterion__key=key)
    return row.level, row.not_seen, row.evidence, row.dead_ball
