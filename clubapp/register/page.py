"""What the register shows: rows, counts, adults and the ratio."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from uuid import UUID

from django.utils import timezone
from django.utils.formats import date_format

from clubapp.core.keeping import milliseconds
from clubapp.core.registry import RowNote, registry
from clubapp.core.tell import version_of
from clubapp.people import consents
from clubapp.people.access import Person
from clubapp.people.models import Athlete, Health
from clubapp.people.queries import brings_something, flagged
from clubapp.planning.models import Session
from clubapp.register import access, bringing, lateness, pick_ups, queries, sentences
from clubapp.register.models import Brought, ComingLate, Mark, PickUp
from clubapp.register.queries import CurrentMark
from clubapp.register.sorting import plain
from clubapp.register.staffing import Staffing, adults

SEARCH_FROM = 30
Kind = Mark.Kind


@dataclass(frozen=True)
class Row:
    """One child's row. namesake: another child of the list has the same whole name; changed: by somebody elsewhere.

    gone_at: by the club's clock; undone: was marked gone, then no longer. brings: the note speaks of an inhaler, a pen
    or the like; brought: what was said of it today. coming: when a guardian says that it comes, in words, and
    word_until: so long that is a word, in milliseconds.
    """

    child: Athlete
    mark: CurrentMark | None
    flag: bool
    first_timer: bool
    doubts: tuple[str, ...]
    notes: tuple[RowNote, ...]
    namesake: bool = False
    changed: bool = False
    gone_at: str = ""
    undone: bool = False
    no_photos: bool = False
    brings: bool = False
    brought: bool | None = None
    coming: str = ""
    word_until: int | None = None

    @property
    def name(self) -> str:
        """The whole name; two equal ones are told apart by the birth."""
        day, year = self.child.date_of_birth, self.child.birth_year
        born = date_format(day, "j M Y") if day else str(year or "")
        return f"{self.child.full_name} ({born})" if self.namesake and born else self.child.full_name

    @property
    def kind(self) -> str:
        return self.mark.kind if self.mark else Kind.CLEARED

    @property
    def undoable(self) -> bool:
        """An adult's mark can be taken back here; a guardian's notice stays."""
        return self.mark is not None and not self.mark.by_guardian

    @property
    def tap_marks_here(self) -> bool:
        """The whole row is the button while no adult has said anything."""
        return not self.undoable

    @property
    def state(self) -> str:
        words = sentences.state_of(self.mark)
        return f"{words}, {self.gone_at}" if self.gone_at else words

    @property
    def earlier(self) -> str:
        return sentences.earlier_notice(self.mark)


@dataclass(frozen=True)
class Blank:
    """A row of nobody: the phone fills it in when a tap must show before the club has it."""

    kind: str
    name: str = "{name}"
    state: str = ""

    @property
    def child(self) -> Mapping[str, str]:
        return {"pk": NOBODY}

    @property
    def tap_marks_here(self) -> bool:
        return self.kind == Kind.CLEARED


NOBODY = str(UUID(int=0))
BLANKS = tuple(Blank(kind, state=str(label)) for kind, label in Kind.choices)


@dataclass(frozen=True)
class Counts:
    """How many children are in each state; together they are the list."""

    here: int = 0
    easy: int = 0
    absent: int = 0
    told: int = 0
    unmarked: int = 0

    @property
    def listed(self) -> int:
        return self.here + self.easy + self.absent + self.told + self.unmarked

    @property
    def on_the_field(self) -> int:
        return self.here + self.easy


@dataclass(frozen=True)
class Page:
    """Everything on the register's screen, read once.

    wished: of how many children a guardian asks that somebody else takes them home; the leader's to decide.
    """

    session: Session
    version: int
    rows: tuple[Row, ...]
    staff: Staffing
    may_finish: bool
    finished: bool
    words: str = ""
    wished: int = 0

    @cached_property
    def counts(self) -> Counts:
        return count(row.kind for row in self.rows)

    @property
    def gone(self) -> int:
        """Children of whom somebody said with whom they left."""
        return sum(row.kind == Kind.LEFT for row in self.rows)

    @property
    def photos_of_nobody(self) -> bool:
        """Said once above the list, not beside every name."""
        return bool(self.rows) and all(row.no_photos for row in self.rows)

    @property
    def no_word(self) -> int:
        """Children nobody has said anything about, and whom no guardian announced for later."""
        now = milliseconds(timezone.now()) or 0
        return sum(row.kind == Kind.CLEARED and (row.word_until or 0) <= now for row in self.rows)

    @property
    def searched(self) -> tuple[Row, ...]:
        """The rows whose names hold what was looked for; without JavaScript the server looks."""
        wanted = plain(self.words).split()
        return tuple(row for row in self.rows if all(part in plain(row.child.full_name) for part in wanted))

    @property
    def has_search(self) -> bool:
        return len(self.rows) > SEARCH_FROM

    @property
    def not_asked(self) -> tuple[Row, ...]:
        """Children about whose health nobody was asked: no flag there does not mean nothing to know."""
        return tuple(row for row in self.rows if row.child.health == Health.NOT_ASKED and not row.flag)

    def row(self, athlete_id: UUID) -> Row:
        return next(row for row in self.rows if row.child.pk == athlete_id)


def page_of(user: Person, session: Session, *, words: str = "") -> Page:
    version, rows = version_of(session.pk), tuple(_rows(session))
    listed = tuple(row.child for row in rows)
    here = tuple(row.child for row in rows if row.mark and row.mark.here)
    staff = Staffing(session, tuple(adults(session)), here, listed, access.may_finish(user, session))
    return Page(
        session=session,
        version=version,
        rows=rows,
        staff=staff,
        may_finish=staff.runs,
        finished=queries.finished(session.pk),
        words=words,
        wished=len(pick_ups.of_session(session.pk, state=PickUp.State.ASKED)) if staff.runs else 0,
    )


def count(kinds: Iterable[str]) -> Counts:
    """Late is here; left early is not here any more."""
    by = Counter(kinds)
    return Counts(
        here=by[Kind.HERE] + by[Kind.LATE],
        easy=by[Kind.EASY],
        absent=by[Kind.ABSENT] + by[Kind.LEFT],
        told=by[Kind.TOLD],
        unmarked=by[Kind.CLEARED],
    )


def changed_since(session_id: UUID, version: int, device: str) -> set[UUID]:
    """Children whom another device marked after this version."""
    said = (
        model.objects.filter(session=session_id, answer__version__gt=version) for model in (Mark, Brought, ComingLate)
    )
    return {child for rows in said for child in rows.exclude(device=device).values_list("athlete_id", flat=True)}


def _rows(session: Session) -> Iterable[Row]:
    children = sorted(access.expected(session), key=lambda child: (plain(child.full_name), str(child.pk)))
    ids = [child.pk for child in children]
    said = queries.said(session.pk)
    flags, new, notes = flagged(ids), queries.first_timers(ids, before=session.date), _notes(session.pk)
    no_photos, brings, there = consents.no_photos(ids), brings_something(ids), bringing.brought(session.pk)
    late = lateness.latest(session.pk)
    names = Counter(plain(child.full_name) for child in children)
    for child in children:
        mark = said.marks.get(child.pk)
        yield Row(
            child=child,
            mark=mark,
            flag=child.pk in flags,
            first_timer=child.pk in new,
            doubts=tuple(sentences.doubts(mark, said.clashes.get(child.pk), undone=child.pk in said.undone)),
            notes=notes.get(child.pk, ()),
            namesake=names[plain(child.full_name)] > 1,
            gone_at=f"{mark.tapped_at.astimezone(session.club.zone):%H:%M}" if mark and mark.kind == Kind.LEFT else "",
            undone=child.pk in said.undone,
            no_photos=child.pk in no_photos,
            brings=child.pk in brings,
            brought=there.get(child.pk),
            coming=sentences.coming(late.get(child.pk), mark),
            word_until=milliseconds(lateness.word_until(late[child.pk])) if child.pk in late else None,
        )


def _notes(session_id: UUID) -> Mapping[UUID, tuple[RowNote, ...]]:
    """What higher apps remark on, by child."""
    found: dict[UUID, tuple[RowNote, ...]] = {}
    for notes_of in registry.row_notes.values():
        for child, note in notes_of(session_id).items():
            found[child] = (*found.get(child, ()), note)
    return found
