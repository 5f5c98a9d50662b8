"""What a guardian sees of their own children."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.utils import timezone
from django.utils.translation import gettext as _

from clubapp.games import term as games_term
from clubapp.games.told import Told, told_of
from clubapp.people.models import Athlete
from clubapp.people.queries import shares_results
from clubapp.planning import queries as planning
from clubapp.planning.models import Session
from clubapp.register import lateness, pick_ups
from clubapp.register import queries as register
from clubapp.register.models import ComingLate, Mark
from clubapp.register.queries import CurrentMark
from clubapp.results import progress_page

Kind = Mark.Kind
SOON = timedelta(days=7)


@dataclass(frozen=True)
class Coming:
    """A session that is not over yet. told: this child's notice stands; word: what was written with it.

    late: when it comes, as a guardian announced; times: those that can still be announced, if the session is near;
    today: somebody else may be asked to take the child home, and `pick_ups` says what became of that.
    """

    session: Session
    told: bool
    word: str
    late: str = ""
    times: tuple[tuple[int, str], ...] = ()
    today: bool = False
    pick_ups: tuple[str, ...] = ()


@dataclass(frozen=True)
class Been:
    """A session with what the register says about this child, and the games it was in."""

    session: Session
    words: str
    games: tuple[Told, ...] = ()


@dataclass(frozen=True)
class Child:
    """One own child with the sessions of its squads. shared: the club shows its results to the family."""

    athlete: Athlete
    coming: tuple[Coming, ...]
    been: tuple[Been, ...]
    shared: bool

    @property
    def term(self) -> list[str]:
        """Read when a page wants it."""
        return games_term.told(self.athlete, self.athlete.club.today())


@dataclass(frozen=True)
class Said:
    """What is known of one child, by session."""

    marks: Mapping[UUID, CurrentMark]
    late: Mapping[UUID, ComingLate]
    pick_ups: Mapping[UUID, Sequence[str]]


def child_page(athlete: Athlete, now: datetime, viewer: UUID) -> Child:
    """As one of its guardians sees the child; viewer: that adult's account."""
    sessions = list(planning.sessions_of_squads(athlete.squads.values_list("pk", flat=True)))
    ids = [session.pk for session in sessions]
    marks = register.marks_of_child(athlete.pk, ids)
    said = Said(marks, lateness.latest_of_child(athlete.pk, ids), pick_ups.last_words(athlete, ids, viewer))
    shared = shares_results(athlete)
    games = told_of(athlete.pk, marks)
    return Child(athlete, tuple(_coming(sessions, said, now)), tuple(_been(sessions, marks, games)), shared)


def tests(athlete: Athlete) -> list[progress_page.Shown] | None:
    """The child's own lines with kind words; None where the club does not share results."""
    return progress_page.for_family(athlete) if shares_results(athlete) else None


def as_of(children: Sequence[Child]) -> datetime:
    """This moment as the club's clock on the wall shows it, to stand on a page that may be read later."""
    zone = children[0].athlete.club.zone if children else None
    return timezone.now().astimezone(zone).replace(tzinfo=None)


def is_over(session: Session, now: datetime) -> bool:
    return session.ends_at <= now


def _coming(sessions: Iterable[Session], said: Said, now: datetime) -> Iterable[Coming]:
    for session in sessions:
        mark, row = said.marks.get(session.pk), said.late.get(session.pk)
        if is_over(session, now):
            continue
        told = mark is not None and mark.notice
        today = session.date == session.club.today(now)
        yield Coming(
            session,
            told,
            mark.notice_word if mark else "",
            late=lateness.words(row) if row and not told and not (mark and mark.here) else "",
            times=tuple(lateness.times(session, now)) if session.starts_at - now < SOON else (),
            today=today,
            pick_ups=tuple(said.pick_ups.get(session.pk, ())) if today else (),
        )


def _been(
    sessions: Iterable[Session], marks: Mapping[UUID, CurrentMark], games: Mapping[UUID, tuple[Told, ...]]
) -> Iterable[Been]:
    """The latest first; a session in which nobody marked the child says nothing about it."""
    for session in reversed(list(sessions)):
        mark = marks.get(session.pk)
        if mark is not None:
            yield Been(session, words_for(mark), games.get(session.pk, ()))


def words_for(mark: CurrentMark) -> str:
    """The family's words; an adult's remark in the register stays there, and so does with whom the child went:
    one guardian is not told of the others."""
    match mark.kind:
        case Kind.LEFT if mark.went == Mark.Went.ALONE:
            return _("here, went home alone")
        case Kind.LEFT:
            return _("here, was collected") if mark.went == Mark.Went.ADULT else _("here, has gone")
        case Kind.EASY:
            return _("here, went easy")
        case Kind.LATE:
            return _("here, came late")
        case Kind.ABSENT:
            return _("not here")
        case Kind.TOLD:
            return _("you told us")
        case _:
            return _("here")
