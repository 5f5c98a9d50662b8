"""Changes of who takes a child home today: what stands of them, and what guardians are told."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from django.db.models import Exists, OuterRef, QuerySet
from django.utils.translation import gettext as _

from clubapp.people.models import Athlete, Guardianship
from clubapp.people.same import digits
from clubapp.register.models import PickUp
from clubapp.register.sorting import plain

State = PickUp.State


def standing() -> QuerySet[PickUp]:
    """Asked for or confirmed, by an adult who may still see the child."""
    tie = Guardianship.objects.filter(guardian=OuterRef("guardian"), athlete=OuterRef("athlete"))
    rows = PickUp.objects.filter(Exists(tie), state__in=(State.ASKED, State.CONFIRMED))
    return rows.select_related("guardian", "athlete").order_by("asked_at", "pk")


def of_session(session_id: UUID, *, state: str, athletes: Iterable[UUID] | None = None) -> dict[UUID, list[PickUp]]:
    """By child. The session's leader alone sees what is only asked for."""
    rows = standing().filter(session=session_id, state=state)
    found: dict[UUID, list[PickUp]] = {}
    for row in rows if athletes is None else rows.filter(athlete__in=list(athletes)):
        found.setdefault(row.athlete_id, []).append(row)
    return found


def is_restricted(row: PickUp) -> bool:
    """Whether this may be an adult who must have no contact with the child: by number, or by the words of the name."""
    number, words = digits(row.phone), set(plain(row.name).split())
    for tie in Guardianship.everyone.filter(athlete=row.athlete, restricted=True).select_related("guardian"):
        theirs = set(plain(tie.guardian.name).split())
        if words <= theirs or (theirs and theirs <= words) or (number and number == digits(tie.guardian.phone)):
            return True
    return False


def last_words(athlete: Athlete, session_ids: Iterable[UUID], user_id: UUID) -> dict[UUID, list[str]]:
    """What this guardian is told, by session: of the own wish with the name, of another's only that there is one."""
    tie = Guardianship.objects.filter(guardian=OuterRef("guardian"), athlete=OuterRef("athlete"))
    rows = PickUp.objects.filter(Exists(tie), athlete=athlete, session__in=list(session_ids))
    found: dict[UUID, list[str]] = {}
    for row in rows.exclude(state=State.WITHDRAWN).select_related("guardian").order_by("asked_at", "pk"):
        found.setdefault(row.session_id, []).append(_words(row, own=row.guardian.user_id == user_id))
    return found


def _words(row: PickUp, *, own: bool) -> str:
    state = {
        State.ASKED: _("the club has not confirmed it yet"),
        State.CONFIRMED: _("the club has confirmed it"),
        State.REFUSED: _("the club has not agreed: ring it"),
    }[State(row.state)]
    who = _("You asked that %(name)s takes your child home") % {"name": row.name}
    return f"{who if own else _('Another adult asked that somebody else takes your child home')} – {state}"


def export(athlete_id: UUID) -> list[dict[str, Any]]:
    """Whom it was about is another adult's, and left out."""
    rows = PickUp.objects.filter(athlete=athlete_id).select_related("session").order_by("asked_at", "pk")
    return [
        {
            "session": row.session.date.isoformat(),
            "relation": row.relation,
            "state": row.get_state_display(),
            "asked_at": row.asked_at.isoformat(),
        }
        for row in rows
    ]
