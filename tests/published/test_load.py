"""Landings of one session, and the rest between sessions of jumps, as public texts give them.

Sources: NSCA, Essentials of Strength Training and Conditioning, as quoted in public texts (beginners 80 to 100 foot
contacts a session; others 60 to 80, 60 to 100, 50 to 80; 48 to 72 hours between sessions). The chapter itself was not
read. Halving for under-tens is our own caution: no published source.
"""

from __future__ import annotations

from datetime import date, timedelta

from clubapp.engine.load import BEGINNERS, LOWEST, UNDER_TENS, Load, Span, notes

DAY = date(2026, 3, 14)
QUOTED = ((80, 100), (60, 80), (60, 100), (50, 80))
# 4 times 10 landings on both legs and 2 times 10 on one: 80 for each leg, the lower end for beginners.
SESSION_OF_BEGINNERS = Load(contacts=4 * 10 + 2 * 10 + 2 * 10)


def test_the_ranges_are_the_published_ones() -> None:
    assert BEGINNERS in QUOTED
    assert min(QUOTED) == LOWEST
    assert (LOWEST[0] / 2, LOWEST[1] / 2) == UNDER_TENS


def test_the_session_of_beginners_is_at_the_lower_end_of_the_range_and_far_over_it_for_under_tens() -> None:
    (older,), (younger,) = notes(12, SESSION_OF_BEGINNERS, DAY), notes(9, SESSION_OF_BEGINNERS, DAY)
    assert (older.over, younger.over) == (False, True)


def test_forty_eight_hours() -> None:
    def close(days: int) -> bool:
        before = [(DAY - timedelta(days=days), SESSION_OF_BEGINNERS)]
        return any(note.span is Span.CLOSE for note in notes(12, SESSION_OF_BEGINNERS, DAY, before))

    assert [close(days) for days in (1, 2, 3)] == [True, False, False]
