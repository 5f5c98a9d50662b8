"""Reads over marks. The current mark of a child is derived from all of them."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _

from clubapp.people.access import Person
from clubapp.people.models import VISITS_OF_A_FIRST_TIMER, Athlete, Club
from clubapp.planning.models import Session
from clubapp.register import bringing, lateness, order, pick_ups
from clubapp.register.access import expected, may_finish
from clubapp.register.models import AdultMark, Contacted, FinishedRegister, Mark
from clubapp.register.order import HERE_KINDS

__all__ = [
    "HERE_KINDS",
    "CurrentAdult",
    "CurrentMark",
    "adults_here",
    "current_adults",
    "current_mark",
    "current_marks",
    "easy",
    "expected",
    "export_child",
    "finished",
    "first_timers",
    "here_ids",
    "last_said_eighteen",
    "marks_of_child",
    "names_and_years",
    "said",
    "uuid_or_none",
    "visits",
    "waiting",
]


@dataclass(frozen=True)
class CurrentMark:
    """What counts for a child now.

    kind: a Mark.Kind. by_name: who said so. changed_by: two adults who said different things unseen by each other.
    went: a Mark.Went, or empty in a mark from before it was asked; reason: of a leader's decision.
    notice: a guardian's "cannot come" stands, `notice_word` its word; `notice_late` when it came after the mark.
    """

    kind: str
    leave_out: tuple[str, ...]
    with_whom: str
    word: str
    tapped_at: datetime
    by_name: str
    by_guardian: bool
    op_id: UUID
    version: int
    changed_by: tuple[str, ...] = ()
    notice: bool = False
    notice_word: str = ""
    notice_late: bool = False
    went: str = ""
    reason: str = ""

    @property
    def here(self) -> bool:
        return self.kind in HERE_KINDS


@dataclass(frozen=True)
class AllSaid:
    """Every mark of a session, read once. marks: by child; a child nobody has said anything about is not in it.

    clashes: the two adults where marks of two devices differ, be it that one of them says "not marked". undone:
    children who were said to be gone, and then no longer.
    """

    marks: dict[UUID, CurrentMark]
    clashes: dict[UUID, tuple[str, str]]
    undone: frozenset[UUID]


def said(session_id: UUID) -> AllSaid:
    grouped = _marks(session_id)
    clashes = {child: pair for child, rows in grouped.items() if (pair := _clash(rows))}
    marks = {child: mark for child, rows in grouped.items() if (mark := _current(rows, clashes.get(child)))}
    return AllSaid(marks, clashes, frozenset(child for child, rows in grouped.items() if order.leaving_undone(rows)))


def current_marks(session_id: UUID) -> dict[UUID, CurrentMark]:
    """By child; a child nobody has said anything about is not in it."""
    return said(session_id).marks


def marked_by_rest(session_id: UUID, rest: UUID) -> list[UUID]:
    """Children of whom nobody has said anything since "the rest are not here". rest: its op_id."""
    marks = current_marks(session_id)
    return sorted(child for child, mark in marks.items() if mark.op_id == order.part(rest, child))


def names_and_years(session: Session, *, but_for: UUID | None = None) -> frozenset[tuple[str, int]]:
    """First names in lower case with years of birth on this register, but for the child a tap has added already."""
    children = expected(session)
    if but_for is not None:
        children = children.exclude(pk__in=Mark.objects.filter(session=session, op_id=but_for).values("athlete"))
    return frozenset((child.first_name.casefold(), child.born.year) for child in children if child.born)


def uuid_or_none(text: str) -> UUID | None:
    try:
        return UUID(text)
    except ValueError:
        return None


def current_mark(session_id: UUID, athlete_id: UUID) -> CurrentMark | None:
    ordered = order.in_order(Mark.objects.filter(session=session_id, athlete=athlete_id).select_related("by"))
    return _current(ordered, _clash(ordered))


def here_ids(session_id: UUID) -> list[UUID]:
    """The children who are here, by id. Every page asks: no more is read of a mark than what says which one counts."""
    what = ("athlete_id", "kind", "by_guardian", "tapped_at", "device", "op_id")
    rows = Mark.objects.filter(session=session_id).only(*what)
    counting = ((child, order.counting(marks)) for child, marks in _by_child(rows).items())
    return sorted(child for child, mark in counting if mark is not None and mark.kind in HERE_KINDS)


def waiting(session_id: UUID) -> set[UUID]:
    """Children whom nobody has seen off yet; the session is not over while there is one."""
    return {child for child, rows in _marks(session_id).items() if order.waits(rows)}


def sees_all_off(user: Person, session_id: UUID) -> bool:
    """Whether this adult runs the session and stays until every child was collected."""
    session = Session.objects.filter(pk=session_id).first()
    return session is not None and may_finish(user, session)


def easy(session_id: UUID) -> dict[UUID, list[str]]:
    """What the children who are to go easy leave out."""
    marks = current_marks(session_id)
    return {child: list(mark.leave_out) for child, mark in marks.items() if mark.kind == Mark.Kind.EASY}


@dataclass(frozen=True)
class CurrentAdult:
    """An adult of the evening as last marked. person: the member's own id, or one made for a typed name."""

    person: UUID
    user_id: UUID | None
    name: str
    here: bool
    eighteen: bool


def current_adults(session_id: UUID) -> dict[UUID, CurrentAdult]:
    """By person, gone ones too."""
    rows = sorted(AdultMark.objects.filter(session=session_id), key=order.place)
    return {row.person: CurrentAdult(row.person, row.user_id, row.name, row.here, row.eighteen) for row in rows}


