"""What the register shows on a child's row because of what happened at an earlier session."""

from __future__ import annotations

from collections.abc import Mapping
from uuid import UUID

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from clubapp.core.registry import RowNote
from clubapp.live import incident_rows
from clubapp.planning.models import Session
from clubapp.register.access import expected


def row_notes(session_id: UUID) -> Mapping[UUID, RowNote]:
    """ "Not before" for each child whom nobody has cleared since a suspected head injury; a date that is past stays."""
    session = Session.objects.filter(pk=session_id).first()
    if session is None:
        return {}
    children = expected(session).values_list("pk", flat=True)
    return {
        child: RowNote(words(hurt), link=reverse("live:not_before", args=[session_id, child]))
        for child, hurt in incident_rows.hurt_children(children).items()
    }


def words(hurt: incident_rows.Hurt) -> str:
    """The date alone clears nobody, and says so."""
    days = {"until": date_format(hurt.not_before, "j M"), "day": date_format(hurt.day, "j M")}
    return _("not before %(until)s, and not until somebody qualified clears it: head injury suspected %(day)s") % days


def uncleared(hurt: incident_rows.Hurt) -> str:
    """What to do for a child at a station."""
    words = {"until": date_format(hurt.not_before, "j M")}
    text = _("Nobody has cleared this child since a suspected head injury (not before %(until)s): ask the leader.")
    return text % words
