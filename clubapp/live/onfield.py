"""What adults said on the field tonight, read once: where each child is, the last count of each station, what rings."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import cached_property
from itertools import takewhile
from uuid import UUID

from django.utils import timezone

from clubapp.live import incident_rows
from clubapp.live.models import Call, HeadCount, Heard, SaidBy, Whereabouts
from clubapp.live.ringing import Ringing, What
from clubapp.live.standing import OUT, Standing, expected_at, last_words, place, standing
from clubapp.rotation.queries import PlanView

Kind, Reason = Whereabouts.Kind, Whereabouts.Reason
FOUND_SHOWN = timedelta(minutes=2)


@dataclass(frozen=True)
class Alarm:
    """Something an adult may have to see to. id: the op_id of the row it comes from. short: how many nobody named."""

    id: UUID
    what: What
    at: datetime
    received: datetime
    said_by: SaidBy = field(repr=False)
    athlete: UUID | None = None
    station: UUID | None = None
    round: int | None = None
    reason: str = ""
    with_whom: str = ""
    counted: int = 0
    expected: int = 0
    short: int = 0
    heard: Heard | None = None

    @property
    def ringing(self) -> Ringing:
        heard = self.heard
        return Ringing(
            self.what,
            _ms(self.at),
            _ms(self.received),
            self.round,
            _ms(heard.tapped_at) if heard else None,
            heard.round if heard else None,
        )

    @property
    def late_s(self) -> int:
        """How long it took to get here."""
        return max(0, round((self.received - self.at).total_seconds()))


def _ms(moment: datetime) -> int:
    return round(moment.timestamp() * 1000)


@dataclass(frozen=True)
class Tally:
    """What is known of a station in a round. short, extra: children too few or too many of whom nobody said who."""

    expected: int
    count: HeadCount | None = None
    short: int = 0
    extra: int = 0


@dataclass(frozen=True)
class OnField:
    """said: every word of the session about its children; heard: the last by what it is about."""

    here: frozenset[UUID]
    plan: PlanView | None
    said: tuple[Whereabouts, ...] = field(repr=False)
    counts: tuple[HeadCount, ...] = field(repr=False)
    calls: tuple[Call, ...] = field(repr=False)
    heard: Mapping[UUID, Heard] = field(repr=False)
    hurt: tuple[incident_rows.Hurt, ...] = ()

    @cached_property
    def words(self) -> dict[UUID, Whereabouts]:
        return last_words(self.said)

    def standing(self, round_no: int) -> Standing:
        return standing(self.here, self.plan, self.words, round_no)

    def expected(self, station_id: UUID, round_no: int) -> tuple[UUID, ...]:
        return expected_at(self.plan, self.standing(round_no), station_id)

    def count(self, station_id: UUID, round_no: int) -> HeadCount | None:
        """The last count of a station in a round."""
        rows = [row for row in self.counts if (row.station_id, row.round) == (station_id, round_no)]
        return max(rows, key=_by_tap, default=None)

    def tally(self, station_id: UUID, round_no: int) -> Tally:
        count = self.count(station_id, round_no)
        expected = len(self.expected(station_id, round_no))
        return Tally(expected, count, self.unnamed(count), self.extra(count)) if count else Tally(expected)

    def unnamed(self, count: HeadCount) -> int:
        """How many were too few in a count, and nobody said yet who."""
        named = {row.athlete_id for row in self.said if row.count == count.op_id and row.kind in OUT}
        return max(0, count.expected - count.counted - len(named))

    def extra(self, count: HeadCount) -> int:
        """How many were too many, and nobody said yet who."""
        named = {row.athlete_id for row in self.said if row.count == count.op_id and row.kind not in OUT}
        return max(0, count.counted - count.expected - len(named))

    @cached_property
    def alarms(self) -> tuple[Alarm, ...]:
        """What is not settled, the oldest first."""
        found = [*self._children(), *self._short(), *self._calls(), *self._hurt()]
        return tuple(sorted(found, key=lambda alarm: (alarm.at, str(alarm.id))))

    def found(self, now: datetime | None = None) -> list[Whereabouts]:
        """Children who were missing and of whom an adult said lately where they are."""
        since = (now or timezone.now()) - FOUND_SHOWN
        rows = (row for child, row in self.words.items() if child in self.here and row.kind != Kind.MISSING)
        return [row for row in rows if row.tapped_at > since and self._was_missing(row)]

    def _was_missing(self, row: Whereabouts) -> bool:
        before = [other for other in self._about(row.athlete_id) if place(other) < place(row)]
        return bool(before) and before[-1].kind == Kind.MISSING

    def _about(self, child: UUID) -> list[Whereabouts]:
        return sorted((row for row in self.said if row.athlete_id == child), key=place)

    def _children(self) -> Iterator[Alarm]:
        for child, word in self.words.items():
            if child in self.here and word.kind in OUT and word.reason != Reason.HURT:
                yield self._alarm_of(word, self._since(child, word))

    def _since(self, child: UUID, word: Whereabouts) -> Whereabouts:
        """The first of the words that say the same without a break: said again it does not begin anew."""
        backwards = reversed(self._about(child))
        return list(takewhile(lambda row: row.kind == word.kind, backwards))[-1]

    def _alarm_of(self, word: Whereabouts, first: Whereabouts) -> Alarm:
        return Alarm(
            first.op_id,
            What(word.kind),
            first.tapped_at,
            first.received_at,
            first,
            athlete=word.athlete_id,
            station=first.station_id,
            round=first.round,
            reason=word.reason,
            with_whom=word.with_whom,
            heard=self.heard.get(first.op_id),
        )

    def _short(self) -> Iterator[Alarm]:
        """The last count of each station, whichever round it was of."""
        last = {row.station_id: row for row in sorted(self.counts, key=_by_tap)}
        for row in last.values():
            if (short := self.unnamed(row)) and not self._settled(row.op_id):
                yield Alarm(
                    row.op_id,
                    What.SHORT,
                    row.tapped_at,
                    row.received_at,
                    row,
                    station=row.station_id,
                    round=row.round,
                    counted=row.counted,
                    expected=row.expected,
                    short=short,
                    heard=self.heard.get(row.op_id),
                )

    def _calls(self) -> Iterator[Alarm]:
        for row in self.calls:
            if not self._settled(row.op_id):
                heard = self.heard.get(row.op_id)
                at = row.tapped_at, row.received_at
                yield Alarm(row.op_id, What.HELP, *at, row, station=row.station_id, round=row.round, heard=heard)

    def _hurt(self) -> Iterator[Alarm]:
        """A suspected head injury, until the leader has heard of it."""
        for hurt in self.hurt:
            if not self.heard.get(hurt.op_id):
                at = hurt.tapped_at, hurt.received_at
                yield Alarm(hurt.op_id, What.HURT, *at, hurt.said_by, athlete=hurt.athlete, station=hurt.station)

    def _settled(self, about: UUID) -> bool:
        heard = self.heard.get(about)
        return heard is not None and heard.settled


def _by_tap(row: HeadCount | Heard) -> tuple[datetime, str]:
    return row.tapped_at, str(row.op_id)


def onfield_of(session_id: UUID, here: frozenset[UUID], plan: PlanView | None) -> OnField:
    people = ("by", "visitor")
    return OnField(
        here,
        plan,
        tuple(Whereabouts.objects.filter(session=session_id).select_related(*people)),
        tuple(HeadCount.objects.filter(session=session_id).select_related(*people)),
        tuple(Call.objects.filter(session=session_id).select_related(*people)),
        _last_heard(Heard.objects.filter(session=session_id).select_related(*people)),
        tuple(incident_rows.hurt_in(session_id)),
    )


def _last_heard(rows: Iterable[Heard]) -> dict[UUID, Heard]:
    """By what it is about; what was settled once stays so."""
    found: dict[UUID, Heard] = {}
    for row in sorted(rows, key=_by_tap):
        if row.about not in found or row.settled or not found[row.about].settled:
            found[row.about] = row
    return found
