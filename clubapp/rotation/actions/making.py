"""Groups made afresh, or last week's made to suit."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from django.utils.crypto import get_random_string
from django.utils.translation import gettext as _

from clubapp.people.models import User
from clubapp.planning.models import Session
from clubapp.rotation import building, queries
from clubapp.rotation.actions.rows import RefusedError, stored
from clubapp.rotation.building import Clash, Draft, Task
from clubapp.rotation.evening import Evening, evening_of, names_for
from clubapp.rotation.models import Plan
from clubapp.rotation.wishes import Wishes

SEEDS = 2**31


@dataclass(frozen=True)
class Order:
    """Who asks for groups, for which session, and how. seed: None draws one. over_running: the bell may be running."""

    session: Session
    by: User
    wishes: Wishes
    seed: int | None = None
    over_running: bool = False


def make_groups(*, order: Order) -> Plan | Clash:
    """Fresh groups round the locks. The solving is done before the transaction: nobody's mark waits for it."""
    task = task_of(order, queries.current_plan(order.session.pk))
    return _keep(order, task, building.build(task), "built")


def adapt_last_groups(*, order: Order) -> Plan | Clash:
    """Last week's groups with the children who are here; newcomers where they fit, few moved."""
    last = queries.last_plan(order.session)
    if last is None:
        raise RefusedError(_("There are no groups of an earlier session to start from: make groups instead."))
    task = task_of(order, last)
    return _keep(order, task, building.adapt(task), "adapted")


def task_of(order: Order, kept: queries.PlanView | None) -> Task:
    """All that groups are built from, or the reason why they cannot be."""
    evening = evening_of(order.session)
    _can_be_built(order, evening)
    seed = order.seed if order.seed is not None else int(get_random_string(9, "0123456789"))
    names, running = names_for(order.session, set(evening.here)), _running(order)
    return Task(evening, order.wishes, seed % SEEDS, kept, names, running)


def _can_be_built(order: Order, evening: Evening) -> None:
    """Say what to do first instead of failing later."""
    if not evening.children:
        raise RefusedError(_("Nobody is marked here yet: take the register first."))
    if evening.minutes < 1:
        raise RefusedError(_("The other parts leave no minutes for the rotation: shorten one of them."))
    if not evening.stations:
        raise RefusedError(_("This session has no stations yet: add them first."))
    if order.wishes.groups > len(evening.children):
        raise RefusedError(
            _("%(groups)d groups need at least as many children; %(children)d are here.")
            % {"groups": order.wishes.groups, "children": len(evening.children)}
        )


def _running(order: Order) -> dict[str, Any] | None:
    """What the bell goes by, while it runs: then children may change groups, but nothing that the clock counts on."""
    plan = queries.newest(order.session.pk)
    if plan is None or not queries.is_running(order.session.pk):
        return None
    if not order.over_running:
        raise RefusedError(_("The bell is running: new groups would send children elsewhere in the middle of it."))
    now = queries.shown(plan).wishes
    if shape(now) != shape(order.wishes):
        raise RefusedError(_("The bell is running: groups, rounds and seconds stay as they are until it has ended."))
    answer: dict[str, Any] = plan.answer
    return answer


def shape(wishes: Wishes) -> tuple[int | None, ...]:
    return wishes.groups, wishes.rounds, wishes.work_s, wishes.change_s


def _keep(order: Order, task: Task, found: Draft | Clash, why: str) -> Plan | Clash:
    if isinstance(found, Clash):
        return found
    locked = building.kept_locks(task) if why == "built" else []
    # A lock given up is gone from the plan; the wish to be without it must not outlive a new lock.
    dropped = tuple(token for token in order.wishes.dropped if token != "size" and not token.startswith("lock:"))
    wishes = replace(order.wishes, dropped=dropped).stored()
    row = Plan(session=order.session, wishes=wishes, answer=found.answer, proof=found.proof, locked=locked)
    row.seed, row.why, row.by, row.before = task.seed, why, order.by, queries.newest(order.session.pk)
    return stored(row)
