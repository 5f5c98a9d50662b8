"""A change is always a new row: what was said on the field stays readable, and undo is cheap."""

from __future__ import annotations

from importlib.metadata import version as release
from typing import Any

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from clubapp.core.tell import tell
from clubapp.people.models import User
from clubapp.planning.models import Session
from clubapp.rotation import queries
from clubapp.rotation.models import Plan


class RefusedError(Exception):
    """The change cannot be made; the message says why and what to do."""


@transaction.atomic
def stored(row: Plan) -> Plan:
    """Give the row the next number and tell every phone."""
    row.version = 1 + (Plan.objects.filter(session=row.session).aggregate(n=Max("version"))["n"] or 0)
    row.engine = release("fieldbell")
    row.save()
    tell(row.session_id, "plan")
    return row


def copied(plan: Plan, by: User | None, why: str, **changed: Any) -> Plan:
    """A new row like `plan` but for what is named."""
    kept = {name: getattr(plan, name) for name in ("session", "wishes", "answer", "proof", "locked", "seed")}
    return stored(Plan(**{**kept, "before": plan, **changed}, by=by, why=why))


def current(session: Session) -> Plan:
    plan = queries.newest(session.pk)
    if plan is None:
        raise RefusedError(_("There are no groups yet: make them first."))
    return plan
