"""Times taken by hand: rounded up to the tenth, and several watches on one runner made one. Whole milliseconds only.

Floating seconds would round wrongly: 12.3 - 2.1 is 10.200000000000001, which is more than 10.2 and would become 10.3.
"""

from __future__ import annotations

from collections.abc import Sequence

TENTH_MS, HUNDREDTH_MS = 100, 10


def up_to(ms: int, step: int) -> int:
    """The next whole number of steps; an exact one stays."""
    return -(-ms // step) * step


def rounded(ms: int) -> int:
    """A hand time in milliseconds: up to the next tenth of a second unless it is one (TR19, "Hand timing")."""
    return up_to(ms, TENTH_MS)


def combined(watches: Sequence[int], *, by_hand: bool = True) -> int:
    """One time, in milliseconds, from what each watch on one runner says; by_hand: each is rounded first.

    Two of three that agree are the time; where all differ it is the middle one; of two it is the longer (TR19). All
    three are the value behind the middle of the sorted ones, which is also our answer for four and more.

    Raises:
        ValueError: there is no watch.
    """
    if not watches:
        raise ValueError("no watch, no time")
    ordered = sorted(rounded(ms) if by_hand else ms for ms in watches)
    return ordered[len(ordered) // 2]


def text(ms: int, *, by_hand: bool = True) -> str:
    """ "10.2" by hand, else "10.18"; from a minute on "1:02.4". Up to the digit that is shown, never down."""
    step = TENTH_MS if by_hand else HUNDREDTH_MS
    minutes, rest = divmod(up_to(ms, step), 60_000)
    seconds, part = divmod(rest // step, 1000 // step)
    places = 1 if by_hand else 2
    figures = f"{seconds}.{part:0{places}d}"
    return f"{minutes}:{figures:0>{places + 3}}" if minutes else figures
