"""What waits for the adults before the bell, above all for the leader."""

from __future__ import annotations

from dataclasses import dataclass

from clubapp.engine import clock
from clubapp.live import queries
from clubapp.live.models import Visitor
from clubapp.live.page import Child, Evening
from clubapp.register import queries as register
from clubapp.rotation import queries as rotation
from clubapp.rotation.evening import names_for


@dataclass(frozen=True)
class News:
    """What waits for the leader: helpers at the gate, children in no group, a new plan that can still be taken back.

    undo: its version; 0 without one. waiting: once the bell has ended, whom nobody has seen off; nobody is fitted in
    then any more.
    """

    at_gate: tuple[Visitor, ...] = ()
    helpers: tuple[Visitor, ...] = ()
    unplaced: tuple[Child, ...] = ()
    undo: int = 0
    waiting: tuple[Child, ...] = ()


def news(evening: Evening) -> News:
    """Names at the gate are the leader's alone; a child in no group, or not gone yet, concerns every adult with an
    account."""
    if evening.watcher.visitor is not None:
        return News()
    ended = evening.state.phase is clock.Phase.ENDED
    children = () if ended else tuple(evening.child(child) for child in rotation.unplaced(evening.session.pk))
    waiting = _waiting(evening) if ended else ()
    if not evening.watcher.leads:
        return News(unplaced=children, waiting=waiting)
    gate, helpers = tuple(queries.at_gate(evening.session)), tuple(queries.helpers(evening.session))
    return News(gate, helpers, children, queries.repaired_just_now(evening.session.pk), waiting)


def _waiting(evening: Evening) -> tuple[Child, ...]:
    """By name."""
    waiting = register.waiting(evening.session.pk)
    names = names_for(evening.session, waiting)
    children = [Child(child, names[child], evening.flags.get(child, "")) for child in waiting]
    return tuple(sorted(children, key=lambda child: child.name.casefold()))
