"""A plan repaired while the bell runs: stored, and the bell told from which round on it counts, both or neither."""

from __future__ import annotations

import uuid
from datetime import timedelta

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from clubapp.engine import clock
from clubapp.live import played
from clubapp.live.access import Watcher
from clubapp.live.actions.room import Order, RefusedError, give_command
from clubapp.live.messages import Tap
from clubapp.live.queries import UNDO
from clubapp.rotation import actions as rotation
from clubapp.rotation import queries
from clubapp.rotation.models import Plan
from clubapp.rotation.repair_asking import Wish

UNDO_ON_THE_WAY = timedelta(seconds=5)  # the tap was in time; the network was not


@transaction.atomic
def replan(*, by: Watcher, plan: Plan, wish: Wish, device: str = "") -> Plan:
    """Take a plan that was shown. The looking is done already: nobody's mark waits for it.

    Raises:
        RefusedError: the round it was to begin at has begun, or somebody changed the plan meanwhile.
    """
    assert by.user is not None
    try:
        made = rotation.take(plan=plan, case=wish.case, offer=wish.offer, by=by.user, said=wish.said)
    except rotation.RefusedError as error:
        raise RefusedError(str(error)) from error
    _tell_bell(by, wish.case.at_round, device)
    return made


def _tell_bell(by: Watcher, round_no: int, device: str) -> None:
    seen = played.state_of(by.session.pk).seq
    answer = give_command(order=Order(by, Tap(uuid.uuid4(), clock.Kind.REPLAN, seen, round=round_no), device))
    if not answer.accepted:
        raise RefusedError(_("Round %(n)d has begun meanwhile: look at it again.") % {"n": round_no})


@transaction.atomic
def take_back(*, by: Watcher, version: int, device: str = "") -> Plan:
    """The plan before a repair again, as long as nothing of it has begun and the register was told nothing with it."""
    row = queries.newest(by.session.pk)
    if row is None or row.version != version or not queries.may_take_back(row):
        raise RefusedError(_("That cannot be undone any more: say what has changed instead."))
    if timezone.now() - row.made_at > UNDO + UNDO_ON_THE_WAY:
        raise RefusedError(_("That came too late to undo: say what has changed instead."))
    assert by.user is not None
    try:
        restored = rotation.undo(session=by.session, version=version, by=by.user, over_running=True)
    except rotation.RefusedError as error:
        raise RefusedError(str(error)) from error
    _tell_bell(by, queries.begins_at(row), device)
    return restored
