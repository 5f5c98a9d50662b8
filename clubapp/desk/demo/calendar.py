"""The Saturdays behind the demo."""

from __future__ import annotations

from datetime import date, timedelta

SATURDAY = 5


def saturday(today: date, weeks_ago: int) -> date:
    """The last Saturday before today, or one of those before it."""
    since = (today.weekday() - SATURDAY) % 7 or 7
    return today - timedelta(days=since + 7 * (weeks_ago - 1))
