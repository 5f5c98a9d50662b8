"""What families are written when a session is called off, moved or on again. No letter names a child."""

from __future__ import annotations

from datetime import datetime

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from clubapp.core.post import Letter, send
from clubapp.people.models import Guardian, Guardianship
from clubapp.planning.models import Session

KIND = "session changed"


def tell_families(session: Session, was: datetime, now: datetime) -> None:
    """One mail to each guardian with an address, unless both the old and the new time are over.

    was: when it was to begin before this change.
    """
    until = max(was, session.starts_at)
    if until <= now:
        return
    subject, text = _words(session, was)
    for guardian in _guardians(session):
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


def _guardians(session: Session) -> list[Guardian]:
    """Adults of the squad's children whose contact is not restricted, each once."""
    ties = Guardianship.objects.filter(athlete__squads=session.squad_id, athlete__left_on__isnull=True)
    rows = Guardian.objects.filter(pk__in=ties.values("guardian")).exclude(email="")
    return list(rows.order_by("pk"))


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
