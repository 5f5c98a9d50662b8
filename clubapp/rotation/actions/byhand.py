"""Changes by the coach's own hand: a child moved, placed or locked, the last change undone."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from clubapp.people.models import User
from clubapp.planning.models import Session
from clubapp.rotation import effects, queries
from clubapp.rotation.actions.rows import RefusedError, copied, current
from clubapp.rotation.evening import evening_of
from clubapp.rotation.models import Plan


@transaction.atomic
def move_child(*, session: Session, athlete_id: UUID, group: int, by: User) -> Plan:
    """Put one child in another group by hand; nobody else moves, a lock on the child goes along."""
    plan = current(session)
    if not 0 <= group < len(plan.answer["groups"]):
        raise RefusedError(_("That group is not in the plan any more: look again."))
    if athlete_id not in queries.shown(plan).placed and athlete_id not in evening_of(session).here:
        raise RefusedError(_("That child is not marked here."))
    return _seat(plan, athlete_id, group, by, "moved")


@transaction.atomic
def place_child(*, session: Session, athlete_id: UUID, by: User) -> Plan:
    """Put a child who came after the groups were made in the group that suits best; nobody else moves."""
    plan, evening = current(session), evening_of(session)
    view = queries.shown(plan)
    if athlete_id in view.placed:
        return plan
    if athlete_id not in evening.here:
        raise RefusedError(_("That child is not marked here."))
    return _seat(plan, athlete_id, effects.suggested_group(evening, view, athlete_id), by, "placed")


def _seat(plan: Plan, athlete_id: UUID, group: int, by: User, why: str) -> Plan:
    """At once: also in a round that an earlier repair had left as it was."""
    answer = _seated(plan.answer, str(athlete_id), group)
    if earlier := plan.answer.get("earlier"):
        answer["earlier"] = [_seated(one, str(athlete_id), group) for one in earlier]
    return plan if answer == plan.answer else copied(plan, by, why, answer=answer)


def _seated(answer: Mapping[str, Any], child: str, group: int) -> dict[str, Any]:
    groups = [{**row, "athletes": [c for c in row["athletes"] if c != child]} for row in answer["groups"]]
    groups[group]["athletes"] = sorted([*groups[group]["athletes"], child])
    return {**answer, "groups": groups}


@transaction.atomic
def set_lock(*, session: Session, token: str, on: bool, by: User) -> Plan:
    """Lock or unlock "athlete:<id>" or "group:<index>" for the next time groups are made."""
    plan = current(session)
    view = queries.shown(plan)
    known = {f"athlete:{child}" for child in view.placed} | {f"group:{group.index}" for group in view.groups}
    if token not in known:
        raise RefusedError(_("That child or group is not in the plan any more: look again."))
    locked = sorted({*plan.locked, token} if on else {*plan.locked} - {token})
    return plan if locked == sorted(plan.locked) else copied(plan, by, "locked", locked=locked)


@transaction.atomic
def undo(*, session: Session, version: int, by: User, over_running: bool = False) -> Plan:
    """Go back to the plan before the current one; again and again, step by step. version: what the coach was shown.

    over_running: whoever asks tells the bell.
    """
    plan = current(session)
    if plan.version != version:
        raise RefusedError(_("Somebody changed the plan meanwhile: look at it again."))
    if plan.before is None:
        raise RefusedError(_("There is nothing to undo."))
    if not over_running and queries.is_running(session.pk) and _clockwork(plan) != _clockwork(plan.before):
        raise RefusedError(_("The bell is running on these rounds: they stay until it has ended."))
    return copied(plan.before, by, "undone", before=plan.before.before)


def _clockwork(plan: Plan) -> list[Any]:
    return [plan.answer["rounds"], plan.answer["timetable"], len(plan.answer["groups"])]
