"""Every write of a plan. A change is always a new row: what was said on the field stays readable, and undo is cheap."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass, replace
from importlib.metadata import version as release
from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import Max
from django.utils.crypto import get_random_string
from django.utils.translation import gettext as _

from clubapp.core.tell import tell
from clubapp.people.models import User
from clubapp.planning.models import Session
from clubapp.rotation import building, effects, queries, repairing
from clubapp.rotation.building import Clash, Draft, Task
from clubapp.rotation.evening import Evening, evening_of, names_for
from clubapp.rotation.models import Plan
from clubapp.rotation.repairing import Case, Changes
from clubapp.rotation.wishes import Wishes

SEEDS = 2**31


class RefusedError(Exception):
    """The change cannot be made; the message says why and what to do."""


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
    return _store(row)


@transaction.atomic
def _store(row: Plan) -> Plan:
    """Give the row the next number and tell every phone."""
    row.version = 1 + (Plan.objects.filter(session=row.session).aggregate(n=Max("version"))["n"] or 0)
    row.engine = release("fieldbell")
    row.save()
    tell(row.session_id, "plan")
    return row


@transaction.atomic
def move_child(*, session: Session, athlete_id: UUID, group: int, by: User) -> Plan:
    """Put one child in another group by hand; nobody else moves, a lock on the child goes along."""
    plan = _current(session)
    if not 0 <= group < len(plan.answer["groups"]):
        raise RefusedError(_("That group is not in the plan any more: look again."))
    if athlete_id not in queries.shown(plan).placed and athlete_id not in evening_of(session).here:
        raise RefusedError(_("That child is not marked here."))
    return _seat(plan, athlete_id, group, by, "moved")


@transaction.atomic
def place_child(*, session: Session, athlete_id: UUID, by: User) -> Plan:
    """Put a child who came after the groups were made in the group that suits best; nobody else moves."""
    plan, evening = _current(session), evening_of(session)
    view = queries.shown(plan)
    if athlete_id in view.placed:
        return plan
    if athlete_id not in evening.here:
        raise RefusedError(_("That child is not marked here."))
    return _seat(plan, athlete_id, effects.suggested_group(evening, view, athlete_id), by, "placed")


def _seat(plan: Plan, athlete_id: UUID, group: int, by: User, why: str) -> Plan:
    child = str(athlete_id)
    groups = [{**row, "athletes": [c for c in row["athletes"] if c != child]} for row in plan.answer["groups"]]
    groups[group]["athletes"] = sorted([*groups[group]["athletes"], child])
    if groups == plan.answer["groups"]:
        return plan
    return copied(plan, by, why, answer={**plan.answer, "groups": groups})


def copied(plan: Plan, by: User | None, why: str, **changed: Any) -> Plan:
    """A new row like `plan` but for what is named."""
    kept = {name: getattr(plan, name) for name in ("session", "wishes", "answer", "proof", "locked", "seed")}
    return _store(Plan(**{**kept, "before": plan, **changed}, by=by, why=why))


def case_of(session: Session, plan: queries.PlanView, changes: Changes, at_round: int) -> Case:
    """What there is to be put right, with all that an answer depends on."""
    evening, here = evening_of(session, also=plan.placed), evening_of(session).here
    if not here:
        raise RefusedError(_("Nobody is marked here: take the register first."))
    if repairing.is_stale(evening, plan):
        raise RefusedError(_("A station of this plan was taken away: make new groups."))
    if not 1 <= at_round <= len(plan.rounds):
        raise RefusedError(_("This plan has no such round: look again."))
    return Case(evening, here, plan, changes, at_round, names_for(session, set(here | plan.placed)))


def repair(
    *, plan: Plan, changes: Changes, at_round: int, by: User, choice: tuple[str, str] = (repairing.BEST, "")
) -> Plan | Clash:
    """A new plan from a round on, in which as few children move as can be; the past stays.

    choice: which of the plans that are offered, and the mark of what was shown; without a mark it is taken unseen.
    """
    key, mark = choice
    found = repairing.offers(case_of(plan.session, queries.shown(plan), changes, at_round))
    if isinstance(found, Clash):
        return found
    offer = next((offer for offer in found if offer.key == key), None)
    if offer is None or (mark and mark != offer.mark):
        raise RefusedError(_("Something changed meanwhile: look at it again."))
    return _take(plan, offer, by)


@transaction.atomic
def _take(plan: Plan, offer: repairing.Offer, by: User) -> Plan:
    if queries.newest(plan.session_id) != plan:
        raise RefusedError(_("Somebody changed the plan meanwhile: look at it again."))
    wishes = {**plan.wishes, "rounds": len(offer.draft.answer["rounds"])}
    return copied(plan, by, "repaired", answer=offer.draft.answer, proof=offer.draft.proof, wishes=wishes)


@transaction.atomic
def set_lock(*, session: Session, token: str, on: bool, by: User) -> Plan:
    """Lock or unlock "athlete:<id>" or "group:<index>" for the next time groups are made."""
    plan = _current(session)
    view = queries.shown(plan)
    known = {f"athlete:{child}" for child in view.placed} | {f"group:{group.index}" for group in view.groups}
    if token not in known:
        raise RefusedError(_("That child or group is not in the plan any more: look again."))
    locked = sorted({*plan.locked, token} if on else {*plan.locked} - {token})
    return plan if locked == sorted(plan.locked) else copied(plan, by, "locked", locked=locked)


@transaction.atomic
def undo(*, session: Session, version: int, by: User) -> Plan:
    """Go back to the plan before the current one; again and again, step by step. version: what the coach was shown."""
    plan = _current(session)
    if plan.version != version:
        raise RefusedError(_("Somebody changed the plan meanwhile: look at it again."))
    if plan.before is None:
        raise RefusedError(_("There is nothing to undo."))
    if queries.is_running(session.pk) and _clockwork(plan) != _clockwork(plan.before):
        raise RefusedError(_("The bell is running on these rounds: they stay until it has ended."))
    return copied(plan.before, by, "undone", before=plan.before.before)


def _clockwork(plan: Plan) -> list[Any]:
    return [plan.answer["rounds"], plan.answer["timetable"], len(plan.answer["groups"])]


def _current(session: Session) -> Plan:
    plan = queries.newest(session.pk)
    if plan is None:
        raise RefusedError(_("There are no groups yet: make them first."))
    return plan


@transaction.atomic
def erase_child(athlete_id: UUID) -> None:
    """Take a child's id out of every stored answer, lock and wish."""
    child = str(athlete_id)
    for plan in Plan.objects.iterator():
        if child in json.dumps([plan.answer, plan.locked, plan.wishes, plan.proof]):
            plan.answer["groups"] = [
                {**row, "athletes": [c for c in row["athletes"] if c != child]} for row in plan.answer["groups"]
            ]
            plan.locked = _free_of(child, plan.locked)
            plan.wishes["dropped"] = _free_of(child, plan.wishes.get("dropped", []))
            if "owed" in plan.proof:
                plan.proof["owed"] = [pair for pair in plan.proof["owed"] if child not in pair]
                plan.proof["fitted"]["moved"] = _free_of(child, plan.proof["fitted"]["moved"])
            plan.save(update_fields=["answer", "locked", "wishes", "proof"])


def _free_of(child: str, tokens: Iterable[str]) -> list[str]:
    return [token for token in tokens if child not in token]
