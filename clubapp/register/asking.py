"""Whom to ring about a child who is expected and of whom there is no word."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from urllib.parse import quote
from uuid import UUID

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from clubapp.people.models import Athlete, Club, Guardianship
from clubapp.planning.models import Session
from clubapp.planning.queries import seen_notices
from clubapp.register import lateness, queries, sentences
from clubapp.register.models import Contacted

AFTER_START = timedelta(minutes=10)


@dataclass(frozen=True)
class Reach:
    """One adult with what a tap opens: the telephone, a message, a mail; "" for what the club does not know."""

    guardian_id: UUID
    name: str
    relation: str
    call: str
    message: str
    mail: str


@dataclass(frozen=True)
class Asked:
    """A child somebody should ask after. told: the answers so far, the newest first."""

    child: Athlete
    adults: tuple[Reach, ...]
    told: tuple[str, ...]


def open_from(session: Session) -> datetime:
    return session.starts_at + AFTER_START


def may_be_open(session: Session) -> bool:
    """Whether the list may still come or stands now: the session is not over."""
    return not session.called_off and timezone.now() < session.ends_at


def no_word(session: Session, now: datetime) -> list[Athlete]:
    """Children without a mark and without a notice, from ten minutes after the start until the end.

    "Comes late" is a word until a little after the time it named.
    """
    if session.called_off or not open_from(session) <= now < session.ends_at:
        return []
    late = lateness.latest(session.pk).items()
    known = {*queries.current_marks(session.pk), *(child for child, row in late if now < lateness.word_until(row))}
    children = (child for child in queries.expected(session) if child.pk not in known)
    return sorted(children, key=lambda child: child.full_name)


def reach(tie: Guardianship, subject: str, text: str) -> Reach:
    """`sms:` as in RFC 5724, `mailto:` as in RFC 6068."""
    guardian = tie.guardian
    number = re.sub(r"[^0-9+]", "", guardian.phone)
    return Reach(
        guardian_id=guardian.pk,
        name=guardian.name,
        relation=tie.relation,
        call=f"tel:{number}" if number else "",
        message=f"sms:{number}?body={quote(text)}" if number else "",
        mail=f"mailto:{quote(guardian.email)}?subject={quote(subject)}&body={quote(text)}" if guardian.email else "",
    )


def told(session: Session) -> dict[UUID, list[str]]:
    """By child, in words, the newest first; when a guardian said that it comes stands before all."""
    found = {child: [sentences.coming(row, None)] for child, row in lateness.latest(session.pk).items()}
    rows = Contacted.objects.filter(session=session).select_related("guardian", "by")
    for row in rows.order_by("-tapped_at", "-pk"):
        found.setdefault(row.athlete_id, []).append(words_of(row, session.club))
    return found


def words_of(row: Contacted, club: Club) -> str:
    """ "on the way, car trouble – Greta, asked by Hazel, 10:14"."""
    answer = ", ".join(part for part in (row.get_said_display(), row.word) if part)
    whom = row.guardian.name if row.guardian else ""
    by = _("asked by %(name)s") % {"name": row.by.name if row.by else _("an adult who has left")}
    return f"{answer} – {', '.join(part for part in (whom, by) if part)}, {row.tapped_at.astimezone(club.zone):%H:%M}"


def families(
    session: Session, children: Iterable[Athlete], adults: Mapping[UUID, Sequence[Guardianship]]
) -> tuple[list[Asked], list[Asked]]:
    """Children none of whose adults has said "I know" yet, with whom to ring; and the others, with who said so."""
    waiting: list[Asked] = []
    confirmed: list[Asked] = []
    seen = seen_notices(session)
    text = _("%(squad)s on %(day)s was changed: please look at your page.") % {
        "squad": session.squad.name,
        "day": date_format(session.date, "j F"),
    }
    for child in children:
        knows = tuple(tie.guardian.name for tie in adults[child.pk] if tie.guardian_id in seen)
        reached = tuple(reach(tie, session.club.name, text) for tie in adults[child.pk])
        (confirmed if knows else waiting).append(Asked(child, reached, knows))
    return waiting, confirmed
