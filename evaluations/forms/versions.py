"""The version that a page was made from comes back with it."""

from __future__ import annotations

from django.http import QueryDict

NO_VERSION = 0
"""Stored versions begin at 1: what names none is refused like what names an old one."""


def posted_version(data: QueryDict) -> int:
    return _number(data.get("version", ""))


def posted_versions(data: QueryDict, count: int) -> list[int]:
    """The versions of several evaluations on one page, in its order; see `joined_versions`."""
    numbers = [_number(part) for part in data.get("version", "").split("-")]
    fits = len(numbers) == count and NO_VERSION not in numbers
    return numbers if fits else [NO_VERSION] * count


def joined_versions(versions: list[int]) -> str:
    """Several versions as one value: a page with one form for a whole crew has one of them."""
    return "-".join(str(version) for version in versions)


def _number(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else NO_VERSION
