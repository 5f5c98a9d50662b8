"""What becomes of plans when a child is erased."""

from __future__ import annotations

import json
from collections.abc import Iterable
from uuid import UUID

from django.db import transaction

from clubapp.rotation.models import Plan


@transaction.atomic
def erase_child(athlete_id: UUID) -> None:
    """Take a child's id out of every stored answer, lock and wish."""
    child = str(athlete_id)
    for plan in Plan.objects.iterator():
        if child in json.dumps([plan.answer, plan.locked, plan.wishes, plan.proof]):
            for answer in (plan.answer, *plan.answer.get("earlier", [])):
                answer["groups"] = [{**row, "athletes": _free_of(child, row["athletes"])} for row in answer["groups"]]
            plan.locked = _free_of(child, plan.locked)
            plan.wishes["dropped"] = _free_of(child, plan.wishes.get("dropped", []))
            if "owed" in plan.proof:
                plan.proof["owed"] = [pair for pair in plan.proof["owed"] if child not in pair]
                plan.proof["fitted"]["moved"] = _free_of(child, plan.proof["fitted"]["moved"])
            plan.save(update_fields=["answer", "locked", "wishes", "proof"])


def _free_of(child: str, tokens: Iterable[str]) -> list[str]:
    return [token for token in tokens if child not in token]
