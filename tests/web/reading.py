"""A page's text as a reader gets it: of one element, or all of it, alternative texts included."""

from __future__ import annotations

from html.parser import HTMLParser

_VOID = {"area", "br", "hr", "img", "input", "link", "meta", "polyline", "rect", "circle", "path"}
_SPOKEN = {"alt", "title", "aria-label", "placeholder", "content", "value"}


class _Reader(HTMLParser):
    """Gathers text inside the first element of a class, or everywhere if no class is asked for."""

    def __init__(self, inside: str) -> None:
        super().__init__()
        self.inside = inside
        self.depth = 0 if inside else 1
        self.done = False
        self.texts: list[str] = []
        self.spoken: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        classes = (dict(attrs).get("class") or "").split()
        if not self.depth and self.inside in classes and not self.done:
            self.depth = 1
        elif self.depth and tag not in _VOID:
            self.depth += 1
        if self.depth:
            self.spoken += [value for name, value in attrs if name in _SPOKEN and value]

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if self.depth:
            self.spoken += [value for name, value in attrs if name in _SPOKEN and value]

    def handle_endtag(self, tag: str) -> None:
        if self.depth and self.inside and tag not in _VOID:
            self.depth -= 1
            self.done = self.done or not self.depth

    def handle_data(self, data: str) -> None:
        if self.depth:
            self.texts.append(data)


def text_in(page: str, inside: str) -> str:
    """The text of the first element of this class, with single spaces."""
    reader = _Reader(inside)
    reader.feed(page)
    return " ".join(" ".join(reader.texts).split())


def alternatives_in(page: str, inside: str) -> list[str]:
    """What the first element of this class says without showing it."""
    reader = _Reader(inside)
    reader.feed(page)
    return reader.spoken
