"""Six Saturdays of attendance behind the demo club, and the groups of the last one."""

from __future__ import annotations

import uuid
from datetime import timedelta

from clubapp.desk.demo import scenario
from clubapp.live import actions as live
from clubapp.live.access import Role, Watcher
from clubapp.people.models import Athlete, Club, Guardian, Guardianship, User
from clubapp.planning.models import Session
from clubapp.register import actions as register
from clubapp.register import queries
from clubapp.register.models import Mark
from clubapp.rotation import actions as rotation
from clubapp.rotation.wishes import Wishes

BEFORE_START, AFTER_END = timedelta(minutes=4), timedelta(minutes=5)
# What happened apart from coming and staying away, by week and child.
SPECIAL = {
    (1, "m12"): register.Said(Mark.Kind.EASY, leave_out=(Mark.LeaveOut.JUMPS,)),
    (2, "m05"): register.Said(Mark.Kind.LATE),
    (3, "m20"): register.Said(
        Mark.Kind.LEFT, with_whom="her mother", went=Mark.Went.DECIDED, reason="a dentist at eleven"
    ),
    (4, "m21"): register.Said(Mark.Kind.EASY, leave_out=(Mark.LeaveOut.SPRINTS, Mark.LeaveOut.CONTACT)),
}


def was_here(child: scenario.Child, week: int) -> bool:
    """week: 1 is the last Saturday. Children who came lately were here ever since; the others missed some weeks."""
    if not child.known_before:
        return week <= child.visits
    missed = scenario.WEEKS - child.visits
    first = int(child.id.removeprefix("m"))
    return week not in {1 + (first + 2 * turn) % scenario.WEEKS for turn in range(missed)}


def take_register(session: Session, week: int, by: User) -> None:
    """As the coach tapped it that morning."""
    tap_at = session.starts_at - BEFORE_START
    roster = {athlete.roster_id: athlete for athlete in Athlete.objects.filter(club=session.club)}
    for child in scenario.CHILDREN:
        said = said_of(child, week)
        if said is not None:
            tap = register.Tap(by, device="demo", tapped_at=tap_at)
            register.mark(session=session, athlete=roster[child.id], said=said, tap=tap)
    for user in User.objects.filter(memberships__club=session.club):
        adult = register.Adult(user.pk, user.name, here=True, eighteen=True, user_id=user.pk)
        register.mark_adult(session=session, adult=adult, tap=register.Tap(by, uuid.uuid4(), tapped_at=tap_at))
    register.finish_register(session=session, by=by)


def said_of(child: scenario.Child, week: int) -> register.Said | None:
    """None before a child had joined."""
    if was_here(child, week):
        return SPECIAL.get((week, child.id), register.Said(Mark.Kind.HERE))
    return register.Said(Mark.Kind.ABSENT) if child.known_before else None


def see_off(club: Club, by: User) -> None:
    """Who took each child home, Saturday by Saturday: without it none of these sessions was over."""
    ties = Guardianship.objects.filter(athlete__club=club, may_collect=True).select_related("guardian")
    first = {tie.athlete_id: tie.guardian for tie in ties.order_by("-emergency_order", "-pk")}
    for session in club.sessions.order_by("date"):
        tap_at, waiting = session.ends_at + AFTER_END, queries.waiting(session.pk)
        for athlete in Athlete.objects.filter(pk__in=waiting).order_by("roster_id"):
            tap = register.Tap(by, device="demo", tapped_at=tap_at)
            register.mark(session=session, athlete=athlete, said=taken_by(first.get(athlete.pk)), tap=tap)


def taken_by(guardian: Guardian | None) -> register.Said:
    if guardian is None:
        reason = "rung first: the mother sent her"
        return register.Said(Mark.Kind.LEFT, went=Mark.Went.DECIDED, with_whom="an aunt", reason=reason)
    return register.Said(Mark.Kind.LEFT, went=Mark.Went.ADULT, collector=guardian.pk, with_whom=guardian.name)


def write_incident(session: Session) -> None:
    """A note by an assistant, as it was written that morning; nobody has cleared the child since."""
    told = scenario.INCIDENT
    author = User.objects.get(email=told.author)
    at = session.starts_at + timedelta(minutes=told.minute)
    note = live.Note(
        athlete=Athlete.objects.get(club=session.club, roster_id=told.child),
        happened_at=at,
        what=told.what,
        done=told.done,
        stays_with=told.stays_with,
        head_injury=True,
        told_whom=told.told_whom,
        told_at=at + timedelta(minutes=10),
    )
    tap = register.Tap(author, device="demo", tapped_at=at + timedelta(minutes=12))
    live.write_incident(note=note, sent=live.Sent(Watcher(session, Role.ASSISTANT, author), tap))


def make_last_groups(session: Session, by: User) -> None:
    """So that "last week's groups, adapted" has something to start from."""
    rotation.make_groups(order=rotation.Order(session, by, Wishes(groups=6, rounds=6), seed=6))
