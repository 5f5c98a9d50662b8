"""One session as four steps: the register, the groups, the bell, and everybody seen off."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from clubapp.live import before
from clubapp.live import queries as live
from clubapp.people.access import Person
from clubapp.planning.models import Session
from clubapp.register import queries as register
from clubapp.register.access import expected
from clubapp.rotation import queries as rotation
from clubapp.rotation.access import may_build


@dataclass(frozen=True)
class Step:
    """One thing to do before the whistle. figure and unit say how far it is; do: the words on the button;
    yours: whether this adult is the one to do it."""

    name: str
    title: str
    do: str
    link: str
    note: str
    figure: int | None = None
    unit: str = ""
    done: bool = False
    running: bool = False
    yours: bool = True


@dataclass(frozen=True)
class Tonight:
    """A session with its steps; `next_step` is the one the thumb should find, None when all is done.

    missing: of adults, before the start, for who runs it.
    """

    session: Session
    today: bool
    past: bool
    leads: bool
    steps: tuple[Step, ...]
    missing: tuple[str, ...] = ()

    @property
    def heading(self) -> str:
        """What the page is about. A session of another day that is still shown waits for its last children."""
        if self.today:
            return _("Today")
        return _("Not over yet") if self.past else _("Next session")

    @property
    def ends(self) -> time:
        """The planned end on the club's own clock."""
        return self.session.ends_at.time()

    @property
    def next_step(self) -> Step | None:
        """A running bell comes first. An assistant makes no groups, so is not sent to make them."""
        running = next((step for step in self.steps if step.running), None)
        return running or next((step for step in self.steps if step.yours and not step.done), None)


def tonight_of(user: Person, session: Session, now: datetime) -> Tonight:
    """The steps as they stand."""
    leads, today = may_build(user, session), session.date == session.club.today(now)
    return Tonight(
        session=session,
        today=today,
        past=session.ends_at < now,
        leads=leads,
        missing=tuple(before.missing(session)) if leads and today and now < session.starts_at else (),
        steps=(register_step(session), plan_step(session, leads=leads), bell_step(session), home_step(session, now)),
    )


def register_step(session: Session) -> Step:
    """How many are here, and whether somebody said that the register is finished."""
    marks = register.current_marks(session.pk)
    here = sum(mark.here for mark in marks.values())
    open_rows = sum(child.pk not in marks for child in expected(session))
    finished = register.finished(session.pk)
    return Step(
        name="register",
        title=_("Register"),
        do=_("Take the register"),
        link=reverse("register:register", args=[session.pk]),
        note=_register_note(open_rows, begun=bool(marks), finished=finished),
        figure=here if marks else None,
        unit=_("here"),
        done=finished or (bool(marks) and not open_rows),
    )


def _register_note(open_rows: int, *, begun: bool, finished: bool) -> str:
    if not begun:
        return _("nobody marked yet")
    left = ngettext("%(n)d not marked yet", "%(n)d not marked yet", open_rows) % {"n": open_rows} if open_rows else ""
    if finished:
        return _("finished, %(left)s") % {"left": left} if left else _("finished")
    return left or _("everybody marked")


def plan_step(session: Session, *, leads: bool) -> Step:
    """How many groups there are, and whether a child stands in none of them."""
    plan = rotation.current_plan(session.pk)
    outside = len(rotation.unplaced(session.pk))
    return Step(
        name="plan",
        title=_("Groups and rotation"),
        do=_("Make the groups") if leads else _("See the groups"),
        link=reverse("rotation:plan", args=[session.pk]),
        note=_plan_note(made=plan is not None, outside=outside),
        figure=len(plan.groups) if plan else None,
        unit=_("groups"),
        done=plan is not None and not outside,
        yours=leads,
    )


def _plan_note(*, made: bool, outside: int) -> str:
    if outside:
        return ngettext("%(n)d child here, in no group", "%(n)d children here, in no group", outside) % {"n": outside}
    return _("ready") if made else _("not made yet")


def bell_step(session: Session) -> Step:
    """Whether the bell has rung, is running, or is over."""
    room = live.room_of(session.pk)
    ended = room is not None and room.ended_at is not None
    running = not ended and rotation.is_running(session.pk)
    return Step(
        name="bell",
        title=_("Bell"),
        do=_("Open the bell"),
        link=reverse("live:bell", args=[session.pk]),
        note=_("ended") if ended else _("running now") if running else _("not started"),
        done=ended,
        running=running,
    )


def home_step(session: Session, now: datetime) -> Step:
    """Who is still here; the session is not over before everybody has gone."""
    waiting = len(register.waiting(session.pk))
    room = live.room_of(session.pk)
    ended = session.ends_at <= now or (room is not None and room.ended_at is not None)
    return Step(
        name="home",
        title=_("Going home"),
        do=_("See the children off"),
        link=reverse("register:going_home", args=[session.pk]),
        note=_home_note(waiting, ended=ended),
        figure=waiting if ended and waiting else None,
        unit=_("still here"),
        done=ended and not waiting,
        running=ended and bool(waiting),
    )


def _home_note(waiting: int, *, ended: bool) -> str:
    if not ended:
        return _("after the bell")
    return _("not over yet") if waiting else _("nobody is still here")
