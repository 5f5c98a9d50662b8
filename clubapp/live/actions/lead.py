"""Handing the running session over to another adult."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from clubapp.live.access import Watcher
from clubapp.live.actions.room import RefusedError
from clubapp.people.models import User
from clubapp.planning import actions as planning
from clubapp.planning.queries import leaders


@transaction.atomic
def hand_over(*, by: Watcher, to: User | None) -> None:
    """Somebody else runs this session from now on; None: the head coach does.

    Raises:
        RefusedError: only the leader hands over, and only to an assistant of the club.
    """
    if not by.leads or by.user is None:
        raise RefusedError(_("Only the leader hands the session over."))
    if to is not None and not leaders(by.session).filter(pk=to.pk).exists():
        raise RefusedError(_("Choose an assistant of this club."))
    planning.hand_over(session=by.session, to=to, by=by.user)
