"""Where each child who is here is to be in a round: with a group, or away. Plain sums over words already read.

Every child here is in exactly one of the two, whatever was said in whatever order.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from clubapp.live.models import Whereabouts
from clubapp.rotation.queries import PlanView

Kind = Whereabouts.Kind
OUT = frozenset({Kind.AWAY, Kind.MISSING})


@dataclass(frozen=True)
class Standing:
    """One round. groups: children by the group they are to stand with. away: the others; None = in no group yet."""

    round: int
    groups: Mapping[int, tuple[UUID, ...]]
    away: Mapping[UUID, Whereabouts | None]

    def group_of(self, child: UUID) -> int | None:
        return next((group for group, children in self.groups.items() if child in children), None)


def place(row: Whereabouts) -> tuple[datetime, str, str]:
    """The order of what was said: by the phones' hybrid time, ties by device."""
    return row.tapped_at, row.device, str(row.op_id)


def last_words(rows: Iterable[Whereabouts]) -> dict[UUID, Whereabouts]:
    """What counts for each child a word was said about."""
    return {row.athlete_id: row for row in sorted(rows, key=place)}


def standing(
    here: Collection[UUID], plan: PlanView | None, words: Mapping[UUID, Whereabouts], round_no: int
) -> Standing:
    """words: the last one about each child."""
    placed = plan.groups_in(round_no) if plan else ()
    groups: dict[int, list[UUID]] = {group.index: [] for group in placed}
    home = {child: group.index for group in placed for child in group.athletes}
    away: dict[UUID, Whereabouts | None] = {}
    for child in sorted(here):
        word = words.get(child)
        group = home.get(child)
        if word is not None and word.kind == Kind.GUEST and word.round == round_no and word.group in groups:
            group = word.group
        if word is not None and word.kind in OUT:
            away[child] = word
        elif group is None:
            away[child] = None
        else:
            groups[group].append(child)
    return Standing(round_no, {index: tuple(children) for index, children in groups.items()}, away)


def expected_at(plan: PlanView | None, stand: Standing, station_id: UUID) -> tuple[UUID, ...]:
    """The children who are to stand at a station in the round."""
    if plan is None:
        return ()
    groups = plan.groups_at(station_id, stand.round)
    return tuple(child for group in groups for child in stand.groups[group.index])