def adults_here(session_id: UUID) -> int:
    """Adults of 18 or over who are here: only they count in the ratio."""
    return sum(adult.here and adult.eighteen for adult in current_adults(session_id).values())


def last_said_eighteen(user_ids: Iterable[UUID]) -> dict[UUID, bool]:
    """What was last said about each member's age, so that it is not asked every week."""
    rows = AdultMark.objects.filter(user__in=list(user_ids), here=True).order_by("tapped_at", "device", "op_id")
    return {row.user_id: row.eighteen for row in rows if row.user_id}


def visits(athlete_ids: Iterable[UUID], *, before: date) -> Counter[UUID]:
    """At how many sessions before a date each child was here; one who left early was there.

    Only three columns of the last mark by an adult are read: a season holds thousands of marks.
    """
    rows = Mark.objects.filter(athlete__in=list(athlete_ids), session__date__lt=before, by_guardian=False)
    last = {
        (child, session): kind
        for child, session, kind in rows.order_by("tapped_at", "device", "op_id").values_list(
            "athlete_id", "session_id", "kind"
        )
    }
    return Counter(child for (child, _session), kind in last.items() if kind in HERE_KINDS | {Mark.Kind.LEFT})


def first_timers(who: Club | Iterable[UUID], *, before: date) -> set[UUID]:
    """Children of a club, or among these ids, who came fewer than three times before this date."""
    rows = Athlete.objects.filter(club=who) if isinstance(who, Club) else Athlete.objects.filter(pk__in=list(who))
    known = dict(rows.filter(sessions_before__lt=VISITS_OF_A_FIRST_TIMER).values_list("pk", "sessions_before"))
    since = visits(known, before=before)
    return {child for child, count in known.items() if count + since[child] < VISITS_OF_A_FIRST_TIMER}


def finished(session_id: UUID) -> bool:
    return FinishedRegister.objects.filter(session=session_id).exists()


def marks_of_child(athlete_id: UUID, session_ids: Iterable[UUID]) -> dict[UUID, CurrentMark]:
    """The child's current mark in each of these sessions, by session."""
    rows = Mark.objects.filter(athlete=athlete_id, session__in=list(session_ids)).select_related("by")
    grouped: dict[UUID, list[Mark]] = defaultdict(list)
    for row in rows:
        grouped[row.session_id].append(row)
    ordered = {session: order.in_order(marks) for session, marks in grouped.items()}
    found = {session: _current(marks, _clash(marks)) for session, marks in ordered.items()}
    return {session: mark for session, mark in found.items() if mark is not None}


def export_child(athlete_id: UUID) -> dict[str, Any]:
    told = {"answers": export_answers(athlete_id), "brought": bringing.export(athlete_id)}
    told |= {"coming_late": lateness.export(athlete_id), "pick_ups": pick_ups.export(athlete_id)}
    return {"marks": export_marks(athlete_id), **told}


def export_marks(athlete_id: UUID) -> list[dict[str, Any]]:
    """Every mark of a child, the overruled ones too, oldest first."""
    rows = Mark.objects.filter(athlete=athlete_id).select_related("session", "by").order_by("tapped_at", "device")
    return [
        {
            "session": row.session.date.isoformat(),
            "mark": row.get_kind_display(),
            "leave_out": row.leave_out,
            "with_whom": row.with_whom,
            "went": row.get_went_display(),
            "reason": row.reason,
            "word": row.word,
            "at": row.tapped_at.isoformat(),
            "by": _name(row),
        }
        for row in rows
    ]


def export_answers(athlete_id: UUID) -> list[dict[str, Any]]:
    """What guardians answered when the child was expected, oldest first."""
    rows = Contacted.objects.filter(athlete=athlete_id).select_related("session", "guardian", "by")
    return [
        {
            "session": row.session.date.isoformat(),
            "answer": row.get_said_display(),
            "word": row.word,
            "guardian": row.guardian.name if row.guardian else "",
            "at": row.tapped_at.isoformat(),
            "by": row.by.name if row.by else _("an adult who has left"),
        }
        for row in rows.order_by("tapped_at", "pk")
    ]


def _marks(session_id: UUID) -> dict[UUID, list[Mark]]:
    """By child, in order. Few adults mark many children: each is read once and not with every mark."""
    return _by_child(Mark.objects.filter(session=session_id).prefetch_related("by"))


def _by_child(rows: Iterable[Mark]) -> dict[UUID, list[Mark]]:
    grouped: dict[UUID, list[Mark]] = defaultdict(list)
    for row in rows:
        grouped[row.athlete_id].append(row)
    return {child: order.in_order(marks) for child, marks in grouped.items()}


def _name(mark: Mark) -> str:
    return mark.by.name if mark.by else _("an adult who has left")


def _clash(marks: list[Mark]) -> tuple[str, str] | None:
    pair = order.clash(marks)
    return (_name(pair[0]), _name(pair[1])) if pair else None


def _current(marks: list[Mark], clash: tuple[str, str] | None) -> CurrentMark | None:
    mark, told = order.counting(marks), order.notice(marks)
    if mark is None:
        return None
    return CurrentMark(
        kind=mark.kind,
        leave_out=tuple(mark.leave_out),
        with_whom=mark.with_whom,
        word=mark.word,
        tapped_at=mark.tapped_at,
        by_name=_name(mark),
        by_guardian=mark.by_guardian,
        op_id=mark.op_id,
        version=order.version(mark),
        changed_by=clash or (),
        notice=told is not None,
        notice_word=told.word if told else "",
        notice_late=told is not None and order.place(told) > order.place(mark),
        went=mark.went,
        reason=mark.reason,
    )
