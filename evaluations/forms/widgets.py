"""How an answer is drawn when Django's own widgets don't say enough."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import Any, NamedTuple

from django import forms

NOT_SEEN = "not_seen"
"""The choice that stands apart from the levels. A form stores it as an answer without a level."""


class Counted(NamedTuple):
    """A counted fact beside a judgement: `figure` ("7 of 11") and what it says in `text`.

    Choices in `departing` are not as counted, and something more is asked for at them; those in
    `at_odds` get the `remark` besides.
    """

    figure: str
    text: str
    departing: Collection[str] = ()
    at_odds: Collection[str] = ()
    remark: str = ""


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
        if "id" in option["attrs"] and (described := self._described_by(option)):
            option["attrs"]["aria-describedby"] = described
        if self.counted is not None:
            marks = {"data-departs": self.counted.departing, "data-at-odds": self.counted.at_odds}
            option["attrs"] |= {name: True for name, values in marks.items() if value in values}
        return option

    def _described_by(self, option: Mapping[str, Any]) -> str:
        """The ids of a point's wording and of the remark that is made when it is chosen."""
        own = option["attrs"]["id"]
        ids = [f"{own}_wording"] if option["wording"] else []
        if self.counted is not None and str(option["value"]) in self.counted.at_odds:
            whole = own.removesuffix(f"_{option['index']}")
            ids.append(f"{whole}_at_odds")
        return " ".join(ids)
