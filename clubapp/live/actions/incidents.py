"""Incident notes: written once, added to, never changed. Nothing here says that a child is fit again by itself."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from clubapp.core.audit import record
from clubapp.core.tell import tell
from clubapp.live import incident_rows
from clubapp.live.access import Watcher
from clubapp.live.actions.away import put_back, take_out
from clubapp.live.actions.room import RefusedError
from clubapp.live.actions.taps import Sent, columns, known
from clubapp.live.models import Clearance, Heard, Incident, IncidentMore, KeptIncident, Whereabouts
from clubapp.people.models import Athlete, User
from clubapp.planning.models import Session, Station
from clubapp.register.actions.taps import moment

KIND = "incident note"


@dataclass(frozen=True)
class Note:
    """What an adult writes down. told_whom, told_at: the guardian, if told already."""

    athlete: Athlete
    happened_at: datetime
    what: str
    done: str = ""
    stays_with: str = ""
    head_injury: bool = False
    told_whom: str = ""
    told_at: datetime | None = None
    station: Station | None = None


@dataclass(frozen=True)
class More:
    """What is known later."""

    told_whom: str = ""
    told_at: datetime | None = None
    signs_gone_on: date | None = None
    words: str = ""
    mistaken: bool = False


@transaction.atomic
def write_incident(*, note: Note, sent: Sent) -> Incident:
    """Keep the note. Where a head injury is suspected the child is out of the session from here on.

    Raises:
        OtherTapError: the op_id was used for another child.
    """
    row = known(Incident, sent, athlete_id=note.athlete.pk)
    if row is not None:
        return row
    session = sent.by.session
    row = Incident.objects.create(
        session=session,
        athlete=note.athlete,
        happened_at=note.happened_at,
        station=note.station,
        head_injury=note.head_injury,
        what=note.what,
        done=note.done,
        stays_with=note.stays_with,
        tapped_at=moment(sent.tap, ()),
        answer={"version": tell(session.pk, "incident")},
        **columns(sent),
    )
    if note.told_whom:
        told = {"told_whom": note.told_whom, "told_at": note.told_at}
        IncidentMore.objects.create(
            incident=row, tapped_at=row.tapped_at, by=sent.by.user, visitor=sent.by.visitor, **told
        )
    if note.head_injury:
        take_out(athlete=note.athlete, with_whom=note.stays_with, station=note.station, sent=sent)
    _record(session, sent.by, "wrote", note.athlete.pk)
    return row


@transaction.atomic
def add_to_incident(*, incident: Incident, more: More, sent: Sent) -> IncidentMore:
    """Add what is known now. "By mistake" takes the flag away and the child back into the session; the note stays."""
    row = known(IncidentMore, sent, incident_id=incident.pk)
    if row is not None:
        return row
    row = IncidentMore.objects.create(
        incident=incident,
        told_whom=more.told_whom,
        told_at=more.told_at,
        signs_gone_on=more.signs_gone_on,
        words=more.words,
        mistaken=more.mistaken,
        tapped_at=moment(sent.tap, ()),
        **columns(sent),
    )
    if more.mistaken and incident.head_injury:
        put_back(athlete=incident.athlete, sent=sent)
    _record(incident.session, sent.by, "added to", incident.athlete_id)
    tell(incident.session_id, "incident")
    return row


@transaction.atomic
def clear_child(*, incident: Incident, who: str, on: date, sent: Sent) -> Clearance:
    """Record who cleared the child and when. The day of the injury is refused: no guide knows a return on it."""
    day = incident.happened_at.astimezone(incident.session.club.zone).date()
    if on <= day:
        raise RefusedError(_("No guide lets a child back on the day of the injury: say on which later day."))
    if on > incident.session.club.today():
        raise RefusedError(_("That day is still to come: record it when somebody has cleared the child."))
    return _clearance(incident, sent, who=who, on=on)


@transaction.atomic
def withdraw_clearance(*, incident: Incident, sent: Sent) -> Clearance:
    """The entry was wrong: the register shows the date again."""
    return _clearance(incident, sent, stands=False)


def _clearance(incident: Incident, sent: Sent, **values: Any) -> Clearance:
    row = known(Clearance, sent, incident_id=incident.pk)
    if row is not None:
        return row
    made = Clearance.objects.create(incident=incident, tapped_at=moment(sent.tap, ()), **values, **columns(sent))
    _record(incident.session, sent.by, "cleared" if made.stands else "took back clearing", incident.athlete_id)
    tell(sent.by.session.pk, "register")
    return made


@transaction.atomic
def read_incidents(*, incidents: list[Incident], by: User) -> None:
    """Every look at a note is in the log."""
    for row in incidents:
        record(club_id=row.session.club_id, user_id=by.pk, verb="read", kind=KIND, about=row.athlete_id)


@transaction.atomic
def read_kept(*, kept: KeptIncident, by: User) -> list[list[str]]:
    """The lines of a note whose child's record is erased; the look is in the log."""
    record(club_id=kept.club_id, user_id=by.pk, verb="read", kind=KIND, about=kept.pk)
    lines: list[list[str]] = json.loads(kept.note)
    return lines


def _record(session: Session, by: Watcher, verb: str, about: UUID) -> None:
    """A helper's line stands under the helper's own id."""
    helper = {"helper": str(by.visitor.pk)} if by.visitor else {}
    user_id = by.user.pk if by.user else None
    record(club_id=session.club_id, user_id=user_id, verb=verb, kind=KIND, about=about, **helper)


@transaction.atomic
def erase_child(athlete_id: UUID) -> None:
    """Every word on where the child was, and notes about it; those whose period runs are kept apart, sealed."""
    for row in incident_rows.has_to_stay(athlete_id):
        kept = {
            "club": row.session.club,
            "happened_on": row.happened_at.astimezone(row.session.club.zone).date(),
            "until": incident_rows.kept_until(row),
            "note": json.dumps(incident_rows.whole(row)),
        }
        KeptIncident.objects.update_or_create(pk=row.pk, defaults=kept)
    said = Whereabouts.objects.filter(athlete=athlete_id)
    notes = Incident.objects.filter(athlete=athlete_id)
    sessions = {*said.values_list("session_id", flat=True), *notes.values_list("session_id", flat=True)}
    about = [*said.values_list("op_id", flat=True), *notes.values_list("op_id", flat=True)]
    Heard.objects.filter(about__in=about).delete()
    said.delete()
    notes.delete()
    for session_id in sorted(sessions):
        tell(session_id, "where")
