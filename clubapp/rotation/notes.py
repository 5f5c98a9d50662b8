"""What the register shows on a child's row because of the plan."""

from __future__ import annotations

from collections.abc import Mapping
from uuid import UUID

from django.urls import reverse
from django.utils.translation import gettext as _

from clubapp.core.registry import RowNote
from clubapp.rotation import queries


def row_notes(session_id: UUID) -> Mapping[UUID, RowNote]:
    """ "Here, in no group" for each child marked here after the groups were made, and the one tap to fit it in."""
    waiting = queries.unplaced(session_id)
    page = reverse("rotation:plan", args=[session_id])
    # While the bell runs the leader looks first from which round on the child goes where.
    act = reverse("live:repair" if queries.is_running(session_id) else "rotation:place", args=[session_id])
    return {
        child: RowNote(_("here, in no group"), link=f"{page}?child={child}#result", act=act, label=_("Fit in"))
        for child in waiting
    }
