"""What an evening asks of one child: told only near a range or over it, and never what is left."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from clubapp.engine.load import BEGINNERS, UNDER_TENS, Load, Span, contacts_range, most_contacts, notes, total

DAY = date(2026, 3, 14)


def jumps(contacts: int) -> Load:
    return Load(contacts=contacts)


def spans(age: int | None, contacts: int, *before: tuple[int, int]) -> list[tuple[Span, bool]]:
    found = notes(age, jumps(contacts), DAY, [(DAY - timedelta(days=ago), jumps(n)) for ago, n in before])
    return [(note.span, note.over) for note in found]


def test_loads_add_up() -> None:
    turn = Load(sprints=1, metres=20, contacts=3, hard_s=5)
    assert turn.times(4) == total([turn] * 4) == Load(4, 80, 12, 20)
    assert total([]) == Load()


def test_under_tens_and_a_child_of_unknown_age_take_the_careful_range() -> None:
    assert [contacts_range(age) for age in (0, 9, None)] == [UNDER_TENS] * 3
    assert contacts_range(10) == BEGINNERS
    with pytest.raises(ValueError, match="negative"):
        contacts_range(-1)


def test_one_session_from_near_to_over() -> None:
    assert [spans(12, n) for n in (79, 80, 100, 101)] == [[], *[[(Span.SESSION, False)]] * 2, [(Span.SESSION, True)]]
    assert [spans(9, n) for n in (24, 25, 41)] == [[], [(Span.SESSION, False)], [(Span.SESSION, True)]]
    (note,) = notes(9, jumps(30), DAY)
    assert (note.low, note.high, note.halved, note.load) == (25, 40, True, jumps(30))


def test_what_lies_less_than_two_days_back_is_added() -> None:
    assert spans(12, 60, (1, 50)) == [(Span.CLOSE, True)]
    assert spans(12, 60, (2, 50)) == []
    assert spans(12, 40, (0, 45)) == [(Span.CLOSE, False)]
    assert spans(12, 60, (-1, 50)) == []  # a session to come is none before it


def test_seven_days_are_two_to_three_sessions() -> None:
    assert spans(12, 70, (3, 50), (6, 50)) == [(Span.WEEK, False)]
    assert spans(12, 70, (3, 50), (7, 50)) == []
    assert spans(9, 24, (2, 49), (5, 49)) == [(Span.WEEK, True)]


def test_a_session_that_adds_nothing_is_told_nothing() -> None:
    assert spans(9, 0, (1, 200)) == []


def test_with_as_many_as_a_suggestion_may_bring_nothing_is_over() -> None:
    for age, before in ((9, []), (12, [(1, 60)]), (12, [(3, 190), (4, 70)]), (9, [(0, 90)])):
        earlier = [(DAY - timedelta(days=ago), jumps(n)) for ago, n in before]
        most = most_contacts(age, DAY, earlier)
        assert not any(note.over for note in notes(age, jumps(most), DAY, earlier)) or most == 0
        assert any(note.over for note in notes(age, jumps(most + 1), DAY, earlier))
