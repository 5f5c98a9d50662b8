"""Reads over plans."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import timedelta
from itertools import accumulate, combinations
from typing import Any
from uuid import UUID

from django.db.models import Q
from django.utils import timezone

from clubapp.core.keeping import AFTER_END
from clubapp.core.registry import registry
from clubapp.planning.models import Session
from clubapp.register import attendance
from clubapp.register import queries as register
from clubapp.rotation.models import Plan, Think
from clubapp.rotation.wishes import Wishes, from_stored

HALF_LIFE_WEEKS = 3  # how long until having been together counts half
SILENT_SECONDS = 20  # a search that was not heard of for so long has ended without saying so
WEEKS_REMEMBERED = 26  # by then it counts next to nothing


@dataclass(frozen=True)
class GroupView:
    """Children who move round together, by the colour they wear; index is the group's number in the rotation."""

    index: int
    bib: str
    athletes: tuple[UUID, ...]


@dataclass(frozen=True)
class Earlier:
    """The groups as they were up to and with a round, before a repair."""

    until: int
    groups: tuple[GroupView, ...]


@dataclass(frozen=True)
class EntryView:
    """One part of the evening: gather, warm-up, work, change, water, game or cool-down; starts_s after its start."""

    kind: str
    seconds: int
    round: int | None
    starts_s: int


@dataclass(frozen=True)
class PlanView:
    """A plan ready to show: who is in which group, and which group is where in which round (rounds count from 1).

    rounds[round - 1][group index] is a station's id, or None where that group rests. groups: as they are from now on;
    earlier: as they were in rounds before a repair, in the order of rounds.
    """

    id: UUID
    session_id: UUID
    version: int
    seed: int
    engine: str
    why: str
    before: UUID | None
    wishes: Wishes
    groups: tuple[GroupView, ...]
    rounds: tuple[tuple[UUID | None, ...], ...]
    timetable: tuple[EntryView, ...]
    locked: frozenset[str]
    proof: Mapping[str, Any]
    earlier: tuple[Earlier, ...] = ()

    @property
    def seconds(self) -> int:
        """From the start of the first part to the end of the last."""
        return sum(entry.seconds for entry in self.timetable)

    @property
    def placed(self) -> frozenset[UUID]:
        return frozenset(child for group in self.groups for child in group.athletes)

    def station_of(self, group: int, round_no: int) -> UUID | None:
        return self.rounds[round_no - 1][group]

    def group_at(self, station_id: UUID, round_no: int) -> GroupView | None:
        """The first group at a station in a round; stations for one group have no other."""
        return next(iter(self.groups_at(station_id, round_no)), None)

    def groups_at(self, station_id: UUID, round_no: int) -> tuple[GroupView, ...]:
        return tuple(self._standing(station_id, round_no))

    def resting(self, round_no: int) -> tuple[GroupView, ...]:
        return tuple(self._standing(None, round_no))

    def groups_in(self, round_no: int) -> tuple[GroupView, ...]:
        """The groups as they are in a round."""
        return next((one.groups for one in self.earlier if round_no <= one.until), self.groups)

    def group_of(self, athlete_id: UUID) -> GroupView | None:
        return next((group for group in self.groups if athlete_id in group.athletes), None)

    def work(self, round_no: int) -> EntryView | None:
        """The part of the evening in which a round is worked."""
        return next((e for e in self.timetable if e.kind == "work" and e.round == round_no), None)

    def _standing(self, station_id: UUID | None, round_no: int) -> Iterator[GroupView]:
        where = self.rounds[round_no - 1] if 0 < round_no <= len(self.rounds) else ()
        groups = self.groups_in(round_no)
        return (groups[group] for group, station in enumerate(where) if station == station_id)


def current_plan(session_id: UUID) -> PlanView | None:
    """The newest plan of a session, or None before the first."""
    row = newest(session_id)
    return shown(row) if row else None


def plan_of_version(session_id: UUID, version: str) -> PlanView | None:
    """The plan a page shows, by the number the page sends."""
    row = Plan.objects.filter(session=session_id, version=version).first() if version.isdecimal() else None
    return shown(row) if row else None


def newest(session_id: UUID) -> Plan | None:
    return Plan.objects.filter(session=session_id).order_by("-version").first()


def plan_by_id(plan_id: UUID) -> PlanView | None:
    row = Plan.objects.filter(pk=plan_id).first()
    return shown(row) if row else None


def shown(plan: Plan) -> PlanView:
    """A stored row as a value."""
    return PlanView(
        id=plan.pk,
        session_id=plan.session_id,
        version=plan.version,
        seed=plan.seed,
        engine=plan.engine,
        why=plan.why,
        before=plan.before_id,
        wishes=from_stored(plan.wishes),
        groups=_groups(plan.answer),
        rounds=tuple(tuple(UUID(at) if at else None for at in row) for row in plan.answer["rounds"]),
        timetable=entries(plan.answer),
        locked=frozenset(plan.locked),
        proof=plan.proof,
        earlier=tuple(Earlier(one["until"], _groups(one)) for one in plan.answer.get("earlier", [])),
    )


