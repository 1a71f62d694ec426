"""How an answer is drawn when Django's own widgets don't say enough."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from django import forms

NOT_SEEN = "not_seen"
"""The choice that stands apart from the levels. A form stores it as an answer without a level."""


class Counted(NamedTuple):
    """A counted fact beside a judgement: `figure` ("7 of 11") and what it says in `text`."""

    figure: str
    text: str


class LevelScale(forms.RadioSelect):
    """Levels as points on one line, "not seen" set apart (drawn by the template pack).

    `wordings` maps a choice's value to the level's wording; `counted` is shown under the scale.
    Nothing is ever preselected, and the browser's own validation stays off: a form may be left
    half done, and the error summary says what is still open.
    """

    is_scale = True

    def __init__(
        self,
        attrs: Mapping[str, Any] | None = None,
        choices: Iterable[tuple[str, str]] = (),
        *,
        wordings: Mapping[str, str] | None = None,
        counted: Counted | None = None,
    ) -> None:
        super().__init__(dict(attrs or {}), choices)
        self.wordings = dict(wordings or {})
        self.counted = counted

    def use_required_attribute(self, initial: Any) -> bool:
        return False

    def create_option(self, *args: Any, **kwargs: Any) -> dict[str, Any]:
        """Add what a point shows besides its word: its `mark` and its `wording`."""
        option = super().create_option(*args, **kwargs)
        value = str(option["value"])
        option["apart"] = value == NOT_SEEN
        option["mark"] = "–" if option["apart"] else value
        option["wording"] = self.wordings.get(value, "")
        # Said of the group as a whole: aria-invalid has no meaning on a single radio.
        option["attrs"].pop("aria-invalid", None)
        if option["wording"] and "id" in option["attrs"]:
            option["attrs"]["aria-describedby"] = f"{option['attrs']['id']}_wording"
        return option
