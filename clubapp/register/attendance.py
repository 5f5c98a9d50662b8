"""Who came when: by child, by session and over a term. Sums over marks; children are never put in an order by them."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from django.utils import timezone

from clubapp.people.models import Athlete, Club, Squad
from clubapp.planning.models import Session
from clubapp.register import order, queries
from clubapp.register.models import Mark
from clubapp.register.queries import CurrentMark

Kind = Mark.Kind
NOT_SEEN = timedelta(weeks=3)
FRESH = timedelta(weeks=2)  # so long after the first time somebody asks how it was
CAME = frozenset({*queries.HERE_KINDS, Kind.LEFT})
Seen = Mapping[Athlete, Sequence[date]]


@dataclass(frozen=True)
class Line:
    """One child over a term. sessions: those it could have come to; unmarked: where nobody said anything.

    late and easy are among those who came.
    """

    child: Athlete
    sessions: int
    came: int = 0
    late: int = 0
    easy: int = 0
    absent: int = 0
    told: int = 0
    unmarked: int = 0


@dataclass(frozen=True)
class Term:
    """squad: None for all of the club."""

    club: Club
    since: date
    until: date
    squad: Squad | None = None


def sessions_of(term: Term) -> list[Session]:
    """Sessions of the term that have begun, the oldest first."""
    rows = Session.objects.filter(club=term.club, date__range=(term.since, term.until), called_off=False)
    rows = rows.filter(squad=term.squad) if term.squad else rows
    rows = rows.select_related("squad", "club").order_by("date", "starts", "pk")
    return [session for session in rows if session.starts_at <= timezone.now()]


def lines(term: Term) -> list[Line]:
    """By name; children who have left are in it as long as they could have come."""
    sessions = sessions_of(term)
    kinds = kinds_in(sessions)
    children = Athlete.objects.filter(club=term.club).prefetch_related("squads")
    rows = sorted(children, key=lambda child: (child.full_name.casefold(), str(child.pk)))
    found = (_line(child, sessions, kinds) for child in rows)
    return [line for line in found if line.sessions]


def _line(child: Athlete, sessions: Iterable[Session], kinds: Mapping[tuple[UUID, UUID], str]) -> Line:
    squads = {squad.pk for squad in child.squads.all()}
    met: Counter[str] = Counter()
    for session in sessions:
        kind = kinds.get((child.pk, session.pk))
        if kind is not None or (session.squad_id in squads and _belonged(child, session.date)):
            met[kind or ""] += 1
    return Line(
        child=child,
        sessions=met.total(),
        came=sum(met[kind] for kind in CAME),
        late=met[Kind.LATE],
        easy=met[Kind.EASY],
        absent=met[Kind.ABSENT],
        told=met[Kind.TOLD],
        unmarked=met[""],
    )


def _belonged(child: Athlete, day: date) -> bool:
    return (child.joined_on is None or child.joined_on <= day) and (child.left_on is None or child.left_on > day)


def kinds_in(sessions: Iterable[Session]) -> dict[tuple[UUID, UUID], str]:
    """What counts for each child in each session, by both ids."""
    grouped: dict[tuple[UUID, UUID], list[Mark]] = defaultdict(list)
    for mark in Mark.objects.filter(session__in=list(sessions)):
        grouped[mark.athlete_id, mark.session_id].append(mark)
    counted = {pair: order.counting(order.in_order(rows)) for pair, rows in grouped.items()}
    return {pair: mark.kind for pair, mark in counted.items() if mark is not None}


def who_came(session_ids: list[UUID]) -> dict[UUID, frozenset[UUID]]:
    """The children who were at each of these sessions; sessions with no mark at all are left out."""
    found: dict[UUID, set[UUID]] = defaultdict(set)
    for (child, session), kind in kinds_in(Session.objects.filter(pk__in=session_ids)).items():
        found[session] |= {child} if kind in CAME else set()
    return {session: frozenset(children) for session, children in found.items()}


def days_seen(club: Club) -> Seen:
    """The days on which each child of today was here; who never was is not in it."""
    sessions = {session.pk: session for session in Session.objects.filter(club=club, called_off=False)}
    children = Athlete.objects.filter(club=club, left_on__isnull=True).prefetch_related("squads")
    by_id = {child.pk: child for child in children}
    found: dict[Athlete, list[date]] = defaultdict(list)
    for (child, session), kind in kinds_in(sessions.values()).items():
        if kind in CAME and child in by_id:
            found[by_id[child]].append(sessions[session].date)
    return found


def days_held(club: Club, *, since: date, until: date) -> dict[UUID, int]:
    """How many sessions each squad had between two days, the first left out."""
    rows = Session.objects.filter(club=club, called_off=False, date__gt=since, date__lt=until)
    return dict(Counter(rows.values_list("squad", flat=True)))


def not_seen(club: Club, seen: Seen, today: date) -> list[tuple[Athlete, date]]:
    """Children of today who were here once and not for three weeks, though their squad met; with the last day."""
    held = days_held(club, since=today - NOT_SEEN, until=today)
    found = [
        (child, last)
        for child, days in seen.items()
        if (last := max(days)) <= today - NOT_SEEN and any(held.get(squad.pk) for squad in child.squads.all())
    ]
    return sorted(found, key=lambda pair: pair[0].full_name)


def newcomers(club: Club, seen: Seen, today: date) -> list[tuple[Athlete, date]]:
    """First-timers who were here lately for the first time, with that day."""
    new = queries.first_timers(club, before=today + timedelta(days=1))
    found = [(child, day) for child, days in seen.items() if child.pk in new and (day := min(days)) > today - FRESH]
    return sorted(found, key=lambda pair: pair[0].full_name)


def history(child: Athlete, today: date) -> list[tuple[Session, CurrentMark | None]]:
    """Every session of the child so far with what counts of it, the newest first; None where nobody said anything."""
    squads = set(child.squads.values_list("pk", flat=True))
    rows = Session.objects.filter(club=child.club_id, date__lte=today, called_off=False).select_related("squad", "club")
    sessions = list(rows.order_by("-date", "-starts", "pk"))
    marks = queries.marks_of_child(child.pk, [session.pk for session in sessions])
    return [
        (session, marks.get(session.pk))
        for session in sessions
        if session.pk in marks or (session.squad_id in squads and _belonged(child, session.date))
    ]
