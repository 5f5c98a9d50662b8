"""What families are written: a session is called off, moved or on again, or the head coach has something to say.

Each adult gets a mail of its own, so nobody learns of another's address. No letter of ours names a child.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from clubapp.core.post import Letter, send
from clubapp.core.registry import News, registry
from clubapp.people.models import Guardian, Guardianship, Squad
from clubapp.planning.models import ClubMessage, Session

KIND, MESSAGE = "session changed", "message"


def tell_families(session: Session, was: datetime, now: datetime) -> None:
    """One mail to each guardian with an address, unless both the old and the new time are over.

    was: when it was to begin before this change.
    """
    until = max(was, session.starts_at)
    if until <= now:
        return
    subject, text = _words(session, was)
    guardians = guardians_of(session.squad)
    registry.cry(News(KIND, session.club_id, tuple(guardian.pk for guardian in guardians), until))
    for guardian in _with_address(guardians):
        send(
            Letter(
                to=guardian.email,
                subject=subject,
                text=text,
                kind=KIND,
                club_id=session.club_id,
                person=guardian.pk,
                until=until,
            )
        )


def tell_message(message: ClubMessage) -> int:
    """To how many adults it goes by mail. The words are the head coach's own."""
    club = message.squad.club
    name = message.by.name if message.by else ""
    text = _("%(text)s\n\n%(name)s, %(club)s\n\nIt also stands on the page of your children.\n") % {
        "text": message.text,
        "name": name,
        "club": club.name,
    }
    subject = (_("%(club)s: to the families of %(squad)s") % {"club": club.name, "squad": message.squad.name})[:120]
    guardians = guardians_of(message.squad)
    registry.cry(News(MESSAGE, club.pk, tuple(guardian.pk for guardian in guardians)))
    written = _with_address(guardians)
    for guardian in written:
        send(Letter(guardian.email, subject, text, MESSAGE, club_id=club.pk, person=guardian.pk))
    return len(written)


def guardians_of(squad: Squad) -> list[Guardian]:
    """Adults of the squad's children whose contact is not restricted, each once."""
    ties = Guardianship.objects.filter(athlete__squads=squad, athlete__left_on__isnull=True)
    return list(Guardian.objects.filter(pk__in=ties.values("guardian")).order_by("pk"))


def _with_address(guardians: Iterable[Guardian]) -> list[Guardian]:
    return [guardian for guardian in guardians if guardian.email]


def _words(session: Session, was: datetime) -> tuple[str, str]:
    then = {
        "squad": session.squad.name,
        "was": _moment(was),
        "now": _moment(session.starts_at),
        "place": session.place or _("the usual place"),
    }
    if session.called_off:
        subject, first = _("Called off: %(squad)s, %(now)s"), _("%(squad)s on %(now)s is called off.")
    elif session.sequence and was == session.starts_at:
        subject, first = _("Changed: %(squad)s, %(now)s"), _("%(squad)s takes place on %(now)s, %(place)s.")
    else:
        subject = _("Moved: %(squad)s, %(was)s")
        first = _("%(squad)s of %(was)s is moved to %(now)s, %(place)s.")
    rest = _("Please press “I know” on the page of your children, so that nobody has to ring you.")
    return (subject % then)[:120], f"{first % then}\n\n{rest}\n\n{session.club.name}\n"


def _moment(at: datetime) -> str:
    return f"{date_format(at, 'j F')}, {at:%H:%M}"
