"""Which of a child's marks counts. Plain sums over marks already read; nothing here asks the database.

The later tap wins by hybrid time, ties by device: `actions` has already moved a tap that saw another behind it and one
from a fast clock back to its receipt. What an adult saw on the field stands above a guardian's notice, and a notice
stands until the guardian takes it back.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from clubapp.register.models import AdultMark, Brought, ComingLate, Mark

CLEARED, TOLD, LEFT = Mark.Kind.CLEARED, Mark.Kind.TOLD, Mark.Kind.LEFT
HERE_KINDS = frozenset({Mark.Kind.HERE, Mark.Kind.EASY, Mark.Kind.LATE})


def place(mark: Mark | AdultMark | Brought | ComingLate) -> tuple[datetime, str, str]:
    return mark.tapped_at, mark.device, str(mark.op_id)


def in_order(marks: Iterable[Mark]) -> list[Mark]:
    return sorted(marks, key=place)


def part(op_id: UUID, child: UUID) -> UUID:
    """The id of one child's part in a tap that touches many."""
    return uuid.uuid5(op_id, str(child))


def counting(ordered: Sequence[Mark]) -> Mark | None:
    """The mark that counts, or None while nobody has said anything."""
    seen = next((mark for mark in reversed(ordered) if not mark.by_guardian), None)
    return seen if seen is not None and seen.kind != CLEARED else notice(ordered)


def notice(ordered: Sequence[Mark]) -> Mark | None:
    """The guardian's "cannot come" that was not taken back."""
    last = next((mark for mark in reversed(ordered) if mark.by_guardian), None)
    return last if last is not None and last.kind == TOLD else None


def version(mark: Mark) -> int:
    """The session's counter when the mark was taken in."""
    return int(mark.answer.get("version", 0))


def clash(ordered: Sequence[Mark]) -> tuple[Mark, Mark] | None:
    """Two marks of two devices with different values, neither of which saw the other: somebody has to look.

    Who was here and is then seen off is none: a phone without a network may not know that another marked the child.
    """
    seen = [mark for mark in ordered if not mark.by_guardian]
    if not seen:
        return None
    last = seen[-1]
    known = last.base_version  # whoever marked after `other` saw everything up to here
    for other in reversed(seen[:-1]):
        seen_off = last.kind == LEFT and other.kind in HERE_KINDS
        differ = _source(other) != _source(last) and _value(other) != _value(last)
        if differ and not seen_off and known < version(other):
            return other, last
        known = max(known, other.base_version)
    return None


def waits(ordered: Sequence[Mark]) -> bool:
    """Somebody must see this child off: it is here, or two adults differ whether it is, or its leaving was undone."""
    seen = [mark for mark in ordered if not mark.by_guardian]
    if not seen or seen[-1].kind in HERE_KINDS:
        return bool(seen)
    pair = clash(ordered)
    return (pair is not None and pair[0].kind in HERE_KINDS) or leaving_undone(ordered)


def leaving_undone(ordered: Sequence[Mark]) -> bool:
    """An adult said that the child is gone and then took it back: nobody has said where it is."""
    seen = [mark for mark in ordered if not mark.by_guardian]
    said = next((mark for mark in reversed(seen) if mark.kind != CLEARED), None)
    return said is not None and said.kind == LEFT and seen[-1].kind == CLEARED


def _source(mark: Mark) -> str:
    return mark.device or str(mark.by_id)


def _value(mark: Mark) -> tuple[Any, ...]:
    return mark.kind, sorted(mark.leave_out), mark.with_whom, mark.went
