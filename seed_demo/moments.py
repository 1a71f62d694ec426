"""The demo's calendar. It is literal: the demo is the same on whatever day it is loaded."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo

TIME_ZONE: Final = "America/Chicago"
ZONE: Final = ZoneInfo(TIME_ZONE)

MINUTE: Final = timedelta(minutes=1)
HOUR: Final = timedelta(hours=1)
DAY: Final = timedelta(days=1)


def at(moment: str) -> datetime:
    """A moment by the association's clock.

    >>> at("2026-10-06 19:00").isoformat()
    '2026-10-06T19:00:00-05:00'
    """
    return datetime.fromisoformat(moment).replace(tzinfo=ZONE)


def on(day: datetime, clock: str) -> datetime:
    """The day of a moment, at a time such as "19:00"."""
    return at(f"{day.astimezone(ZONE):%Y-%m-%d} {clock}")


SEASON: Final = "2026–27"
SEASON_STARTS: Final = date(2026, 9, 1)
SEASON_ENDS: Final = date(2027, 3, 31)

FOUNDED: Final = at("2026-08-10 09:00")
RUBRIC_DRAFTED: Final = at("2026-08-24 20:00")
RUBRIC_PROPOSED: Final = at("2026-08-26 20:30")
RUBRIC_APPROVED: Final = at("2026-08-28 08:15")
GAMES_BEGIN: Final = at("2026-10-01 12:00")
SCHEDULED: Final = at("2026-09-20 18:00")
NEXT_EDITION_DRAFTED: Final = at("2026-11-22 15:00")
NOW: Final = at("2026-11-25 09:00")
"""What was to happen later hasn't happened yet."""