def _groups(answer: Mapping[str, Any]) -> tuple[GroupView, ...]:
    return tuple(
        GroupView(index, row["bib"], tuple(UUID(child) for child in row["athletes"]))
        for index, row in enumerate(answer["groups"])
    )


def entries(answer: Mapping[str, Any]) -> tuple[EntryView, ...]:
    """A stored timetable with the seconds after which each part begins."""
    rows = answer["timetable"]
    starts = accumulate((row["seconds"] for row in rows), initial=0)
    return tuple(
        EntryView(row["kind"], row["seconds"], row["round"], at) for row, at in zip(rows, starts, strict=False)
    )


def taking_part(session_id: UUID) -> list[UUID]:
    """The children who are here, but for those who were taken out of the session; long after it, those who came."""
    out = registry.taken_out(session_id)
    return [child for child in register.here_ids(session_id) or _came(session_id) if child not in out]


def _came(session_id: UUID) -> list[UUID]:
    """Of a session that is over, its phones included: its groups are then told as they were."""
    session = Session.objects.get(pk=session_id)
    if timezone.now() < session.ends_at + AFTER_END:
        return []
    return sorted(attendance.who_came([session_id]).get(session_id, ()))


def may_come(session: Session) -> list[UUID]:
    """Children of the register who are not marked here, and were not taken out."""
    away = {*register.here_ids(session.pk), *registry.taken_out(session.pk)}
    return sorted(set(register.expected(session).values_list("pk", flat=True)) - away)


def unplaced(session_id: UUID) -> list[UUID]:
    """Children who are here but in no group of the current plan; empty while there is no plan."""
    plan = current_plan(session_id)
    return [child for child in taking_part(session_id) if child not in plan.placed] if plan else []


def gone(session_id: UUID) -> set[UUID]:
    """Children in a group of the current plan who are not, or no longer, marked here, or were taken out."""
    plan = current_plan(session_id)
    return set(plan.placed) - set(taking_part(session_id)) if plan else set()


def may_take_back(plan: Plan) -> bool:
    """Whether a repair can be undone with nothing left of it: the register was told nothing with it."""
    return plan.why == "repaired" and plan.before is not None and not plan.proof["fitted"].get("told")


def begins_at(plan: Plan) -> int:
    """The first round a repair changes."""
    return int(plan.proof["fitted"]["at_round"])


def last_plan(session: Session) -> PlanView | None:
    """The final plan of the squad's session before this one that had a plan."""
    rows = Plan.objects.filter(_before(session), session__squad=session.squad_id)
    row = rows.order_by("-session__date", "-session__starts", "-version").first()
    return shown(row) if row else None


def met(session: Session, ids: Iterable[UUID]) -> dict[frozenset[UUID], float]:
    """How much each two of these children were together lately: 1 for today's date, half of it three weeks earlier.

    Counts the last plan of each of the squad's earlier sessions.
    """
    here, found = set(ids), Counter[frozenset[UUID]]()
    since = session.date - timedelta(weeks=WEEKS_REMEMBERED)
    rows = Plan.objects.filter(_before(session), session__squad=session.squad_id, session__date__gte=since)
    last = {row.session_id: row for row in rows.select_related("session").order_by("version")}
    for row in last.values():
        weight = 0.5 ** ((session.date - row.session.date).days / 7 / HALF_LIFE_WEEKS)
        for group in _groups(row.answer):
            for pair in combinations(sorted(here & set(group.athletes)), 2):
                found[frozenset(pair)] += weight
    return dict(found)


def _before(session: Session) -> Q:
    return Q(session__date__lt=session.date) | Q(session__date=session.date, session__starts__lt=session.starts)


def newest_think(session_id: UUID) -> Think | None:
    return Think.objects.filter(session=session_id).select_related("base", "result").first()


def is_silent(think: Think) -> bool:
    """Whether a long search was cut off: nothing heard of it for long, or still waiting though nothing runs."""
    after = timezone.now() - timedelta(seconds=SILENT_SECONDS)
    if think.outcome:
        return False
    if think.heard_at is not None:
        return think.heard_at < after
    return think.asked_at < after and not searches_running()


def searches_running() -> int:
    """Long searches of all clubs that were heard of just now."""
    after = timezone.now() - timedelta(seconds=SILENT_SECONDS)
    return Think.objects.filter(outcome="", heard_at__gt=after).count()


def is_running(session_id: UUID) -> bool:
    """Whether somebody has started the bell and not yet ended it; a floor above keeps the log, here we only look."""
    return Session.objects.filter(pk=session_id, room__commands__kind="start", room__ended_at=None).exists()


def export_child(athlete_id: UUID) -> list[dict[str, str]]:
    """In which colour the child went round at which session, for whoever asks what is kept about it."""
    rows = Plan.objects.select_related("session").order_by("session__date", "session__starts", "version")
    newest_rows = {row.session_id: row for row in rows.iterator()}
    worn = ((row.session, shown(row).group_of(athlete_id)) for row in newest_rows.values())
    return [{"session": str(session), "group": group.bib} for session, group in worn if group]
