"""A limit on how often one address may ask about codes."""

from __future__ import annotations

from datetime import datetime

from django.core.cache import cache

QUESTIONS_A_MINUTE = 30


def may_ask(*, address: str, now: datetime) -> bool:
    """Count a question from a network address. False: too many in this minute.

    The count is kept in the cache that all processes share.
    """
    key = f"verify:{address}:{now:%Y%m%d%H%M}"
    if cache.add(key, 1, timeout=120):
        return True
    try:
        return cache.incr(key) <= QUESTIONS_A_MINUTE
    except ValueError:  # it ran out between the two calls
        return True
