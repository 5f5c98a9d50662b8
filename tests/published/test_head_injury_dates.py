"""Earliest days after a suspected head injury, and the wait after thunder, against published guidance.

Sources: UK concussion guidelines for non-elite (grassroots) sport, 2023, as set out at 2savealife.co.uk and
kickboxinggb.com: rest of at least 24 hours, no competition before 21 days, no return on the day. Australian Sports
Commission, concussionsinsport.gov.au (static.ausport.gov.au/concussion_in_sport, p. 10), 18 years and younger: not
before 14 days after all signs have gone, with medical clearance. Lightning: NCAA Sports Medicine Handbook, quoted by
AOSSM (sportsmed.org, p. 52): 30 minutes after the last thunder, every new thunder begins them again.
"""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest

from clubapp.engine.safety import FLASH_TO_BANG_S, THUNDER_WAIT_S, Guide, earliest_returns, not_before


def on(guide: Guide, injured: date, gone: date | None = None) -> date | None:
    return next(row.on for row in earliest_returns(injured, gone) if row.guide is guide)


def test_uk_rest_and_competition() -> None:
    """The day of the injury is day 0; day 21 is the first on which competition is thought of."""
    assert on(Guide.UK_REST, date(2026, 3, 7)) == date(2026, 3, 8)
    assert on(Guide.UK_COMPETITION, date(2026, 3, 7)) == date(2026, 3, 28)


def test_over_the_end_of_a_month_in_a_leap_year() -> None:
    assert on(Guide.UK_COMPETITION, date(2028, 2, 12)) == date(2028, 3, 4)


def test_australia_counts_from_the_day_the_signs_went() -> None:
    assert on(Guide.AU_SIGNS, date(2026, 3, 7), date(2026, 3, 17)) == date(2026, 3, 31)
    assert on(Guide.AU_SIGNS, date(2026, 3, 7)) is None


@pytest.mark.parametrize(
    ("gone", "until"), [(date(2026, 3, 9), date(2026, 3, 28)), (date(2026, 3, 17), date(2026, 3, 31))], ids=str
)
def test_the_stricter_of_the_two_is_shown(gone: date, until: date) -> None:
    assert not_before(date(2026, 3, 7), gone) == until


@pytest.mark.parametrize(("thunder", "clear"), [("14:00", "14:30"), ("14:29", "14:59")])
def test_thirty_minutes_after_the_last_thunder(thunder: str, clear: str) -> None:
    heard = datetime.strptime(thunder, "%H:%M")
    assert f"{heard + timedelta(seconds=THUNDER_WAIT_S):%H:%M}" == clear
    assert FLASH_TO_BANG_S == 30
