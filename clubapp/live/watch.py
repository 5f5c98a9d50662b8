"""What a phone is told to watch: who stands where, what was counted, what rings. First names and places, no more."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any
from uuid import UUID

from django.urls import reverse
from django.utils import timezone

from clubapp.live import field_words, queries
from clubapp.live.access import Watcher
from clubapp.live.models import Heard, Whereabouts
from clubapp.live.onfield import Alarm, OnField
from clubapp.live.page import Evening, evening_of
from clubapp.live.ringing import Level, What, level
from clubapp.people.access import is_head_coach
from clubapp.planning.models import Station
from clubapp.register import queries as register


@dataclass(frozen=True)
class Shown:
    """An alarm in words. mine: this adult raised it or stands at its station. answer: who is coming, once heard."""

    alarm: Alarm
    title: str
    note: str
    answer: str
    mine: bool
    child: UUID | None

    @property
    def what(self) -> str:
        return str(self.alarm.what)

    @property
    def may_hear(self) -> bool:
        """Nobody answers the own call for help. What was heard once can be heard again: it may ring anew."""
        return self.alarm.what is not What.HELP or not (self.answer or self.mine)

    @property
    def about_child(self) -> bool:
        return self.alarm.what in (What.MISSING, What.AWAY)


@dataclass(frozen=True)
class Watch:
    """station: whose page this is, None for the whole field."""

    evening: Evening
    station: Station | None = None

    @property
    def field(self) -> OnField:
        return self.evening.field

    @property
    def watcher(self) -> Watcher:
        return self.evening.watcher

    @property
    def me(self) -> str:
        """This adult's name, as others know it."""
        person = self.watcher.user or self.watcher.visitor
        return person.name if person else ""

    @property
    def round(self) -> int:
        """The one that is on, or to which the children walk; behind the last one the last."""
        seen, rounds = self.evening.seen, len(self.evening.plan.rounds) if self.evening.plan else 0
        if seen.kind == "work" and seen.round:
            return seen.round
        return self.evening.next_round or max(1, rounds)

    @cached_property
    def adults(self) -> list[str]:
        """Adults of the evening by name: marked here (or, while none is, who may work in it), at a station, let in."""
        session = self.evening.session
        marked = [row.name for row in register.current_adults(session.pk).values() if row.here]
        held = [name for names in self.evening.holders.values() for name in names]
        helpers = [visitor.name for visitor in queries.helpers(session)]
        return sorted({*(marked or queries.workers(session)), *held, *helpers, self.me})

    @property
    def alarms(self) -> list[Shown]:
        return [self._shown(alarm) for alarm in self.field.alarms]

    @property
    def ringing(self) -> list[Shown]:
        """What rings for this adult at this moment, on whatever page."""
        now = int(timezone.now().timestamp() * 1000)
        least = Level.LEADER if self.watcher.leads else Level.ALL
        return [shown for shown in self.alarms if level(shown.alarm.ringing, now, self.round) >= least]

    @property
    def found(self) -> list[str]:
        names, wall = self.evening.names, self.evening.wall
        return [
            field_words.found(names.get(row.athlete_id, ""), row, wall(row.tapped_at)) for row in self.field.found()
        ]

    def name(self, child: UUID | None) -> str:
        return self.evening.names.get(child, "") if child else ""

    def _shown(self, alarm: Alarm) -> Shown:
        place = self.evening.stations.get(alarm.station) if alarm.station else None
        words = field_words.Words(self.name(alarm.athlete), place, self.evening.wall(alarm.at))
        return Shown(
            alarm,
            field_words.title(alarm, words),
            field_words.note(alarm, words, helper=self.watcher.visitor is not None),
            self._answer(alarm.heard),
            self._mine(alarm),
            alarm.athlete,
        )

    def _answer(self, heard: Heard | None) -> str:
        """Who is coming, once somebody heard."""
        if heard is None:
            return ""
        session = self.evening.session
        coach = heard.by is not None and (heard.by_id == session.leader_id or is_head_coach(heard.by, session.club_id))
        return field_words.answer(heard.name, coach=coach)

    def _mine(self, alarm: Alarm) -> bool:
        """Raised by this adult, or at the station whose page this is."""
        row, watcher = alarm.said_by, self.watcher
        raised = (row.by is not None and row.by == watcher.user) or (
            row.visitor is not None and row.visitor == watcher.visitor
        )
        return raised or (self.station is not None and alarm.station == self.station.pk)

    @cached_property
    def for_phone(self) -> dict[str, Any]:
        """All that counting and ringing need without a network."""
        plan = self.evening.plan
        return {
            "leads": self.watcher.leads,
            "me": self.me,
            "station": str(self.station.pk) if self.station else None,
            "round": self.round,
            "version": self.evening.version,
            "where": reverse("live:where", args=[self.evening.session.pk]),
            "heard": reverse("live:heard", args=[self.evening.session.pk]),
            "stations": [self._station(row) for row in self.evening.stations.values()],
            "groups": [{"index": group.index, "bib": group.bib} for group in plan.groups] if plan else [],
            "rounds": [[str(at) if at else None for at in row] for row in plan.rounds] if plan else [],
            "children": list(self._children()),
            "adults": self.adults,
            "alarms": [self._ringing(alarm) for alarm in self.alarms],
        }

    @property
    def told(self) -> str:
        """As text for an attribute: fragments hold no script elements."""
        return json.dumps(self.for_phone, separators=(",", ":"))

    def _station(self, row: Station) -> dict[str, Any]:
        ids = [self.evening.session.pk, row.pk]
        count, call = reverse("live:count", args=ids), reverse("live:help", args=ids)
        return {"id": str(row.pk), "number": row.number, "name": row.name, "count": count, "help": call}

    def _children(self) -> Iterator[dict[str, Any]]:
        plan = self.evening.plan
        for child in sorted(self.field.here, key=lambda child: (self.name(child).casefold(), str(child))):
            word = self.field.words.get(child)
            group = plan.group_of(child) if plan else None
            kind = word.kind if word else Whereabouts.Kind.GROUP
            yield {
                "id": str(child),
                "name": self.name(child),
                "group": group.index if group else None,
                "place": kind,
                "guest": [word.round, word.group] if word and kind == Whereabouts.Kind.GUEST else None,
                "out": bool(word and word.reason == Whereabouts.Reason.HURT),
            }

    def _ringing(self, shown: Shown) -> dict[str, Any]:
        row = shown.alarm.ringing
        return {
            "id": str(shown.alarm.id),
            "what": shown.what,
            "mine": shown.mine,
            "at_ms": row.at_ms,
            "received_ms": row.received_ms,
            "round": row.round,
            "heard_ms": row.heard_ms,
            "heard_round": row.heard_round,
        }


def watch_of(watcher: Watcher, station: Station | None = None) -> Watch:
    return Watch(evening_of(watcher), station)
